"""A run with its litres, asked about where they are hardly possible."""

from datetime import datetime
from typing import Any

from readiness.queries.fuel_use import expected_of
from vessel.actions.author import By
from vessel.actions.fuel_use import book_fuel_use
from vessel.errors import BadInput
from vessel.models import FuelUse, Vessel

MOST_L_PER_H = 200.0  # an engine of 700 kW at full power; no vessel this is made for has one [own]
MOST_OF_TABLE = 3.0  # times what her table expects [own]


class UnlikelyRun(BadInput):
    """Hardly possible, but it may be so: the person is asked."""


def book_run(
    *, vessel: Vessel, from_engine_hours: float, to_engine_hours: float, used_l: float, is_so: bool, by: By,
    at: datetime, **more: Any,
) -> FuelUse:  # fmt: skip
    """One run; `is_so`: whoever wrote it says its litres are right. Raises UnlikelyRun, BadInput: nothing is written."""
    hours = to_engine_hours - from_engine_hours
    why = "" if is_so or hours <= 0 else _doubt(vessel, hours, used_l, more)
    if why:
        raise UnlikelyRun(f"{why} Nothing was written down: mend the figures, or tick “It is so”.")
    return book_fuel_use(
        vessel=vessel, from_engine_hours=from_engine_hours, to_engine_hours=to_engine_hours, used_l=used_l, by=by,
        at=at, **more,
    )  # fmt: skip


def _doubt(vessel: Vessel, hours: float, used_l: float, pace: dict[str, Any]) -> str:
    """Why the litres can hardly be right; "" where they can, or where nothing tells."""
    if used_l / hours > MOST_L_PER_H:
        return (
            f"{used_l:g} L in {hours:g} h is {used_l / hours:.0f} L an hour, more than {MOST_L_PER_H:g}. Is it right?"
        )
    expected = expected_of(
        vessel.pk, hours=hours, mean_rpm=pace.get("mean_rpm"), mean_speed_mps=pace.get("mean_speed_mps")
    )
    if used_l > MOST_OF_TABLE * expected:
        times = f"{used_l / expected:.1f} times the {expected:.0f} L that her table expects"
        return f"{used_l:g} L is {times} of {hours:g} h. Is it right?"
    return ""
