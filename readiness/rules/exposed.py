"""The worst of a thing on the water she crosses, judged by plan and late: the shape that weather rules share."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from readiness.rules.facts import Facts
from readiness.rules.judgement import Judgement, Outcome, Outcomes, Step, Words, graded, late_only
from readiness.rules.missing import forecast_missing, harbour_move, not_asked
from readiness.rules.passage import Passage, Weather
from readiness.rules.record import Array
from readiness.rules.way_out import refuge_in_reach, why_no_refuge
from vessel.units import Flags

NO_LENGTH = Words(
    title="Length not known",
    sentence="The vessel's length is not known, so nobody can say what sea is high for her.",
    do="Enter her length overall.",
)


@dataclass(frozen=True)
class Worst:
    """The worst known value over some steps, where it is, and whether any of them is not known; [departure]."""

    value: Array  # infinitely good where nothing is known
    step: NDArray[np.int64]
    missing: Flags


@dataclass(frozen=True)
class Spot:
    """The worst of one departure, to be told."""

    index: int
    value: float
    step: int
    outcome: Outcome
    where: str


@dataclass(frozen=True)
class Asked:
    """What a rule asks of exposed water, or of all the water where it says so.

    `in_harbour`: a harbour move is asked too, on all of its way. `lowest`: the least value is the worst.
    """

    rule: str
    title: str
    cause: str
    what: str  # as the forecast would call it
    unit: str
    values: Callable[[Weather], Array]  # [departure, step]
    ladder: tuple[Step, ...]
    limit: float  # the step of the ladder that margins are counted to
    say: Callable[[Spot], Words]
    in_harbour: bool = False
    everywhere: bool = False
    lowest: bool = False

    def steps(self, facts: Facts, passage: Passage) -> Flags:
        """The steps that are asked, [step]."""
        everywhere = self.everywhere or facts.leg.harbour_move
        return np.ones_like(passage.exposed) if everywhere else passage.exposed


def judged_on_exposed(facts: Facts, passage: Passage, asked: Asked) -> Iterator[Judgement]:
    """One judgement on the worst step that is asked, and one for what the forecast lacks.

    The worst counts from entering a step by plan to leaving it late. A no-go at late only is eased where a way out
    is good from the node at which she would enter the worst step.
    """
    if facts.leg.harbour_move and not asked.in_harbour:
        yield harbour_move(asked.rule, passage, asked.title)
        return
    steps = asked.steps(facts, passage)
    if not steps.any():
        yield not_asked(asked.rule, passage, asked.title, "No part of this leg is exposed.")
        return
    outcome, worst, only_late = _plan_and_late(facts, passage, asked, steps)
    values = np.where(steps, asked.values(passage.weather), 0.0)
    yield from forecast_missing(asked.rule, facts, passage, worst.missing, values, asked.what)
    known = ~(np.isposinf(worst.value) if asked.lowest else np.isneginf(worst.value))

    def say(index: int) -> Words:
        step = int(worst.step[index])
        where = facts.leg.segments[int(passage.track.segment[step])].name
        words = asked.say(Spot(index, float(worst.value[index]), step, Outcome(int(outcome[index])), where))
        if outcome[index] < Outcome.NO_GO or not only_late[index]:
            return words
        return replace(words, sentence=f"{words.sentence} {why_no_refuge(facts, passage, worst.step, index)}")

    yield Judgement(
        rule=asked.rule,
        cause=(asked.cause, ""),
        outcome=outcome,
        demand=np.where(known, worst.value, np.nan),
        limit=asked.limit,
        unit=asked.unit,
        say=say,
        applies=known,
    )


def worst_on(values: Array, steps: Flags, *, lowest: bool = False) -> Worst:
    """The worst of `values` [departure, step] on the flagged steps. At least one step must be flagged."""
    places = np.flatnonzero(steps)
    chosen = values[:, places]
    unknown = np.isnan(chosen)
    known = np.where(unknown, np.inf if lowest else -np.inf, chosen)
    return Worst(
        value=known.min(axis=-1) if lowest else known.max(axis=-1),
        step=places[known.argmin(axis=-1) if lowest else known.argmax(axis=-1)],
        missing=np.asarray(unknown.any(axis=-1)),
    )


def _plan_and_late(facts: Facts, passage: Passage, asked: Asked, steps: Flags) -> tuple[Outcomes, Worst, Flags]:
    """The outcome, the worst of plan and late, and where only the late figure is a no-go.

    The time until leaving late holds that until leaving by plan: where all of it is known and none is a no-go, the
    plan has nothing to add.
    """
    at_late = worst_on(asked.values(passage.weather), steps, lowest=asked.lowest)
    late = graded(at_late.value, *asked.ladder)
    if not (at_late.missing | (late == Outcome.NO_GO)).any():
        return late, at_late, at_late.missing
    at_plan = worst_on(asked.values(passage.weather_at_plan), steps, lowest=asked.lowest)
    by_plan = graded(at_plan.value, *asked.ladder)
    leans = (late == Outcome.NO_GO) & (by_plan < Outcome.NO_GO)  # only then is a way out worth the sums
    way_out = refuge_in_reach(facts, passage, at_late.step) if leans.any() else np.zeros_like(leans)
    return late_only(by_plan, late, way_out), at_late, leans


def on_exposed(passage: Passage, values: Array) -> Array:
    """Values [departure, step] with nothing asked of steps that are not exposed."""
    return np.where(passage.exposed, values, 0.0)
