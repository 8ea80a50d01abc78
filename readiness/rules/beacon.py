"""A distress beacon in date and registered: the farther from a refuge, the more it counts."""

from collections.abc import Iterator
from functools import partial

import numpy as np
from msgspec.structs import replace

from readiness.calc.success_tree import Level
from readiness.rules.calendar_months import later
from readiness.rules.circumstances import all_of, circumstances, holds, negated, weighed
from readiness.rules.facts import Facts, changed
from readiness.rules.facts_boat import Beacon
from readiness.rules.judgement import Judgement, Outcome, Outcomes, Remedy, Rule, Subject, Waive, Words
from readiness.rules.limits import Limits
from readiness.rules.missing import harbour_move, late_arrival_missing, late_at
from readiness.rules.passage import Passage
from readiness.rules.record import NOT_KNOWN
from readiness.rules.state import states
from readiness.rules.telling import by_departure, day_in, end_of_day, listed
from vessel.calc.wording import miles
from vessel.units import Array

ID, TITLE = "beacon", "Distress beacon"
REGISTRATION_MONTHS = 24  # [practice]
REGISTER_MINUTES = 15.0  # [own]
GOOD, BADLY_REGISTERED, NONE = 0, 1, 2


def beacon(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:  # noqa: ARG001
    """The best beacon aboard at late arrival.

    A badly registered beacon is never judged worse than none; one good beacon is enough whatever the others are.

    Source: [practice]
    """
    if facts.leg.harbour_move:
        yield harbour_move(ID, passage, TITLE)
        return
    yield from late_arrival_missing(ID, passage)
    sure, possible = (best_level(facts, passage, hopeful=hopeful) for hopeful in (False, True))
    none = _without(facts, passage)
    outcome, best = _graded(sure, none), _graded(possible, none)
    doubtful = (outcome > best) & (outcome > Outcome.ADVICE)
    outcome = np.where(doubtful, np.int8(Outcome.UNKNOWN), outcome).astype(np.int8)
    yield Judgement(
        rule=ID,
        cause=("beacons", ""),
        outcome=outcome,
        demand=np.asarray((sure < NONE).astype(np.float64)),
        limit=1.0,
        unit="beacons",
        say=partial(_say, facts, passage, outcome, sure),
    )


def best_level(facts: Facts, passage: Passage, *, hopeful: bool) -> Array:
    """The best of the beacons, [departure]; `hopeful` takes what is not known as good, else as bad."""
    levels = [_level(facts, passage, one, hopeful=hopeful) for one in facts.boat.beacons]
    return np.asarray(np.min([np.full(passage.departures, NONE), *levels], axis=0))


def _level(facts: Facts, passage: Passage, one: Beacon, *, hopeful: bool) -> Array:
    answers = (_valid(facts, passage, one), _registered(facts, passage, one))
    valid, registered = (np.nan_to_num(answer, nan=float(hopeful)) == 1.0 for answer in answers)
    return np.where(valid, np.where(registered, GOOD, BADLY_REGISTERED), NONE)


def _valid(facts: Facts, passage: Passage, one: Beacon) -> Array:
    """Battery in date at late arrival and nothing known against the beacon, three-valued."""
    held, zone = states(facts, passage), facts.boat.vessel.home_zone
    listed = one.code in held.items
    level = held.level[held.rows[one.code]] if listed else np.full(passage.departures, Level.UNKNOWN, np.int8)
    works = np.where(level == Level.OUT, 0.0, np.where(level == Level.UNKNOWN, np.nan, 1.0))
    return all_of(works, holds(np.less, late_at(passage), end_of_day(one.battery_through, zone)))


def _registered(facts: Facts, passage: Passage, one: Beacon) -> Array:
    """Registered to this owner and not too long ago, three-valued."""
    until = None if one.registered_on is None else later(one.registered_on, REGISTRATION_MONTHS)
    fresh = holds(np.less, late_at(passage), end_of_day(until, facts.boat.vessel.home_zone))
    owner = {True: 1.0, False: 0.0, None: NOT_KNOWN}[one.registered_to_owner]
    return all_of(fresh, np.full(passage.departures, owner))


def _without(facts: Facts, passage: Passage) -> Outcomes:
    """The outcome with no valid beacon; where the arrival is not known that is a finding of its own."""
    around = circumstances(facts, passage)
    easy, _ = weighed(all_of(negated(around.night), around.near), Outcome.ADVICE, Outcome.CONDITION)
    return weighed(around.far, Outcome.NO_GO, easy)[0]


def _graded(level: Array, none: Outcomes) -> Outcomes:
    badly = np.minimum(none, np.int8(Outcome.CONDITION))
    return np.where(level == GOOD, np.int8(0), np.where(level == BADLY_REGISTERED, badly, none)).astype(np.int8)


def _say(facts: Facts, passage: Passage, outcome: Outcomes, sure: Array, index: int) -> Words:
    beacons = facts.boat.beacons
    evidence = tuple(("equipment", one.code) for one in beacons)
    if outcome[index] == Outcome.PASSED:
        names = [one.name for one in beacons if _level(facts, passage, one, hopeful=False)[index] == GOOD]
        return Words(title=TITLE, sentence=f"{listed(names)}: in date and registered.", evidence=evidence)
    away = f"a refuge is up to {miles(passage.refuge_m[index])} off"
    title, said, do = _found(outcome[index], sure[index] < NONE, bool(beacons))
    return Words(
        title=title,
        sentence=f"{said}, and {away}.",
        do=do,
        by=by_departure(passage, index),
        evidence=evidence,
        remedies=tuple(_remedies(facts)),
    )


def _found(outcome: int, valid: bool, held: bool) -> tuple[str, str, str]:
    """Title, what is wrong and what to do."""
    if outcome == Outcome.UNKNOWN:
        return (
            "Beacon not known",
            "A date or the owner of the beacon is not known",
            "Read its battery date and registration.",
        )
    if valid:
        said = f"The beacon is registered to another owner or more than {REGISTRATION_MONTHS} months ago"
        return "Beacon badly registered", said, "Correct the registration."
    said = "No beacon is valid at late arrival" if held else "No beacon is carried"
    return "No valid beacon", said, "Have its battery changed, or carry another."


def _remedies(facts: Facts) -> Iterator[Remedy]:
    """Registering anew can be done from the quay; a battery cannot."""
    for one in facts.boat.beacons:
        if one.battery_through is not None:
            text = f"Register {one.name} ({one.code}) to this owner today"
            yield Remedy("message", text, partial(_registered_today, one.code), REGISTER_MINUTES)


def _registered_today(code: str, facts: Facts) -> Facts:
    today = day_in(facts.judged_at.timestamp(), facts.boat.vessel.home_zone)
    beacons = tuple(
        replace(one, registered_on=today, registered_to_owner=True) if one.code == code else one
        for one in facts.boat.beacons
    )
    return changed(facts, boat=replace(facts.boat, beacons=beacons))


RULE = Rule(
    id=ID,
    title=TITLE,
    subject=Subject.BOAT,
    formula="a beacon whose battery is good through late arrival, registered to this owner within 24 months, passes; with "
    "none, no-go farther than the far limit from a refuge, advice by day and near one, else a condition; badly "
    "registered is a condition at most",
    source="[practice]",
    worst=Outcome.NO_GO,
    judge=beacon,
    limits=("near_m", "far_m"),
    waive={Outcome.NO_GO: Waive.ONE_LEG, Outcome.CONDITION: Waive.ONE_LEG},
)
