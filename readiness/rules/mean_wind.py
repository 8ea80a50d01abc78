"""Mean wind on exposed water while she is there."""

from collections.abc import Iterator

import numpy as np

from readiness.rules.exposed import Asked, Spot, judged_on_exposed
from readiness.rules.facts import Facts
from readiness.rules.judgement import Judgement, Outcome, Rule, Subject, Waive, Words
from readiness.rules.limits import Limits
from readiness.rules.passage import Passage
from readiness.rules.weather_met import confidence_factor
from vessel.calc.wording import knots, toward_limit
from vessel.units import KNOT

RULE_ID = "mean_wind"
TITLE = "Mean wind"


def mean_wind(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:
    """One judgement: the strongest mean wind on exposed steps.

    Source: [wmo306]
    """
    factor = confidence_factor(facts)
    advice, condition, no_go = (
        limit * factor
        for limit in (limits.mean_wind_advice_mps, limits.mean_wind_condition_mps, limits.mean_wind_no_go_mps)
    )

    def say(spot: Spot) -> Words:
        wind = spot.value
        return Words(
            title=f"Mean wind {knots(wind)}",
            sentence=f"Mean wind {knots(wind)} on the way from {spot.where}; condition from {knots(condition)}, no-go from "
            f"{knots(no_go)}.",
            do="Leave at another time or wait." if spot.outcome >= Outcome.CONDITION else "",
            sums=(("Strongest on exposed water", knots(wind, 1)), ("Limits are multiplied by", f"{factor:g}")),
            evidence=(("forecast", ""),),
            margin=f"{toward_limit((condition - wind) / KNOT, 0.0)} kn" if wind < condition else "",
        )

    ladder = (
        (np.greater_equal, advice, Outcome.ADVICE),
        (np.greater_equal, condition, Outcome.CONDITION),
        (np.greater_equal, no_go, Outcome.NO_GO),
    )
    yield from judged_on_exposed(
        facts,
        passage,
        Asked(RULE_ID, TITLE, "wind", "wind", "m/s", lambda weather: weather.wind_mps, ladder, condition, say),
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
