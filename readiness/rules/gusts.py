"""Gusts on exposed water while she is there; on a harbour move anywhere, against limits of its own."""

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

RULE_ID = "gusts"
TITLE = "Gusts"


def gust_limits(facts: Facts, limits: Limits) -> tuple[float, float]:
    """Gusts from which it is a condition and a no-go for this leg, by the confidence of its forecast."""
    if facts.leg.harbour_move:
        chosen = (limits.harbour_gust_condition_mps, limits.harbour_gust_no_go_mps)
    else:
        chosen = (limits.gust_condition_mps, limits.gust_no_go_mps)
    condition, no_go = (limit * confidence_factor(facts) for limit in chosen)
    return condition, no_go


def gusts(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:
    """One judgement: the strongest gust on exposed steps; on any step of a harbour move.

    Source: [practice]
    """
    condition, no_go = gust_limits(facts, limits)

    def say(spot: Spot) -> Words:
        gust = spot.value
        return Words(
            title=f"Gusts {knots(gust)}",
            sentence=f"Gusts {knots(gust)} on the way from {spot.where}; condition from {knots(condition)}, no-go from "
            f"{knots(no_go)}.",
            do="Leave at another time or wait." if spot.outcome >= Outcome.CONDITION else "",
            sums=(
                ("Strongest on the way", knots(gust, 1)),
                ("Limits are multiplied by", f"{confidence_factor(facts):g}"),
            ),
            evidence=(("forecast", ""),),
            margin=f"{toward_limit((condition - gust) / KNOT, 0.0)} kn" if gust < condition else "",
        )

    ladder = ((np.greater_equal, condition, Outcome.CONDITION), (np.greater_equal, no_go, Outcome.NO_GO))
    yield from judged_on_exposed(
        facts,
        passage,
        Asked(
            RULE_ID, TITLE, "gusts", "gusts", "m/s", lambda weather: weather.gust_mps, ladder, condition, say,
            in_harbour=True,
        ),
    )  # fmt: skip


RULE = Rule(
    id=RULE_ID,
    title="Gusts",
    subject=Subject.WEATHER,
    formula="Strongest gust on exposed steps, from entering by plan to leaving late: 28 kn condition, 34 kn no-go; on "
    "any part of a harbour move 22 kn and 28 kn; all times 0.8 when the forecast's confidence is low.",
    source="[wmo-sea] [own]",
    worst=Outcome.NO_GO,
    judge=gusts,
    limits=("gust_condition_mps", "gust_no_go_mps", "harbour_gust_condition_mps", "harbour_gust_no_go_mps"),
    waive={Outcome.NO_GO: Waive.ONE_LEG, Outcome.CONDITION: Waive.ONE_LEG},
)
