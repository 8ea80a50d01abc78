"""Sea made steep by a stream against it; blocked where the stream stops the waves."""

from collections.abc import Iterator
from functools import partial

import numpy as np

from readiness.rules.exposed import on_exposed, on_segment, plan_and_late
from readiness.rules.facts import Facts
from readiness.rules.judgement import Judgement, Outcome, Outcomes, Rule, Subject, Waive, Words, graded
from readiness.rules.limits import Limits
from readiness.rules.missing import forecast_missing, harbour_move, not_asked
from readiness.rules.passage import Passage, Weather
from readiness.rules.record import Array
from readiness.rules.way_out import refuge_in_reach
from vessel.calc.wording import metres, toward_limit, with_utc

RULE_ID = "wind_against_stream"
COUNTS_FROM_M = 0.8  # a lower effective sea is not steep enough to matter [own]


def steepness_that_counts(weather: Weather) -> Array:
    """Steepness where the effective sea counts, infinite if blocked; 0 where it does not; NaN where not known."""
    counts = ~(weather.sea_m < COUNTS_FROM_M)
    return np.where(counts, weather.steepness, 0.0)


def wind_against_stream(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:
    """One judgement: the steepest sea on exposed steps.

    Source: [lhs1961] [usace-tr0222]
    """
    if facts.leg.harbour_move:
        yield harbour_move(RULE_ID, passage, "Wind against stream")
        return
    if not passage.exposed.any():
        yield not_asked(RULE_ID, passage, "Wind against stream", "No part of this leg is exposed.")
        return

    def grade(steepness: Array) -> Outcomes:
        return graded(
            steepness,
            (np.greater_equal, limits.steepness_condition, Outcome.CONDITION),
            (np.greater_equal, limits.steepness_no_go, Outcome.NO_GO),
        )

    way_out = partial(refuge_in_reach, facts, passage)
    outcome, worst = plan_and_late(passage, steepness_that_counts, grade, passage.exposed, way_out)

    def say(index: int) -> Words:
        steep, step = float(worst.value[index]), int(worst.step[index])
        where, sea = on_segment(facts, passage, step), metres(float(passage.weather.sea_m[index, step]), 2)
        at = with_utc(float(passage.plan.node_at[index, step]), facts.boat.vessel.home_zone)
        if np.isinf(steep):
            sentence = f"The stream stops the waves on the way from {where}, about {at}: breaking water."
        else:
            sentence = (
                f"Sea {sea}, steepness {steep:.4f} on the way from {where}; "
                f"condition from {limits.steepness_condition:.3f}."
            )
        return Words(
            title=f"Steep sea: {where}" if outcome[index] else f"Steepness: {where}",
            sentence=sentence,
            do="Pass it near slack water." if outcome[index] else "",
            sums=(("Height ÷ length of the sea on the stream", f"{steep:.4f}"),
                  ("Condition, no-go from", f"{limits.steepness_condition:.4f}, {limits.steepness_no_go:.4f}")),
            evidence=(("forecast", ""),),
            margin=f"{toward_limit(limits.steepness_condition - steep, 0.0, 4)} of steepness"
            if 0 < steep < limits.steepness_condition else "",
        )  # fmt: skip

    missing = on_exposed(passage, steepness_that_counts(passage.weather))
    yield from forecast_missing(RULE_ID, facts, passage, worst.missing, missing, "sea on the stream")
    yield Judgement(
        rule=RULE_ID,
        cause=("steepness", ""),
        outcome=outcome,
        demand=np.where(np.isneginf(worst.value), np.nan, worst.value),
        limit=limits.steepness_condition,
        unit="1",
        say=say,
        applies=~np.isneginf(worst.value),
    )


RULE = Rule(
    id=RULE_ID,
    title="Wind against stream",
    subject=Subject.WEATHER,
    formula="Effective height ÷ wave length on the stream, where the height is 0.8 m or more: 0.050 condition, 0.065 "
    "no-go; a stream of a quarter of the waves' speed against them blocks: no-go.",
    source="[lhs1961] [usace-tr0222]",
    worst=Outcome.NO_GO,
    judge=wind_against_stream,
    limits=("steepness_condition", "steepness_no_go"),
    waive={Outcome.NO_GO: Waive.ONE_LEG, Outcome.CONDITION: Waive.ONE_LEG},
)
