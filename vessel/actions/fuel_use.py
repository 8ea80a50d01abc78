"""Writing down what a run really used."""

import math
from datetime import datetime

from django.db import transaction

from vessel.actions.author import By, token_of
from vessel.actions.history import record
from vessel.actions.series import CLOCK_SLACK
from vessel.errors import BadInput, Refused
from vessel.models import FuelUse, Vessel


@transaction.atomic
def book_fuel_use(
    *,
    vessel: Vessel,
    ended_at: datetime,
    from_engine_hours: float,
    to_engine_hours: float,
    used_l: float,
    by: By,
    at: datetime,
    mean_rpm: float | None = None,
    mean_speed_mps: float | None = None,
    note: str = "",
) -> FuelUse:
    """One run with its litres. Raises BadInput; then nothing is written."""
    _check(ended_at, at, from_engine_hours, to_engine_hours, used_l, mean_rpm, mean_speed_mps)
    use = FuelUse.objects.create(
        vessel=vessel,
        at=ended_at,
        from_engine_hours=from_engine_hours,
        to_engine_hours=to_engine_hours,
        used_l=used_l,
        mean_rpm=mean_rpm,
        mean_speed_mps=mean_speed_mps,
        note=note.strip(),
        by=token_of(by=by, vessel_id=vessel.pk),
    )
    _tell(use, f"Fuel used: {use}.", by, at)
    return use


@transaction.atomic
def strike_fuel_use(*, fuel_use_id: int, by: By, at: datetime) -> FuelUse:
    """Strike out a wrong run: it stays readable and counts no more."""
    use = FuelUse.objects.select_for_update().select_related("vessel").get(pk=fuel_use_id)
    if use.struck_at is not None:
        raise Refused("This run is struck out already; nothing was changed.")
    use.struck_at, use.struck_by = at, token_of(by=by, vessel_id=use.vessel_id)
    use.save(update_fields=["struck_at", "struck_by"])
    _tell(use, f"Fuel used: the run of {use} was struck out.", by, at)
    return use


def _check(
    ended_at: datetime,
    at: datetime,
    from_hours: float,
    to_hours: float,
    used_l: float,
    rpm: float | None,
    speed: float | None,
) -> None:
    if ended_at > at + CLOCK_SLACK:
        raise BadInput("A run cannot end in the future, so it was not written down. Mend the time.")
    figures = [from_hours, to_hours, used_l, *(one for one in (rpm, speed) if one is not None)]
    if not all(math.isfinite(one) for one in figures):
        raise BadInput("Hours, litres and speed of a run must be numbers. Nothing was written down.")
    if not 0 <= from_hours < to_hours:
        raise BadInput(
            f"From {from_hours:g} h to {to_hours:g} h is no run: the meter must rise. Nothing was written down."
        )
    if used_l <= 0:
        raise BadInput("A run uses more than 0 litres. Nothing was written down.")
    if rpm is None and speed is None:
        raise BadInput("Give the mean rpm or the mean speed of the run; without one it tells nothing of the table.")
    if any(one is not None and one <= 0 for one in (rpm, speed)):
        raise BadInput("The mean rpm and speed of a run are above 0. Nothing was written down.")


def _tell(use: FuelUse, what: str, by: By, at: datetime) -> None:
    record(vessel=use.vessel, what=what, by=by, at=at, noun="fuel use", noun_key=str(use.pk), happened_at=use.at)
