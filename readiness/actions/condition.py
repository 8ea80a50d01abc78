"""Saying that a condition of a "go if" is met, and striking it out again."""

from datetime import datetime

from django.db import transaction

from readiness.actions.finding import line_of, newest_verdict, title_of
from readiness.models import ConditionMet
from vessel.actions.author import By, token_of
from vessel.actions.history import record
from vessel.actions.version import check
from vessel.errors import Refused


@transaction.atomic
def meet_condition(*, leg_id: int, rule: str, cause: str, by: By, at: datetime, note: str = "") -> ConditionMet:
    """A condition of the newest verdict is met, for its departure. Raises Refused where it is none."""
    verdict = newest_verdict(leg_id)
    if line_of(verdict, rule, cause)["outcome"] != "condition":
        raise Refused("This finding is not a condition, so it cannot be met. Nothing was written.")
    leg = verdict.leg
    met = ConditionMet(
        leg=leg, rule=rule, cause=cause, at=at, by=token_of(by=by, vessel_id=leg.vessel_id),
        departure_at=verdict.departure_at, note=note,
    )  # fmt: skip
    check(met)
    met.save(force_insert=True)
    record(
        vessel=leg.vessel, what=f"Condition met for {leg.name}: {title_of(rule)}.", by=by, at=at, noun="condition",
        noun_key=str(met.pk), private=note or None,
    )  # fmt: skip
    return met


@transaction.atomic
def strike_condition(*, met_id: int, by: By, at: datetime) -> ConditionMet:
    """It was not met after all: struck out, it stays readable and counts no more."""
    met = ConditionMet.objects.select_for_update().select_related("leg__vessel").get(pk=met_id)
    if met.struck_at is not None:
        raise Refused("This is struck out already; nothing was changed.")
    met.struck_at = at
    met.save(update_fields=["struck_at"])
    what = f"Struck out: condition met for {met.leg.name}, {title_of(met.rule)}."
    record(vessel=met.leg.vessel, what=what, by=by, at=at, noun="condition", noun_key=str(met.pk))
    return met
