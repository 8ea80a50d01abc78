"""Taking a forecast in, and noting the warnings in force. Every version is kept; the newest is used."""

import hashlib
from datetime import UTC, datetime

import numpy as np
from django.db import transaction

from readiness.feeds.forecast import ForecastFile, known_in, pack
from readiness.feeds.warning import WarningsRead
from readiness.models import Forecast, WarningLook
from readiness.rules.facts_water import WeatherWarning
from readiness.rules.words_of_trade import Confidence
from vessel.actions.author import By, token_of
from vessel.actions.history import record
from vessel.calc.wording import local_date
from vessel.errors import BadInput
from vessel.models import Vessel

OVER = (
    "This forecast ended {day} {at:%H:%M} UTC: it says nothing of any day to come. Nothing was kept. "
    "Tick that it is to be taken all the same, or take a newer one."
)


class ForecastOver(BadInput):
    """All its times have gone by."""


@transaction.atomic
def take_in_forecast(
    *,
    vessel: Vessel,
    forecast: ForecastFile,
    by: By,
    at: datetime,
    confidence: Confidence | None = None,
    even_over: bool = True,
) -> Forecast:
    """The forecast as kept, once; the one already held where source, issue time and content are the same.

    Raises BadInput for one without times or places, of which nothing is known, or issued in the future, ForecastOver
    where its last time has gone by and `even_over` is not said; then nothing is kept.
    """
    if not (forecast.at.size and forecast.lat_deg.size and forecast.lon_deg.size):
        raise BadInput("This forecast holds no times or no places. Nothing was kept.")
    if not known_in(forecast):
        raise BadInput("Nothing of this forecast can be used. Nothing was kept.")
    ends_at = _moment(forecast.at[-1])
    if ends_at < at and not even_over:
        raise ForecastOver(OVER.format(day=local_date(float(forecast.at[-1]), "UTC", year=True), at=ends_at))
    issued_at = None if np.isnan(forecast.issued_at) else _moment(forecast.issued_at)
    if issued_at is not None and issued_at > at:
        raise BadInput(
            f"This forecast says it was issued {issued_at:%Y-%m-%d %H:%M} UTC, which is yet to come. Nothing was kept."
        )
    packed = pack(forecast)
    row = _row(vessel, forecast, issued_at, packed)
    held = Forecast.objects.filter(vessel=vessel, source=row.source, issued_at=issued_at, sha256=row.sha256).first()
    if held is not None:
        return held
    row.taken_in_at, row.by, row.confidence = at, token_of(by=by, vessel_id=vessel.pk), confidence
    row.save(force_insert=True)
    issued = f"issued {issued_at:%Y-%m-%d %H:%M} UTC" if issued_at else "without an issue time"
    record(
        vessel=vessel, what=f"Forecast taken in: {row.source}, {issued}.", by=by, at=at, noun="forecast",
        noun_key=row.sha256[:12], changes={"sha256": [None, row.sha256]},
    )  # fmt: skip
    return row


@transaction.atomic
def note_warnings(*, vessel: Vessel, read: WarningsRead, by: By, at: datetime) -> WarningLook:
    """Write down what the warnings were when somebody looked; without a time of its own the look is of now.

    Raises BadInput where it is not said until when the bulletin speaks, or the look lies ahead of the clock or after the
    end of the bulletin; then nothing is kept.
    """
    looked_at = read.looked_at or at
    if read.good_to is None:
        raise BadInput("Until when does the bulletin speak? Write: good to 2027-05-15T18:00Z. Nothing was kept.")
    if looked_at > at:
        raise BadInput(f"Looked at {_utc(looked_at)} is yet to come; it is {_utc(at)} now. Nothing was kept.")
    if read.good_to <= looked_at:
        raise BadInput(f"The bulletin spoke until {_utc(read.good_to)}, before it was looked at. Nothing was kept.")
    look = WarningLook(
        vessel=vessel,
        source=read.source or "bulletin",
        looked_at=looked_at,
        good_to=read.good_to,
        by=token_of(by=by, vessel_id=vessel.pk),
        items=[_item(warning) for warning in read.items],
    )
    look.save(force_insert=True)
    count = len(read.items)
    said = "none in force" if not count else f"{count} warning{'s' if count > 1 else ''}"
    record(
        vessel=vessel, what=f"Weather warnings noted: {said}, {look.source}, good to {_utc(look.good_to)}.", by=by, at=at,
        noun="weather warnings", noun_key=str(look.pk), happened_at=None if looked_at == at else looked_at,
    )  # fmt: skip
    return look


def _item(warning: WeatherWarning) -> dict[str, str | None]:
    return {
        "kind": warning.kind.value,
        "area": warning.area,
        "start": None if warning.start is None else warning.start.isoformat(),
        "end": None if warning.end is None else warning.end.isoformat(),
        "text": warning.text,
    }


def _utc(moment: datetime) -> str:
    return f"{moment:%Y-%m-%d %H:%M} UTC"


def _row(vessel: Vessel, forecast: ForecastFile, issued_at: datetime | None, packed: bytes) -> Forecast:
    return Forecast(
        vessel=vessel,
        source=forecast.source or forecast.kind,
        issued_at=issued_at,
        south_deg=float(forecast.lat_deg.min()),
        north_deg=float(forecast.lat_deg.max()),
        west_deg=float(forecast.lon_deg.min()),
        east_deg=float(forecast.lon_deg.max()),
        first_at=_moment(forecast.at[0]),
        last_at=_moment(forecast.at[-1]),
        members=len(forecast.members),
        warnings=list(forecast.warnings),
        packed=packed,
        sha256=hashlib.sha256(packed).hexdigest(),
    )


def _moment(at: float) -> datetime:
    return datetime.fromtimestamp(float(at), UTC)
