"""Autopilot may be counted on: only one that has been tried at sea since the last work, without play, on a sure feed."""

from collections.abc import Iterator
from functools import partial

import numpy as np

from readiness.calc.success_tree import Level, codes
from readiness.rules.circumstances import holds
from readiness.rules.facts import Facts
from readiness.rules.function_state import evidence_of, why
from readiness.rules.judgement import Judgement, Outcome, Rule, Subject, Words
from readiness.rules.limits import Limits
from readiness.rules.missing import harbour_move
from readiness.rules.passage import Passage
from readiness.rules.state import AUTOPILOT, states
from readiness.rules.telling import by_departure
from readiness.rules.words_of_trade import Kind
from vessel.calc.wording import number
from vessel.units import Flags

ID, TITLE = "autopilot_credit", "Autopilot may be counted on"
SEA_HOURS = 1.0  # run at sea since the last work [own]
PLAY_DEG = 2.0  # at the autopilot's own pin [own]
DEGREES = 57.3  # of a radian, as the trade rounds it


def credit(facts: Facts, passage: Passage) -> Flags:
    """Where the watch plan may count on the autopilot, [departure]; never where anything about it is not known."""
    held, pilot = states(facts, passage), facts.boat.autopilot
    tried = holds(np.greater_equal, pilot.sea_h_since_work, SEA_HOURS) == 1.0
    tight = holds(np.less_equal, play_deg(facts), PLAY_DEG) == 1.0
    in_service = held.of(held.trees[AUTOPILOT]) == Level.IN_SERVICE
    return np.asarray(in_service & bool(tried & tight) & ~_on_converter(facts, passage))


def play_deg(facts: Facts) -> float:
    """Free play at the autopilot's pin [deg]; NaN where play or radius is not known or cannot be right.

    Source: [practice]
    """
    pilot = facts.boat.autopilot
    if not (pilot.radius_mm > 0 and pilot.play_mm >= 0):
        return float("nan")
    return DEGREES * pilot.play_mm / pilot.radius_mm


def autopilot_credit(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:  # noqa: ARG001
    """Advice where the watch plan counts on an autopilot that may not be counted on. It is arithmetic, never waived.

    Source: [practice] [own]
    """
    if facts.leg.harbour_move:
        yield harbour_move(ID, passage, TITLE)
        return
    allowed = credit(facts, passage)
    assumed = facts.leg.watch_plan_counts_autopilot is not False
    outcome = np.where(allowed | (not assumed), np.int8(Outcome.PASSED), np.int8(Outcome.ADVICE)).astype(np.int8)
    yield Judgement(
        rule=ID,
        cause=("function", AUTOPILOT),
        outcome=outcome,
        demand=play_deg(facts),
        limit=PLAY_DEG,
        unit="deg",
        say=partial(_say, facts, passage, allowed, assumed),
    )


def _on_converter(facts: Facts, passage: Passage) -> bool:
    """Whether a converter feeds any part of it: its load is not judged here, so it is no sure feed."""
    held = states(facts, passage)
    chain, waiting = set[str](), list(codes(held.trees[AUTOPILOT]))
    while waiting:
        code = waiting.pop()
        if code not in chain and code in held.items:
            chain.add(code)
            waiting.extend(held.items[code].fed_by)
    return any(held.items[code].kind == Kind.CONVERTER for code in chain)


def _say(facts: Facts, passage: Passage, allowed: Flags, assumed: bool, index: int) -> Words:
    held, pilot = states(facts, passage), facts.boat.autopilot
    play = f"{number(DEGREES, 1)} × {number(pilot.play_mm, 1)} mm / {number(pilot.radius_mm)} mm"
    sums = (
        (f"Hours at sea since the last work, {number(SEA_HOURS)} needed", f"{number(pilot.sea_h_since_work, 1)} h"),
        (f"Play {play}, {number(PLAY_DEG, 1)}° at most", f"{number(play_deg(facts), 2)}°"),
    )
    if allowed[index]:
        return Words(title=TITLE, sentence="The autopilot may be counted on.", sums=sums)
    guilty = held.guilty(held.trees[AUTOPILOT], index)
    reason = why(held, guilty[0]) if guilty else "not tried for an hour at sea since the last work, or too much play"
    if not assumed:
        sentence = f"No credit for the autopilot ({reason}); the watch plan does not count on it."
        return Words(title=TITLE, sentence=sentence, sums=sums, evidence=evidence_of(held, guilty))
    return Words(
        title="Autopilot not to be counted on",
        sentence=f"The watch plan counts on the autopilot, which has no credit: {reason}.",
        do="Plan the watches without it, or try it for an hour at sea, a following sea included.",
        by=by_departure(passage, index),
        sums=sums,
        evidence=evidence_of(held, guilty),
    )


RULE = Rule(
    id=ID,
    title=TITLE,
    subject=Subject.PEOPLE,
    formula="credit only where the autopilot is in service, has run an hour or more at sea since the last work, has 2.0 "
    "degrees of play or less at its pin (57.3 × play / radius) and no converter feeds it; without credit, advice where "
    "the watch plan counts on it",
    source="[practice] [own]",
    worst=Outcome.ADVICE,
    judge=autopilot_credit,
    waive={},
)
