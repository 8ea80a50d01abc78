"""Service due before or during the leg, on what the engine cannot drive without."""

from collections.abc import Iterator
from datetime import date
from functools import partial

import numpy as np
from msgspec.structs import replace

from readiness.calc.success_tree import codes
from readiness.rules.calendar_months import months_since
from readiness.rules.computed_condition import fresh
from readiness.rules.facts import Facts, changed
from readiness.rules.facts_boat import Service
from readiness.rules.judgement import Judgement, Outcome, Outcomes, Remedy, Rule, Subject, Waive, Words, graded
from readiness.rules.limits import Limits
from readiness.rules.missing import (
    LATE_ARRIVAL,
    harbour_move,
    late_arrival_missing,
    late_at,
    not_asked,
    unknown,
    untimed,
)
from readiness.rules.passage import Passage
from readiness.rules.record import Array
from readiness.rules.state import states, unreadable
from readiness.rules.telling import by_departure, day_in, hand_for
from readiness.rules.words_of_trade import DueBy, Skill
from vessel.calc.wording import margin, number
from vessel.units import HOUR

ID, TITLE = "engine_service", "Engine service in time"
MOST_TOLERANCE = 0.25  # of an interval, whatever the service plan says [own]
OVERDUE = 1.50  # intervals since the last service [own]
HOURS_TOO = frozenset({DueBy.HOURS, DueBy.BOTH})
MONTHS_TOO = frozenset({DueBy.MONTHS, DueBy.BOTH})


def engine_service(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:  # noqa: ARG001
    """Each service on an item of Drive, by engine hours or months at late arrival, whichever is further on.

    Source: [practice]
    """
    if facts.leg.harbour_move:
        yield harbour_move(ID, passage, TITLE)
        return
    if facts.boat.services is None:
        yield unknown(ID, ("list", "services"), passage, NO_PLAN)
        return
    yield from late_arrival_missing(ID, passage)
    judged = [service for service in facts.boat.services if _is_judged(facts, passage, service)]
    for service in judged:
        yield _service(facts, passage, service)
    if not judged:
        yield not_asked(ID, passage, TITLE, "No service falls due on anything the engine drives with.")


def _is_judged(facts: Facts, passage: Passage, service: Service) -> bool:
    """Whether the engine cannot drive without the item; true for an item that nobody lists."""
    held = states(facts, passage)
    needed = codes(held.trees["drive"])
    critical = service.equipment in needed or service.equipment not in held.items or needed == (unreadable("drive"),)
    return critical and service.due_by != DueBy.CONDITION


def _service(facts: Facts, passage: Passage, service: Service) -> Judgement:
    hours = _hours_since(facts, passage, service, passage.duration_late_s)
    months = _months_since(facts, service, late_at(passage))
    shares = [
        share
        for share, kinds in ((hours / service.every_h, HOURS_TOO), (months / service.every_months, MONTHS_TOO))
        if service.due_by in kinds
    ]
    tolerance = _tolerance(service)
    outcome = np.maximum.reduce([_graded(share, tolerance) for share in shares or [np.full(hours.shape, np.nan)]])
    begun = _hours_since(facts, passage, service, 0.0), _months_since(facts, service, passage.departure_at)
    kinds = [one for one, due in zip(begun, (HOURS_TOO, MONTHS_TOO), strict=True) if service.due_by in due]
    furthest = np.fmax.reduce(shares) if shares else np.full(hours.shape, np.nan)
    if service.equipment not in states(facts, passage).items:
        outcome = np.maximum(outcome, np.int8(Outcome.UNKNOWN))
    return Judgement(
        rule=ID,
        cause=("service", service.key),
        outcome=outcome,
        demand=furthest,
        limit=1.0,
        unit="of the interval",
        say=partial(_say, facts, passage, service, outcome, hours, months, tolerance),
        starved_by=LATE_ARRIVAL,
        starved=untimed(passage) & bool(kinds) & np.isfinite(np.sum(kinds, axis=0)),
    )


def _graded(share: Array, tolerance: float) -> Outcomes:
    return graded(
        share,
        (np.greater, 1.0, Outcome.ADVICE),
        (np.greater, 1.0 + tolerance, Outcome.CONDITION),
        (np.greater, OVERDUE, Outcome.NO_GO),
    )


def _tolerance(service: Service) -> float:
    """The service's own tolerance; none at all where nobody stated one, since a blank may not make it later."""
    return 0.0 if np.isnan(service.tolerance) else min(max(0.0, service.tolerance), MOST_TOLERANCE)


def _hours_since(facts: Facts, passage: Passage, service: Service, lasts_s: Array | float) -> Array:
    """Engine hours since the service, so long after departure; NaN where a count has run backwards."""
    now = fresh(facts, facts.boat.engine_hours_h, passage)
    since = np.where(now >= service.last_engine_h, now - service.last_engine_h, np.nan)
    every = np.where(service.every_h > 0, 1.0, np.nan)
    return np.asarray((since + np.asarray(lasts_s) / HOUR) * every)


def _months_since(facts: Facts, service: Service, at: Array) -> Array:
    zone = facts.boat.vessel.home_zone
    today = day_in(facts.judged_at.timestamp(), zone)
    known = service.last_on is not None and today is not None and service.last_on <= today
    last: date | None = service.last_on if known and service.every_months > 0 else None
    return months_since(last, at, zone)


def _say(
    facts: Facts,
    passage: Passage,
    service: Service,
    outcome: Outcomes,
    hours: Array,
    months: Array,
    tolerance: float,
    index: int,
) -> Words:
    sums = tuple(_sums(service, hours[index], months[index]))
    done = "; ".join(f"{label}: {value}" for label, value in sums) or "nobody has said when it falls due"
    if outcome[index] == Outcome.PASSED:
        left = _margin(service, hours[index], months[index])
        return Words(title=TITLE, sentence=f"{service.item}: {done}.", sums=sums, margin=left)
    title = {Outcome.UNKNOWN: "not known", Outcome.ADVICE: "due"}.get(outcome[index], "overdue")
    return Words(
        title=f"{service.item} {title}",
        sentence=f"{service.item} ({service.key}): {done}, tolerance {number(100 * tolerance)} %.",
        do=_do(Outcome(int(outcome[index])), timed=not untimed(passage)[index]),
        by=by_departure(passage, index),
        who=hand_for(facts, Skill.ENGINE),
        minutes=service.minutes,
        sums=sums,
        evidence=(("service", service.key), ("equipment", service.equipment)),
        remedies=_remedies(service),
    )


def _do(outcome: Outcome, *, timed: bool) -> str:
    if outcome != Outcome.UNKNOWN:
        return "Do the service or shorten the leg."
    if timed:
        return "Enter when it was last done."
    return "Give her speed and the streams of the way, so that her late arrival is known; and when it was last done."


def _sums(service: Service, hours: float, months: float) -> Iterator[tuple[str, str]]:
    """Each count against its interval, as "212.1 h of 200 h"."""
    if service.due_by in HOURS_TOO:
        yield "Engine hours at late arrival", f"{number(hours, 1)} h of {number(service.every_h)} h"
    if service.due_by in MONTHS_TOO:
        yield "Months at late arrival", f"{number(months, 1)} of {number(service.every_months)}"


def _margin(service: Service, hours: float, months: float) -> str:
    """What is left of the interval that runs out first, by share."""
    left = []
    if service.due_by in HOURS_TOO:
        left.append((1 - hours / service.every_h, margin(service.every_h - hours, "h")))
    if service.due_by in MONTHS_TOO:
        left.append((1 - months / service.every_months, margin(service.every_months - months, "months", 1)))
    return min(left)[1] if left else ""


def _remedies(service: Service) -> tuple[Remedy, ...]:
    if service.due_by is None:
        return ()
    return (
        Remedy("job", f"Do the service: {service.item} ({service.key})", partial(_done, service.key), service.minutes),
    )


def _done(key: str, facts: Facts) -> Facts:
    """The facts once a service has been done today."""
    today = day_in(facts.judged_at.timestamp(), facts.boat.vessel.home_zone)
    hours = facts.boat.engine_hours_h.value
    services = tuple(
        replace(one, last_on=today, last_engine_h=hours) if one.key == key else one for one in facts.boat.services or ()
    )
    return changed(facts, boat=replace(facts.boat, services=services))


NO_PLAN = Words(
    title="No service plan",
    sentence="The list of services is missing, so nobody can say what is due on the engine.",
    do="Enter the service plan with the last date and engine hours of each.",
)

RULE = Rule(
    id=ID,
    title=TITLE,
    subject=Subject.BOAT,
    formula="for each service on an item of Drive: the larger of engine hours and months at late arrival since it was last "
    "done, over its interval; up to 1.00 passes, up to 1 + tolerance is advice (its own, 25 % at most), up to 1.50 "
    "a condition, above that no-go; no last date is unknown; due on condition is not judged here",
    source="[practice]",
    worst=Outcome.NO_GO,
    judge=engine_service,
    waive={Outcome.NO_GO: Waive.UNTIL_DATE, Outcome.CONDITION: Waive.UNTIL_DATE},
)
