"""Readings: typed as people type, kept in the unit of the series, never edited afterwards."""

import math
from collections.abc import Mapping
from datetime import datetime, timedelta

from django.db import transaction

from vessel.actions.author import By, token_of
from vessel.actions.history import record
from vessel.calc.quantity import parse_quantity
from vessel.errors import BadInput, Refused
from vessel.models import HowTaken, Reading, Series, SeriesKind

CLOCK_SLACK = timedelta(minutes=5)
# Conditions a rule may ask for, and what each must be.
CONDITIONS: Mapping[str, type] = {
    "radius_mm": float,
    "rested_s": float,
    "on_charge": bool,
    "alone": bool,
    "running": bool,
    "heel_deg": float,
    "rpm": float,
    "cycles": float,
}


@transaction.atomic
def add_reading(
    *,
    series_id: int,
    typed: str,
    by: By,
    at: datetime,
    taken_at: datetime | None = None,
    engine_hours: float | None = None,
    how: str = HowTaken.MEASURED,
    conditions: Mapping[str, object] | None = None,
    note: str = "",
) -> Reading:
    """One reading as typed ("20 in", "2,5 l"). Raises WhichUnit or BadInput; then nothing is written."""
    series = Series.objects.select_related("vessel", "equipment").get(pk=series_id)
    taken = taken_at or at
    if taken > at + CLOCK_SLACK:
        raise BadInput(f"This reading of {series.name} lies in the future, so it was not written down. Mend the time.")
    value = parse_quantity(typed, series.unit)
    _check_value(series, value, taken)
    reading = Reading.objects.create(
        series=series,
        at=taken,
        value=value,
        typed=typed.strip(),
        engine_hours=value if series.kind == SeriesKind.ENGINE_HOURS else engine_hours,
        how=how,
        conditions=_checked_conditions(conditions or {}),
        note=note,
        by=token_of(by=by, vessel_id=series.vessel_id),
    )
    _tell(series, f"{series.name}: {value:g} {series.unit} ({reading.get_how_display()}).", by, at, taken_at)
    return reading


def _check_value(series: Series, value: float, taken: datetime) -> None:
    if not math.isfinite(value):
        raise BadInput(f"This is no reading of {series.name}; nothing was written down.")
    if series.kind == SeriesKind.STATE_OF_CHARGE and not 0 <= value <= 1:
        raise BadInput("A state of charge lies between 0 and 100 %. Nothing was written down.")
    if series.kind == SeriesKind.ENGINE_HOURS:
        _check_meter(series, value, taken)


def _check_meter(series: Series, value: float, taken: datetime) -> None:
    """An hour meter never runs backwards, seen from the readings before and after."""
    held = series.readings.filter(struck_at=None)
    before = held.filter(at__lte=taken).order_by("-at", "-pk").first()
    after = held.filter(at__gt=taken).order_by("at", "pk").first()
    if before is not None and value < before.value:
        raise Refused(
            f"{value:g} h is less than the {before.value:g} h read before it: an hour meter never runs backwards."
            " Nothing was written down. Strike out the wrong reading first."
        )
    if after is not None and value > after.value:
        raise Refused(
            f"{value:g} h is more than the {after.value:g} h read after it. Nothing was written down."
            " Strike out the wrong reading first."
        )


def _checked_conditions(conditions: Mapping[str, object]) -> dict[str, object]:
    kept: dict[str, object] = {}
    for name, value in conditions.items():
        kind = CONDITIONS.get(name)
        if kind is None:
            raise BadInput(f"“{name}” is not a condition a reading can carry. Nothing was written down.")
        if value is None:
            continue
        if isinstance(value, bool) != (kind is bool) or not isinstance(value, bool | int | float):
            raise BadInput(f"The condition “{name}” must be {'yes or no' if kind is bool else 'a number'}.")
        if not math.isfinite(value):
            raise BadInput(f"The condition “{name}” must be a number.")
        kept[name] = value
    return kept


@transaction.atomic
def strike_reading(*, reading_id: int, by: By, at: datetime) -> Reading:
    """Strike out a wrong reading: it stays readable and counts no more."""
    reading = Reading.objects.select_for_update().select_related("series__vessel").get(pk=reading_id)
    if reading.struck_at is not None:
        raise Refused("This reading is struck out already; nothing was changed.")
    reading.struck_at, reading.struck_by = at, token_of(by=by, vessel_id=reading.series.vessel_id)
    reading.save(update_fields=["struck_at", "struck_by"])
    series = reading.series
    _tell(series, f"{series.name}: the reading {reading.value:g} {series.unit} was struck out.", by, at, None)
    return reading


def _tell(series: Series, what: str, by: By, at: datetime, happened_at: datetime | None) -> None:
    record(
        vessel=series.vessel, what=what, by=by, at=at, noun="series", noun_key=series.name[:40], happened_at=happened_at
    )
