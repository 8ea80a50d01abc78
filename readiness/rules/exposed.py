"""The worst of a thing on exposed water, with what is not known and what the forecast will still bring."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from readiness.rules.facts import Facts
from readiness.rules.judgement import Outcome, Outcomes, late_only
from readiness.rules.passage import Passage, Weather
from readiness.rules.record import Array
from vessel.units import Flags


@dataclass(frozen=True)
class Worst:
    """The highest known value over some steps, where it is, and whether any of them is not known; [departure]."""

    value: Array  # -inf where nothing is known
    step: NDArray[np.int64]
    missing: Flags


def worst_on(values: Array, steps: Flags) -> Worst:
    """The worst of `values` [departure, step] on the flagged steps. At least one step must be flagged."""
    places = np.flatnonzero(steps)
    chosen = values[:, places]
    unknown = np.isnan(chosen)
    known = np.where(unknown, -np.inf, chosen)
    return Worst(
        value=known.max(axis=-1),
        step=places[known.argmax(axis=-1)],
        missing=np.asarray(unknown.any(axis=-1)),
    )


def plan_and_late(
    passage: Passage,
    values: Callable[[Weather], Array],
    grade: Callable[[Array], Outcomes],
    steps: Flags,
    way_out: Callable[[NDArray[np.int64]], Flags],
) -> tuple[Outcomes, Worst]:
    """The outcome of the worst from entering by plan to leaving late.

    What is missing is not in it: the rule gives that as a finding of its own. A no-go at late only is eased
    where a way out is good from the node at which she would enter the worst step.
    """
    at_plan, at_late = (worst_on(values(weather), steps) for weather in (passage.weather_at_plan, passage.weather))
    by_plan, late = grade(at_plan.value), grade(at_late.value)
    leans = bool(((late == Outcome.NO_GO) & (by_plan < Outcome.NO_GO)).any())  # only then is a way out worth the sums
    eased = way_out(at_late.step) if leans else np.zeros(passage.departures, np.bool_)
    return late_only(by_plan, late, eased), at_late


def on_segment(facts: Facts, passage: Passage, step: int) -> str:
    """Which part of the leg a step belongs to."""
    return facts.leg.segments[int(passage.track.segment[step])].name


def on_exposed(passage: Passage, values: Array) -> Array:
    """Values [departure, step] with nothing asked of steps that are not exposed."""
    return np.where(passage.exposed, values, 0.0)
