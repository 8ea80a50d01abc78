"""Mean wind on exposed water while she is there."""

from collections.abc import Iterator
from functools import partial

import numpy as np

from readiness.rules.exposed import on_exposed, on_segment, plan_and_late
from readiness.rules.facts import Facts
from readiness.rules.judgement import Judgement, Outcome, Outcomes, Rule, Subject, Waive, Words, graded
from readiness.rules.limits import Limits
from readiness.rules.missing import forecast_missing, harbour_move, not_asked
from readiness.rules.passage import Passage
from readiness.rules.record import Array
from readiness.rules.way_out import refuge_in_reach
from readiness.rules.weather_met import confidence_factor
from vessel.calc.wording import knots, toward_limit
from vessel.units import KNOT

RULE_ID = "mean_wind"


def mean_wind(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:
    """One judgement: the strongest mean wind on exposed steps.

    Source: [wmo306]
    """
    if facts.leg.harbour_move:
        yield harbour_move(RULE_ID, passage, "Mean wind")
        return
    if not passage.exposed.any():
        yield not_asked(RULE_ID, passage, "Mean wind", "No part of this leg is exposed.")
        return
    factor = confidence_factor(facts)
    ladder = (
        (np.greater_equal, limits.mean_wind_advice_mps * factor, Outcome.ADVICE),
        (np.greater_equal, limits.mean_wind_condition_mps * factor, Outcome.CONDITION),
        (np.greater_equal, limits.mean_wind_no_go_mps * factor, Outcome.NO_GO),
    )

    def grade(wind: Array) -> Outcomes:
        return graded(wind, *ladder)

    way_out = partial(refuge_in_reach, facts, passage)
    outcome, worst = plan_and_late(passage, lambda weather: weather.wind_mps, grade, passage.exposed, way_out)
    limit = limits.mean_wind_condition_mps * factor

    def say(index: int) -> Words:
        wind, where = float(worst.value[index]), on_segment(facts, passage, int(worst.step[index]))
        return Words(
            title=f"Mean wind {knots(wind)}",
            sentence=f"Mean wind {knots(wind)} on the way from {where}; condition from {knots(limit)}, no-go from "
            f"{knots(limits.mean_wind_no_go_mps * factor)}.",
            do="Leave at another time or wait." if outcome[index] >= Outcome.CONDITION else "",
            sums=(("Strongest on exposed water", knots(wind, 1)), ("Limits are multiplied by", f"{factor:g}")),
            evidence=(("forecast", ""),),
            margin=f"{toward_limit((limit - wind) / KNOT, 0.0)} kn" if wind < limit else "",
        )

    missing = on_exposed(passage, passage.weather.wind_mps)
    yield from forecast_missing(RULE_ID, facts, passage, worst.missing, missing, "wind")
    yield Judgement(
        rule=RULE_ID,
        cause=("wind", ""),
        outcome=outcome,
        demand=np.where(np.isneginf(worst.value), np.nan, worst.value),
        limit=limit,
        unit="m/s",
        say=say,
        applies=~np.isneginf(worst.value),
    )


RULE = Rule(
    id=RULE_ID,
    title="Mean wind",
    subject=Subject.WEATHER,
    formula="Strongest mean wind on exposed steps, from entering by plan to leaving late: 17 kn advice, 22 kn "
    "condition, 28 kn no-go; all times 0.8 when the forecast's confidence is low.",
    source="[wmo306] [own]",
    worst=Outcome.NO_GO,
    judge=mean_wind,
    limits=("mean_wind_advice_mps", "mean_wind_condition_mps", "mean_wind_no_go_mps"),
    waive={Outcome.NO_GO: Waive.ONE_LEG, Outcome.CONDITION: Waive.ONE_LEG},
)
