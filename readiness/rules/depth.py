"""Depth of water at a point against what she needs, over the times she may be there."""

from dataclasses import dataclass

import numpy as np

from readiness.calc.tide import pressure_correction
from readiness.rules.facts import Facts
from readiness.rules.facts_water import Point
from readiness.rules.passage import Passage
from readiness.rules.record import NOT_KNOWN, Array

SAMPLES = 13  # heights looked at between early and late, ends included
SHARE_OF_SEA = 0.5  # how much of the sea's height is wanted under the keel besides [own]


@dataclass(frozen=True)
class Depth:
    """Water under the keel at one point, [departure]; NaN where not known."""

    at_plan_m: Array
    lowest_m: Array  # from early to late
    best_m: Array  # at plan, before any high pressure is taken off: nothing unknown can make it better
    need_m: Array
    least_need_m: float  # before any sea
    weather: Array  # NaN where pressure or sea, and so the depth, waits for a forecast
    step: int  # the step whose weather is taken


def depth_at(facts: Facts, passage: Passage, number: int, point: Point) -> Depth:
    """Water under the keel at a point when she passes it.

    Source: [practice]
    """
    early, plan, late = (passage.at_point(run, number) for run in (passage.early, passage.plan, passage.late))
    tide = passage.tides.get(point.station or "")
    over = point.charted_m - facts.boat.vessel.draught_m
    step = max(int(passage.point_node[number]) - 1, 0)
    pressed = np.asarray(pressure_correction(passage.weather.pressure_hpa[:, step]))
    if tide is None:
        nothing = np.full(passage.departures, NOT_KNOWN)
        return Depth(nothing, nothing, nothing, nothing, facts.limits.under_keel_m, np.zeros(nothing.shape), step)
    sea = _sea(passage, number, step)
    share = np.linspace(0.0, 1.0, SAMPLES)
    between = early[:, None] + (late - early)[:, None] * share
    best = np.asarray(tide.height(plan)) + over
    return Depth(
        at_plan_m=best + pressed,
        lowest_m=np.minimum(np.asarray(tide.height(between)).min(axis=-1), best - over) + over + pressed,
        best_m=best,
        need_m=facts.limits.under_keel_m + SHARE_OF_SEA * sea,
        least_need_m=facts.limits.under_keel_m,
        weather=pressed + sea,
        step=step,
    )


def _sea(passage: Passage, number: int, step: int) -> Array:
    """The highest sea on the exposed steps that meet at a point, [departure]; 0 where none is exposed."""
    last = passage.exposed.size - 1
    beside = {step, min(int(passage.point_node[number]), last)}
    seas = [passage.weather.sea_m[:, one] for one in beside if passage.exposed[one]]
    return np.max(seas, axis=0) if seas else np.zeros(passage.departures)
