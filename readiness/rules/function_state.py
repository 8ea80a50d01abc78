"""A function of the boat against what a leg requires of it, link by link: which items hold it back, and why.

A link is a part of the tree that may not fail. Lost is no-go, unknown is unknown, degraded is a condition; not proved
is left to the tests that are owed, and judged here as if they came out well.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np

from readiness.calc.success_tree import Level, Levels, Tree, codes, evaluate, links
from readiness.rules.circumstances import weighed
from readiness.rules.computed_condition import CONDITIONS, ENGINE_SPACE
from readiness.rules.facts import Facts
from readiness.rules.judgement import Cause, Evidence, Judgement, Outcome, Outcomes, Words
from readiness.rules.missing import forecast_missing, late_arrival_missing, unknown
from readiness.rules.passage import Passage
from readiness.rules.put_right import remedies_for
from readiness.rules.reason import Reason
from readiness.rules.record import NOT_KNOWN, Array
from readiness.rules.state import States, conditions_met, states
from readiness.rules.telling import by_departure, first_worst, hand_for, listed
from readiness.rules.words_of_trade import Skill
from vessel.units import Flags

OUTCOME_OF_LEVEL = np.array(
    [Outcome.PASSED, Outcome.CONDITION, Outcome.PASSED, Outcome.UNKNOWN, Outcome.NO_GO], np.int8
)
IS = {Level.DEGRADED: "degraded", Level.NOT_PROVED: "not proved", Level.UNKNOWN: "not known", Level.OUT: "lost"}


@dataclass(frozen=True)
class Asked:
    """Which rule asks for which function, by which name, and where it is required (three-valued, [departure])."""

    rule: str
    name: str
    required: Array


def level_once_tested(held: States, tree: Tree) -> Levels:
    """Level of a tree; where it is not proved, what it would be had every test that is owed come out well."""
    level = held.of(tree)
    return np.asarray(np.where(level == Level.NOT_PROVED, held.best(tree), level))


def function_judgements(facts: Facts, passage: Passage, asked: Asked, tree: Tree) -> Iterator[Judgement]:
    """One judgement for each link that is not in service everywhere; one that passed where all are."""
    yield from links_judged(facts, passage, asked, links(tree))


def links_judged(facts: Facts, passage: Passage, asked: Asked, parts: Sequence[Tree]) -> Iterator[Judgement]:
    """The same for some links of a tree."""
    held = states(facts, passage)
    yield from late_arrival_missing(asked.rule, passage, asked.required != 0.0)
    failing = [part for part in parts if (level_once_tested(held, part) > Level.IN_SERVICE).any()]
    for part in failing:
        yield from _link(facts, passage, asked, held, part)
    if not failing:
        yield _in_service(passage, asked)


def cause_of(held: States, code: str) -> Cause:
    """The job that took an item out or the list that is lost, else the item itself: one cause, one finding."""
    reason = held.worst_reason(code)
    if reason is not None and reason.kind in {"job", "list"}:
        return (reason.kind, reason.key)
    return ("equipment", code)


def evidence_of(held: States, names: Sequence[str]) -> tuple[Evidence, ...]:
    """The items and what was entered against them."""
    reasons = [reason for code in names for reason in held.reasons.get(code, ())]
    entered = [(reason.kind, reason.key) for reason in reasons if reason.kind in {"defect", "job"}]
    return tuple(dict.fromkeys([*entered, *(("equipment", code) for code in names)]))


def why(held: States, code: str) -> str:
    """One item and what holds it back, in words."""
    reason = held.worst_reason(code)
    if reason is None:
        return held.name(code)
    if reason.kind in {"defect", "job"}:
        return f"{reason.words} ({reason.key}, {code})"
    return f"{held.name(code)}: {reason.words}"


def _link(facts: Facts, passage: Passage, asked: Asked, held: States, part: Tree) -> Iterator[Judgement]:
    level = level_once_tested(held, part)
    met = evaluate(part, conditions_met(held, held.once_tested), held.rows)
    starved = (level == Level.UNKNOWN) & (met < Level.UNKNOWN)
    outcome, undecided = weighed(asked.required, OUTCOME_OF_LEVEL[np.where(starved, met, level)], Outcome.PASSED)
    names = _guilty(held, part, outcome)
    yield Judgement(
        rule=asked.rule,
        cause=cause_of(held, names[0]) if names else ("function", asked.name),
        outcome=outcome,
        demand=NOT_KNOWN,
        limit=NOT_KNOWN,
        unit="",
        say=partial(_say, facts, passage, asked, held, part, outcome),
        applies=asked.required != 0.0,
    )
    yield from _starved(facts, passage, asked, part, starved & (asked.required != 0.0))
    yield from requirement_missing(asked.rule, facts, passage, undecided)


NEEDS = {"sea_c": "sea temperature", "visibility_m": "visibility"}


def requirement_missing(
    rule: str, facts: Facts, passage: Passage, undecided: Flags, needs: Sequence[str] = tuple(NEEDS)
) -> Iterator[Judgement]:
    """Where it cannot be told whether something is required: the forecast lacks what would decide it."""
    for name in needs:
        values = getattr(passage.weather, name)
        here = undecided & np.isnan(values).any(axis=-1)
        yield from forecast_missing(rule, facts, passage, here, values, NEEDS[name])
        undecided = undecided & ~here
    yield from late_arrival_missing(rule, passage, undecided)


def _starved(facts: Facts, passage: Passage, asked: Asked, part: Tree, starved: Flags) -> Iterator[Judgement]:
    """What is missing where only a computed condition leaves a link unknown."""
    if not starved.any():
        return
    if ENGINE_SPACE in codes(part):
        no_air = starved & np.isnan(passage.weather.air_c).any(axis=-1)
        yield from forecast_missing(asked.rule, facts, passage, no_air, passage.weather.air_c, "air temperature")
        starved = starved & ~no_air
    if starved.any():
        words = Words(
            title=f"{asked.name} not known",
            sentence=f"{asked.name} hangs on a reading or a place that is not known.",
            do="Measure the warmth of the engine space; name the places of the leg and their gates.",
        )
        yield unknown(asked.rule, ("reading", "conditions of the functions"), passage, words, starved)


def _in_service(passage: Passage, asked: Asked) -> Judgement:
    return Judgement(
        rule=asked.rule,
        cause=("function", asked.name),
        outcome=np.zeros(passage.departures, np.int8),
        demand=NOT_KNOWN,
        limit=NOT_KNOWN,
        unit="",
        say=lambda index: Words(title=asked.name, sentence=_passed(asked, index)),
        applies=asked.required != 0.0,
    )


def _passed(asked: Asked, index: int) -> str:
    required = bool(asked.required[index] != 0.0)
    return f"{asked.name}: in service." if required else f"{asked.name}: not required on this leg."


def _guilty(held: States, part: Tree, outcome: Outcomes) -> tuple[str, ...]:
    names = held.guilty(part, first_worst(outcome))
    return names or tuple(code for code in codes(part) if code not in CONDITIONS)


def _say(
    facts: Facts, passage: Passage, asked: Asked, held: States, part: Tree, outcome: Outcomes, index: int
) -> Words:
    if outcome[index] == Outcome.PASSED:
        return Words(title=asked.name, sentence=_passed(asked, index))
    level = {Outcome.CONDITION: Level.DEGRADED, Outcome.UNKNOWN: Level.UNKNOWN}.get(outcome[index], Level.OUT)
    names = held.guilty(part, index)
    remedies = remedies_for(facts, held, names)
    return Words(
        title=f"{asked.name} {IS[level]}",
        sentence=f"{asked.name} is {IS[level]}: {'; '.join(why(held, code) for code in names[:2])}.",
        do=_do(held, level, names, [remedy.text for remedy in remedies]),
        by=by_departure(passage, index),
        who=hand_for(facts, Skill.ENGINE),
        minutes=min((remedy.minutes for remedy in remedies), default=NOT_KNOWN),
        evidence=evidence_of(held, names),
        remedies=remedies,
    )


def _do(held: States, level: Level, names: Sequence[str], remedies: Sequence[str]) -> str:
    if level == Level.DEGRADED:
        limits = [reason.words for code in names if (reason := _degrading(held, code)) is not None]
        return f"Tell the crew and keep within it: {listed(limits)}." if limits else "Keep within what it can do."
    if remedies:
        return f"{remedies[0]}."
    return "Say what is wrong with it, or declare it out of service." if level == Level.UNKNOWN else "Put it right."


def _degrading(held: States, code: str) -> Reason | None:
    return next((reason for reason in held.reasons.get(code, ()) if reason.level == Level.DEGRADED), None)
