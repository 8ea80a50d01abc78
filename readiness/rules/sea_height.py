"""Height of the sea on exposed water, with the stream's effect, against her length."""

from collections.abc import Iterator

import numpy as np

from readiness.rules.exposed import NO_LENGTH, Asked, Spot, judged_on_exposed
from readiness.rules.facts import Facts
from readiness.rules.judgement import Judgement, Outcome, Rule, Subject, Waive, Words
from readiness.rules.limits import Limits
from readiness.rules.off_bow import side
from readiness.rules.passage import Passage
from readiness.rules.weather_met import confidence_factor
from vessel.calc.wording import metres, toward_limit

RULE_ID = "sea_height"
TITLE = "Height of sea"


def sea_height(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:
    """One judgement: the highest effective sea on exposed steps.

    Source: [lhs1961]
    """
    length = facts.boat.vessel.loa_m * confidence_factor(facts)
    advice, condition, no_go = (
        share * length for share in (limits.sea_advice_loa, limits.sea_condition_loa, limits.sea_no_go_loa)
    )

    def say(spot: Spot) -> Words:
        if spot.outcome == Outcome.UNKNOWN:
            return NO_LENGTH
        sea, forecast = spot.value, float(passage.weather.wave_height_m[spot.index, spot.step])
        effect = sea / forecast if forecast else 1.0
        on_stream = (f"Forecast {metres(forecast, 2)} × {effect:.2f} on the stream", metres(sea, 2))
        return Words(
            title=f"Sea {metres(sea, 2)}",
            sentence=f"Sea {metres(sea, 2)}{side(passage, spot.index, spot.step)} on the way from {spot.where}; condition "
            f"from {metres(condition, 2)}, no-go from {metres(no_go, 2)}.",
            do="Leave at another time or wait." if spot.outcome >= Outcome.CONDITION else "",
            sums=(
                *([on_stream] if np.isfinite(effect) else []),
                (f"Condition from {limits.sea_condition_loa:g} × {metres(length, 1)}", metres(condition, 2)),
            ),
            evidence=(("forecast", ""),),
            margin=f"{toward_limit(condition - sea, 0.0, 2)} m" if sea < condition else "",
        )

    ladder = (
        (np.greater_equal, advice, Outcome.ADVICE),
        (np.greater_equal, condition, Outcome.CONDITION),
        (np.greater_equal, no_go, Outcome.NO_GO),
    )
    yield from judged_on_exposed(
        facts, passage, Asked(RULE_ID, TITLE, "sea", "sea", "m", lambda weather: weather.sea_m, ladder, condition, say)
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
