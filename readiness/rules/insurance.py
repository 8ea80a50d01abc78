"""Is the leg wholly inside what each policy covers?"""

from collections.abc import Callable, Iterator, Mapping
from datetime import date

import numpy as np

from readiness.calc.track import wrapped
from readiness.rules.calendar_months import month_in
from readiness.rules.circumstances import circumstances
from readiness.rules.facts import Facts
from readiness.rules.facts_people import Box, Policy
from readiness.rules.hands import fewest_if_timed
from readiness.rules.judgement import Judgement, Outcome, Outcomes, Rule, Subject, Waive, Words
from readiness.rules.limits import Limits
from readiness.rules.missing import LATE_ARRIVAL, NOBODY, late_arrival_missing, unknown, untimed
from readiness.rules.passage import Passage
from readiness.rules.record import Array
from readiness.rules.telling import end_of_day
from vessel.units import DAY, Flags

RULE_ID = "insurance"
SOON_S = 14 * DAY  # a policy that ends so soon after is worth a word [practice]

Check = Callable[[Facts, Passage, Policy], Outcomes]


def insurance(facts: Facts, passage: Passage, _limits: Limits) -> Iterator[Judgement]:
    """One judgement for each policy: its worst part.

    Source: [practice]
    """
    yield from late_arrival_missing(RULE_ID, passage)
    if not facts.policies:
        words = Words(title="Insurance not known", sentence="No policy is held.", do="Enter the policy.", minutes=5.0)
        yield unknown(RULE_ID, ("policy", ""), passage, words)
    for policy in facts.policies or ():
        yield _judgement(facts, passage, policy)


def _judgement(facts: Facts, passage: Passage, policy: Policy) -> Judgement:
    parts = {what: check(facts, passage, policy) for what, check in CHECKS.items()}
    outcome = np.max(list(parts.values()), axis=0).astype(np.int8)

    def say(index: int) -> Words:
        against = [what for what, part in parts.items() if part[index] == outcome[index] and part[index]]
        worst = Outcome(int(outcome[index]))
        state = {
            Outcome.PASSED: "covers the whole leg",
            Outcome.ADVICE: f"covers the leg and ends soon, on {policy.through_on}",
            Outcome.UNKNOWN: f"cannot be read on: {', '.join(against)}",
            Outcome.NO_GO: f"does not cover the leg: {', '.join(against)}",
        }[worst]
        return Words(
            title=policy.name if not worst else f"{policy.name}: {', '.join(against)}",
            sentence=f"{policy.name} {state}.",
            do="Ring the insurer; ask for it in writing." if worst > Outcome.ADVICE else "",
            minutes=15.0,
            evidence=(("paper", policy.name),),
        )

    return Judgement(
        rule=RULE_ID,
        cause=("policy", policy.name),
        outcome=outcome,
        demand=np.sum([part == Outcome.NO_GO for part in parts.values()], axis=0, dtype=np.float64),
        limit=0.0,
        unit="parts not covered",
        say=say,
        starved_by=LATE_ARRIVAL if facts.people else NOBODY,
        starved=untimed(passage) & _is_whole(policy) if facts.people else _only_for_want_of_people(parts),
    )


def _is_whole(policy: Policy) -> bool:
    """Whether all of it is stated that a passage with times is held against."""
    stated = (policy.from_on, policy.through_on, policy.area, policy.night_covered, policy.single_handed_covered)
    return None not in stated and bool(policy.months)


def _only_for_want_of_people(parts: Mapping[str, Outcomes]) -> Flags:
    others = [part for what, part in parts.items() if what != "single-handed"]
    return np.asarray(np.max(others, axis=0) < np.maximum(parts["single-handed"], Outcome.CONDITION))


def _graded(inside: Flags, known: Flags | bool) -> Outcomes:
    outcome = np.where(inside, np.int8(Outcome.PASSED), np.int8(Outcome.NO_GO))
    return np.where(known, outcome, np.int8(Outcome.UNKNOWN)).astype(np.int8)


def _days(facts: Facts, passage: Passage, policy: Policy) -> Outcomes:
    zone, late = facts.boat.vessel.home_zone, passage.late.arrives_at
    before = date.fromordinal(policy.from_on.toordinal() - 1) if policy.from_on is not None else None
    starts, ends = end_of_day(before, zone), end_of_day(policy.through_on, zone)
    inside = np.asarray((passage.departure_at >= starts) & (late < ends))
    soon = inside & (ends - late <= SOON_S)
    known = np.isfinite(late) & np.isfinite(starts + ends)
    return np.maximum(_graded(inside, known), np.where(soon, np.int8(Outcome.ADVICE), np.int8(0)))


def _months(facts: Facts, passage: Passage, policy: Policy) -> Outcomes:
    zone = facts.boat.vessel.home_zone
    first, last = (month_in(times, zone) for times in (passage.departure_at, passage.late.arrives_at))
    known = np.isfinite(first + last) & bool(policy.months)
    return _graded(np.isin(first, policy.months) & np.isin(last, policy.months), known)


def _waters(_facts: Facts, passage: Passage, policy: Policy) -> Outcomes:
    box = policy.area
    track = passage.track
    inside = box is not None and _in_box(box, track.node_lat_deg, track.node_lon_deg)
    known = box is not None and np.isfinite(box.south_deg + box.north_deg + box.west_deg + box.east_deg)
    return _graded(np.full(passage.departures, inside), known)


def _in_box(box: Box, lat_deg: Array, lon_deg: Array) -> bool:
    width = (box.east_deg - box.west_deg) % 360.0
    across = wrapped(lon_deg - box.west_deg) % 360.0 <= width
    return bool((across & (lat_deg >= box.south_deg) & (lat_deg <= box.north_deg)).all())


def _night(facts: Facts, passage: Passage, policy: Policy) -> Outcomes:
    night = circumstances(facts, passage).night
    return _graded((night == 0.0) | (policy.night_covered is True), (night == 0.0) | (policy.night_covered is not None))


def _single_handed(facts: Facts, passage: Passage, policy: Policy) -> Outcomes:
    aboard, covered = fewest_if_timed(facts, passage), policy.single_handed_covered
    enough = aboard >= 2
    return _graded(
        enough | (covered is True), (enough | (covered is not None)) & ~(np.isnan(aboard) & (covered is not True))
    )


def _clauses(facts: Facts, passage: Passage, policy: Policy) -> Outcomes:
    outcome = np.zeros(passage.departures, np.int8)
    for clause in policy.clauses:
        due = passage.late.arrives_at >= end_of_day(clause.due_on, facts.boat.vessel.home_zone)
        undated = clause.due_on is None
        unmet = np.int8(Outcome.UNKNOWN if clause.met is None or undated else Outcome.NO_GO)
        outcome = np.where((due | undated) & (clause.met is not True), np.maximum(outcome, unmet), outcome)
    return outcome.astype(np.int8)


CHECKS: dict[str, Check] = {
    "the days": _days,
    "the months": _months,
    "the waters": _waters,
    "the night": _night,
    "single-handed": _single_handed,
    "a condition that is due": _clauses,
}

RULE = Rule(
    id=RULE_ID,
    title="Insurance in force",
    subject=Subject.PAPERS,
    formula="Days, months, waters, night and crew of the leg inside each policy and its due conditions met: passed; any "
    "outside: no-go; ends within 14 days after: advice; no policy or a part not known: unknown.",
    source="[practice]",
    worst=Outcome.NO_GO,
    judge=insurance,
    waive={Outcome.NO_GO: Waive.ONE_LEG},
)
