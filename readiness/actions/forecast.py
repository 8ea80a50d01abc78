"""Taking a forecast in. Every version is kept; taken in twice, it is there once."""

import hashlib
from datetime import UTC, datetime

import numpy as np
from django.db import transaction

from readiness.feeds.forecast import ForecastFile, pack
from readiness.models import Forecast
from readiness.rules.words_of_trade import Confidence
from vessel.actions.author import By, token_of
from vessel.actions.history import record
from vessel.errors import BadInput
from vessel.models import Vessel


@transaction.atomic
def take_in_forecast(
    *, vessel: Vessel, forecast: ForecastFile, by: By, at: datetime, confidence: Confidence | None = None
) -> Forecast:
    """The forecast as kept; the one already held where source, issue time and content are the same.

    Raises BadInput for one without times or places, or issued in the future; then nothing is kept.
    """
    if not (forecast.at.size and forecast.lat_deg.size and forecast.lon_deg.size):
        raise BadInput("This forecast holds no times or no places. Nothing was kept.")
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
