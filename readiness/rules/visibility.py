"""Visibility on the whole way.

A radar in service, somebody trained on it, daylight and no traffic lane would ease the no-go to a condition. The
facts hold neither who is trained nor where lanes run, so nothing is eased.
"""

from collections.abc import Iterator

import numpy as np

from readiness.calc.forecast_terms import GOOD_M, MODERATE_M
from readiness.rules.exposed import Asked, Spot, judged_on_exposed
from readiness.rules.facts import Facts
from readiness.rules.judgement import Judgement, Outcome, Rule, Subject, Waive, Words
from readiness.rules.limits import Limits
from readiness.rules.passage import Passage
from vessel.calc.wording import miles, toward_limit
from vessel.units import NAUTICAL_MILE

RULE_ID = "visibility"
TITLE = "Visibility"
NO_GO_M = 0.5 * NAUTICAL_MILE  # very poor begins at 1,000 m [forecast-terms], taken as half a mile [own]


def visibility(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:  # noqa: ARG001
    """One judgement: the least visibility anywhere on the way.

    Source: [forecast-terms]
    """

    def say(spot: Spot) -> Words:
        seen = spot.value
        return Words(
            title=f"Visibility {miles(seen)}",
            sentence=f"Visibility {miles(seen)} on the way from {spot.where}; condition under {miles(MODERATE_M, 0)}, "
            f"no-go under {miles(NO_GO_M)}.",
            do="Wait until it clears." if spot.outcome >= Outcome.CONDITION else "",
            sums=(("Least on the way", miles(seen, 2)),),
            evidence=(("forecast", ""),),
            margin=f"{toward_limit((seen - MODERATE_M) / NAUTICAL_MILE, 0.0, 1)} nmi" if seen >= MODERATE_M else "",
        )

    ladder = (
        (np.less, GOOD_M, Outcome.ADVICE),
        (np.less, MODERATE_M, Outcome.CONDITION),
        (np.less, NO_GO_M, Outcome.NO_GO),
    )
    yield from judged_on_exposed(
        facts,
        passage,
        Asked(
            RULE_ID, TITLE, "visibility", "visibility", "m", lambda weather: weather.visibility_m, ladder, MODERATE_M,
            say, everywhere=True, lowest=True,
        ),
    )  # fmt: skip


RULE = Rule(
    id=RULE_ID,
    title="Visibility",
    subject=Subject.WEATHER,
    formula="Least visibility on the way, from entering each step by plan to leaving it late: 5 nmi and more passed; 2 "
    "nmi advice; 0.5 nmi condition; less no-go. Nothing is eased for radar: the facts hold nobody trained on it.",
    source="[forecast-terms] [own]",
    worst=Outcome.NO_GO,
    judge=visibility,
    waive={Outcome.NO_GO: Waive.ONE_LEG, Outcome.CONDITION: Waive.ONE_LEG},
)
