"""Giving and withdrawing a waiver: one finding taken on oneself, in writing, with the figure at which it lapses."""

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction

from readiness.actions.finding import line_of, newest_verdict, title_of
from readiness.models import Verdict, Waiver
from readiness.queries.leg import distance_m
from readiness.rules.changes import only_departure
from readiness.rules.engine import ENGINE_VERSION, judge
from readiness.rules.facts import Waiver as WaiverFact
from readiness.rules.facts import changed, decode
from readiness.rules.judgement import Outcome, Waive
from readiness.rules.register import RULE_OF
from readiness.rules.waiver import cause_text
from vessel.actions.author import By, token_of
from vessel.actions.history import record
from vessel.actions.version import check, save_changed
from vessel.errors import BadInput, Refused
from vessel.models import Person

LAPSES_AT = 0.10  # own default: worse by this share of the figure


@transaction.atomic
def give_waiver(
    *,
    leg_id: int,
    rule: str,
    cause: str,
    reason: str,
    instead: str,
    told: Sequence[Person],
    by: By,
    at: datetime,
    until: datetime | None = None,
    lapses_at_value: float | None = None,
) -> Waiver:
    """Waive a no-go of the newest verdict, as far as its rule allows. Raises Refused or BadInput; nothing is written."""
    verdict = newest_verdict(leg_id)
    line = line_of(verdict, rule, cause)
    _check_may(rule, line["outcome"], line["demand"], until)
    leg = verdict.leg
    waiver = Waiver(
        leg=leg, rule=rule, cause=cause, engine_version=ENGINE_VERSION, at=at,
        by=token_of(by=by, vessel_id=leg.vessel_id), reason=reason.strip(), instead=instead.strip(),
        told=[person.token for person in told], value=line["demand"], limit=line["limit"],
        lapses_at_value=_lapse(line["demand"], line["limit"]) if lapses_at_value is None else lapses_at_value,
        until=until, departure_at=verdict.departure_at, leg_distance_m=distance_m(leg.pk),
        crew=sorted(leg.crew.values_list("token", flat=True)),
    )  # fmt: skip
    check(waiver)
    _check_holds(verdict, waiver)
    waiver.save(force_insert=True)
    record(
        vessel=leg.vessel, what=f"Waived for {leg.name}: {title_of(rule)}.", by=by, at=at, noun="waiver",
        noun_key=str(waiver.pk), private=f"{waiver.reason} Instead: {waiver.instead}",
        changes={"value": [None, waiver.value], "limit": [None, waiver.limit], "until": [None, until]},
    )  # fmt: skip
    return waiver


@transaction.atomic
def withdraw_waiver(*, waiver_id: int, seen_version: int, by: By, at: datetime) -> Waiver:
    """Take a waiver back; it stays readable and counts no more."""
    waiver = Waiver.objects.select_related("leg__vessel").get(pk=waiver_id)
    if waiver.withdrawn_at is not None:
        raise Refused("This waiver was taken back already; nothing was changed.")
    save_changed(waiver, seen_version, withdrawn_at=at)
    what = f"Waiver taken back for {waiver.leg.name}: {title_of(waiver.rule)}."
    record(vessel=waiver.leg.vessel, what=what, by=by, at=at, noun="waiver", noun_key=str(waiver.pk))
    return waiver


def _check_may(rule: str, outcome: str, value: float | None, until: datetime | None) -> None:
    if outcome != "no-go":
        raise Refused("Only a no-go is waived: a condition is met or accepted, and what is not known is found out.")
    waive = RULE_OF[rule].waive.get(Outcome.NO_GO, Waive.NEVER)
    if waive == Waive.NEVER:
        raise Refused("This finding can never be waived. The skipper may still sail; the verdict stays as it is.")
    if value is None:
        raise Refused("This finding has no figure that could tell when a waiver lapses, so it is not waived.")
    if waive == Waive.UNTIL_DATE and until is None:
        raise BadInput("Say until when the waiver holds, 90 days at most. Nothing was written.")


def _check_holds(verdict: Verdict, waiver: Waiver) -> None:
    """Judge the verdict's own facts with the waiver laid over: what does not ease the finding is refused."""
    facts = only_departure(decode(verdict.facts_document), verdict.departure_at.timestamp())
    columns = {name: getattr(waiver, name) for name in WaiverFact.__struct_fields__ if name not in {"told", "crew"}}
    stated = WaiverFact(**columns, told=(), crew=tuple(person.name for person in facts.people))
    judged = judge(changed(facts, waivers=(stated,)))
    eased = [
        bool(judged.standing[row, 0] < judged.outcomes[row, 0])
        for row, judgement in enumerate(judged.judgements)
        if (judgement.rule, cause_text(judgement)) == (waiver.rule, waiver.cause)
    ]
    if not any(eased):
        raise Refused("As it stands this finding cannot be waived: the rule allows none here. Nothing was written.")


def _lapse(value: float, limit: float | None) -> float:
    """Worse than the value by a tenth, on the far side from the limit."""
    rising = limit is None or value >= limit
    return value + (LAPSES_AT if rising else -LAPSES_AT) * abs(value)
