"""Height of the sea on exposed water, with the stream's effect, against her length."""

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
from vessel.calc.wording import metres, toward_limit

RULE_ID = "sea_height"


def sea_height(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:
    """One judgement: the highest effective sea on exposed steps.

    Source: [lhs1961]
    """
    if facts.leg.harbour_move:
        yield harbour_move(RULE_ID, passage, "Height of sea")
        return
    if not passage.exposed.any():
        yield not_asked(RULE_ID, passage, "Height of sea", "No part of this leg is exposed.")
        return
    length = facts.boat.vessel.loa_m * confidence_factor(facts)
    ladder = (
        (np.greater_equal, limits.sea_advice_loa * length, Outcome.ADVICE),
        (np.greater_equal, limits.sea_condition_loa * length, Outcome.CONDITION),
        (np.greater_equal, limits.sea_no_go_loa * length, Outcome.NO_GO),
    )

    def grade(sea: Array) -> Outcomes:
        return graded(sea, *ladder)

    way_out = partial(refuge_in_reach, facts, passage)
    outcome, worst = plan_and_late(passage, lambda weather: weather.sea_m, grade, passage.exposed, way_out)
    limit = limits.sea_condition_loa * length

    def say(index: int) -> Words:
        sea, step = float(worst.value[index]), int(worst.step[index])
        where = on_segment(facts, passage, step)
        if outcome[index] == Outcome.UNKNOWN:
            return Words(title="Her length is not known", sentence="The sea cannot be weighed without her length.")
        forecast = float(passage.weather.wave_height_m[index, step])
        return Words(
            title=f"Sea {metres(sea, 2)}",
            sentence=f"Sea {metres(sea, 2)} on the way from {where}; condition from {metres(limit, 2)}, no-go from "
            f"{metres(limits.sea_no_go_loa * length, 2)}.",
            do="Leave at another time or wait." if outcome[index] >= Outcome.CONDITION else "",
            sums=((f"Forecast {metres(forecast, 2)} × {sea / forecast if forecast else 1:.2f} on the stream",
                   metres(sea, 2)),
                  (f"Condition from {limits.sea_condition_loa:g} × {metres(length, 1)}", metres(limit, 2))),
            evidence=(("forecast", ""),),
            margin=f"{toward_limit(limit - sea, 0.0, 2)} m" if sea < limit else "",
        )  # fmt: skip

    missing = on_exposed(passage, passage.weather.sea_m)
    yield from forecast_missing(RULE_ID, facts, passage, worst.missing, missing, "sea")
    yield Judgement(
        rule=RULE_ID,
        cause=("sea", ""),
        outcome=outcome,
        demand=np.where(np.isneginf(worst.value), np.nan, worst.value),
        limit=limit,
        unit="m",
        say=say,
        applies=~np.isneginf(worst.value),
    )


RULE = Rule(
    id=RULE_ID,
    title="Height of sea",
    subject=Subject.WEATHER,
    formula="Highest significant height times the effect of the stream, on exposed steps: 0.08 of the length overall "
    "advice, 0.125 condition, 0.20 no-go; limits times 0.8 when the forecast's confidence is low.",
    source="[lhs1961] [own]",
    worst=Outcome.NO_GO,
    judge=sea_height,
    limits=("sea_advice_loa", "sea_condition_loa", "sea_no_go_loa"),
    waive={Outcome.NO_GO: Waive.ONE_LEG, Outcome.CONDITION: Waive.ONE_LEG},
)
