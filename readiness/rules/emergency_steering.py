"""Emergency steering proved: the tiller and its head, shipped and tried within a year and since the last work."""

from collections.abc import Iterator
from functools import partial

import numpy as np

from readiness.calc.success_tree import Level
from readiness.rules.circumstances import any_of, circumstances, holds, weighed, worst_of
from readiness.rules.facts import Facts
from readiness.rules.facts_boat import Equipment
from readiness.rules.function_state import IS, cause_of, evidence_of, requirement_missing, why
from readiness.rules.judgement import Judgement, Outcome, Outcomes, Rule, Subject, Waive, Words, graded
from readiness.rules.limits import Limits
from readiness.rules.missing import harbour_move, late_arrival_missing, late_at, unknown
from readiness.rules.passage import Passage
from readiness.rules.put_right import remedies_for
from readiness.rules.record import Array, epoch
from readiness.rules.state import States, states
from readiness.rules.telling import by_departure, hand_for
from readiness.rules.words_of_trade import Kind, Skill
from vessel.calc.wording import margin, miles, number
from vessel.units import DAY

ID, TITLE = "emergency_steering", "Emergency steering proved"
OUTCOME_OF = np.array(
    [Outcome.PASSED, Outcome.CONDITION, Outcome.CONDITION, Outcome.UNKNOWN, Outcome.NO_GO], np.int8
)  # by level
KINDS = (Kind.EMERGENCY_TILLER, Kind.EMERGENCY_TILLER_HEAD)
FIT_IT = "Ship the tiller and move the rudder both ways alongside, within 5 min"
NONE_LISTED = Words(
    title="No emergency steering listed",
    sentence="No emergency tiller is on the equipment list, so nobody can say how she steers without the wheel.",
    do="Enter the emergency tiller and its proof.",
)


def emergency_steering(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:
    """Each part of the emergency tiller; lost is no-go by night or far from refuge.

    Source: [practice]
    """
    if facts.leg.harbour_move:
        yield harbour_move(ID, passage, TITLE)
        return
    held = states(facts, passage)
    yield from late_arrival_missing(ID, passage)
    parts = held.of_kind(*KINDS)
    if not parts:
        yield unknown(ID, (ID, ""), passage, NONE_LISTED)
    for item in parts:
        yield from _part(facts, passage, limits, held, item)


def _part(facts: Facts, passage: Passage, limits: Limits, held: States, item: Equipment) -> Iterator[Judgement]:
    level = held.level[held.rows[item.code]]
    until = np.where(np.isnan(late_at(passage)), passage.departure_at, late_at(passage))
    age = until - epoch(item.proved_at)
    hard = any_of(
        circumstances(facts, passage).night,
        holds(np.greater, passage.refuge_m, limits.emergency_steering_refuge_m),
    )
    lost, undecided = weighed(hard, Outcome.NO_GO, Outcome.CONDITION)
    aged = graded(age, (np.greater, limits.emergency_steering_keeps_s, Outcome.CONDITION))
    outcome = np.where(level == Level.OUT, lost, worst_of([OUTCOME_OF[level], aged])).astype(np.int8)
    yield Judgement(
        rule=ID,
        cause=cause_of(held, item.code),
        outcome=outcome,
        demand=age,
        limit=limits.emergency_steering_keeps_s,
        unit="s",
        say=partial(_say, facts, passage, held, item, outcome, age, limits),
    )
    yield from requirement_missing(ID, facts, passage, undecided & (level == Level.OUT), ())


def _say(
    facts: Facts,
    passage: Passage,
    held: States,
    item: Equipment,
    outcome: Outcomes,
    age: Array,
    limits: Limits,
    index: int,
) -> Words:
    level = Level(int(held.level[held.rows[item.code], index]))
    keeps = limits.emergency_steering_keeps_s
    days = f"proved {number(age[index] / DAY)} days ago, keeps {number(keeps / DAY)} days"
    if outcome[index] == Outcome.PASSED:
        left = margin((keeps - age[index]) / DAY, "days")
        return Words(
            title=TITLE, sentence=f"{item.name}: {days}.", margin=left, evidence=evidence_of(held, [item.code])
        )
    remedies = remedies_for(facts, held, [item.code])
    return Words(
        title=f"Emergency steering {IS[level] if level else 'proof too old'}",
        sentence=_sentence(held, item, level, outcome[index] == Outcome.NO_GO, passage.refuge_m[index], days),
        do=_do(item, level, [remedy.text for remedy in remedies]),
        by=by_departure(passage, index),
        who=hand_for(facts, Skill.HELM),
        minutes=item.proof_minutes,
        sums=(
            (f"Age of the proof at late arrival, limit {number(keeps / DAY)} days", f"{number(age[index] / DAY)} days"),
        ),
        evidence=evidence_of(held, [item.code]),
        remedies=remedies,
    )


def _sentence(held: States, item: Equipment, level: Level, no_go: bool, refuge_m: float, days: str) -> str:
    if level in {Level.IN_SERVICE, Level.NOT_PROVED} and held.worst_reason(item.code) is None:
        return f"{item.name}: {days}."
    said = f"{why(held, item.code)}."
    return f"{said} A refuge is up to {miles(refuge_m)} off, or it is dark." if no_go else said


def _do(item: Equipment, level: Level, remedies: list[str]) -> str:
    if level == Level.DEGRADED:
        return f"{FIT_IT}, and tell the crew what is wrong with it."
    if level == Level.OUT and remedies:
        return f"{remedies[0]}."
    if level == Level.UNKNOWN:
        return f"{FIT_IT}, and write down that {item.name.lower()} works."
    return f"{FIT_IT}."


RULE = Rule(
    id=ID,
    title=TITLE,
    subject=Subject.BOAT,
    formula="each part of the emergency tiller: proved within the limit at late arrival and since the last work "
    "passes; older, not proved or degraded is a condition; never proved is unknown; lost is no-go by night or farther "
    "from a refuge than the limit, else a condition",
    source="[practice] [own]",
    worst=Outcome.NO_GO,
    judge=emergency_steering,
    limits=("emergency_steering_keeps_s", "emergency_steering_refuge_m"),
    waive={Outcome.NO_GO: Waive.ONE_LEG, Outcome.CONDITION: Waive.ONE_LEG},
)
