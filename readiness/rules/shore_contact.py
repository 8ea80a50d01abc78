"""Somebody ashore knows, and knows when to worry."""

from collections.abc import Iterator

import msgspec
import numpy as np

from readiness.rules.facts import Facts, changed
from readiness.rules.facts_people import Contact
from readiness.rules.judgement import Judgement, Outcome, Remedy, Rule, Subject, Waive, Words
from readiness.rules.limits import Limits
from readiness.rules.passage import Passage
from readiness.rules.record import epoch, moment
from readiness.rules.telling import by_departure, departure_zone
from vessel.calc.wording import with_utc
from vessel.units import MINUTE, NAUTICAL_MILE

RULE_ID = "shore_contact"
SHORT_M = 3 * NAUTICAL_MILE  # a move this short inside the harbour is only advised to be told [practice]


def shore_contact(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:
    """One judgement: told, answered, and an overdue time late enough.

    Source: [solas-v34]
    """
    contact, wanted = facts.contact, passage.late.arrives_at + limits.overdue_after_s
    told = contact is not None and contact.told_at is not None and contact.acknowledged is True
    overdue = epoch(contact.overdue_at) if contact is not None else np.nan
    good = told & (overdue >= wanted)
    short = facts.leg.harbour_move and passage.track.node_along_m[-1] <= SHORT_M
    outcome = np.where(good, np.int8(Outcome.PASSED), np.int8(Outcome.ADVICE if short else Outcome.CONDITION))
    zone = departure_zone(facts)

    def say(index: int) -> Words:
        agreed = float(np.ceil(wanted[index] / MINUTE) * MINUTE)  # a whole minute to agree on, never too soon
        by = with_utc(agreed, zone)
        name = contact.name if contact is not None else "Somebody ashore"
        if good[index]:
            sentence = f"{name} has the plan and calls for help at {with_utc(overdue, zone)}."
        elif told and np.isnan(wanted[index]):
            sentence = f"{name} would worry at {with_utc(overdue, zone)}; when she arrives at the latest is not known."
        elif told:
            sentence = f"{name} would worry at {with_utc(overdue, zone)}; for this departure not before {by}."
        else:
            sentence = f"{name} has not confirmed the plan and the overdue time."
        return Words(
            title="Shore contact" if good[index] else "Tell the shore contact",
            sentence=sentence,
            do="" if good[index] else f"Send route, persons, whom to call, and {_overdue(wanted[index], by)}.",
            by=by_departure(passage, index),
            minutes=5.0,
            sums=(("Late arrival and 1 h", by),) if np.isfinite(wanted[index]) else (),
            remedies=() if good[index] or contact is None or np.isnan(wanted[index]) else (_answered(contact, agreed),),
        )

    yield Judgement(
        rule=RULE_ID,
        cause=("shore contact", ""),
        outcome=outcome.astype(np.int8),
        demand=wanted,
        limit=overdue,
        unit="s since 1970",
        say=say,
        ripens=~good & (contact is None or contact.acknowledged is not False),
    )


def _overdue(wanted: float, by: str) -> str:
    return "agree an overdue time once her late arrival is known" if np.isnan(wanted) else f"overdue time {by}"


def _answered(contact: Contact, overdue: float) -> Remedy:
    def change(facts: Facts) -> Facts:
        answered = msgspec.structs.replace(
            contact, told_at=facts.judged_at, acknowledged=True, overdue_at=moment(overdue)
        )
        return changed(facts, contact=answered)

    return Remedy("message", f"{contact.name} has the plan and answers", change, minutes=5.0)


RULE = Rule(
    id=RULE_ID,
    title="Someone ashore knows",
    subject=Subject.PAPERS,
    formula="The contact has the plan, has answered, and the overdue time is the late arrival + 1 h or later: passed; "
    "else condition (advice for a harbour move of up to 3 nmi).",
    source="[solas-v34]",
    worst=Outcome.CONDITION,
    judge=shore_contact,
    limits=("overdue_after_s",),
    waive={Outcome.CONDITION: Waive.ONE_LEG},
)
