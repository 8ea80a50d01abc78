"""Gusts on exposed water, and on all the water of a harbour move."""

import numpy as np
import pytest
from msgspec.structs import replace

from readiness.rules.facts import Facts
from readiness.rules.gusts import RULE
from readiness.rules.judgement import Outcome, Waive
from readiness.rules.words_of_trade import Confidence
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import at_worst, demand, forecast, leg, limits, ripens, sentence, water, worst
from tests.readiness.rules.conftest import Judged
from vessel.units import KNOT

NORMAL, LOW = Confidence.NORMAL, Confidence.LOW


def sheltered(facts: Facts) -> Facts:
    """The same leg with no exposed segment."""
    return leg(facts, segments=tuple(replace(segment, exposed=False) for segment in facts.leg.segments))


@pytest.mark.parametrize(
    ("knots", "confidence", "expected"),
    [
        (27.99, NORMAL, Outcome.PASSED), (28.0, NORMAL, Outcome.CONDITION), (33.99, NORMAL, Outcome.CONDITION),
        (34.0, NORMAL, Outcome.NO_GO), (22.39, LOW, Outcome.PASSED), (22.41, LOW, Outcome.CONDITION),
        (27.19, LOW, Outcome.CONDITION), (27.21, LOW, Outcome.NO_GO), (22.41, None, Outcome.CONDITION),
        (float("nan"), NORMAL, Outcome.UNKNOWN),
    ],
)  # fmt: skip
def test_gusts_against_their_ladder(judged: Judged, knots: float, confidence: Confidence, expected: Outcome) -> None:
    facts = forecast(worked_example(1), gust_mps=knots * KNOT, confidence=confidence)

    assert worst(judged(RULE, facts)) == expected


@pytest.mark.parametrize(
    ("knots", "confidence", "expected"),
    [
        (21.99, NORMAL, Outcome.PASSED), (22.0, NORMAL, Outcome.CONDITION), (27.99, NORMAL, Outcome.CONDITION),
        (28.0, NORMAL, Outcome.NO_GO), (17.59, LOW, Outcome.PASSED), (17.61, LOW, Outcome.CONDITION),
        (22.41, LOW, Outcome.NO_GO), (float("nan"), NORMAL, Outcome.UNKNOWN),
    ],
)  # fmt: skip
def test_a_harbour_move_has_limits_of_its_own_on_all_of_its_way(
    judged: Judged, knots: float, confidence: Confidence, expected: Outcome
) -> None:
    facts = leg(forecast(worked_example(1), gust_mps=knots * KNOT, confidence=confidence), harbour_move=True)

    assert worst(judged(RULE, sheltered(facts))) == expected


def test_the_skipper_may_move_each_limit(judged: Judged) -> None:
    facts = limits(forecast(worked_example(1), gust_mps=25 * KNOT), gust_condition_mps=24 * KNOT)
    move = leg(limits(facts, harbour_gust_no_go_mps=24 * KNOT), harbour_move=True)

    assert worst(judged(RULE, facts)) == Outcome.CONDITION
    assert worst(judged(RULE, move)) == Outcome.NO_GO


def test_it_says_the_gust_and_both_limits_and_what_is_left(judged: Judged) -> None:
    found = judged(RULE, forecast(worked_example(1), gust_mps=30 * KNOT))

    assert sentence(found) == (
        "Gusts 30 kn on the way from Ostrel Haven to Brannowmouth, off; condition from 28 kn, no-go from 34 kn."
    )
    assert at_worst(found).say(0).do == "Leave at another time or wait."
    assert judged(RULE, worked_example(1))[-1].say(0).margin == "11 kn"
    assert demand(judged(RULE, worked_example(1))[-1]) == pytest.approx(17 * KNOT)


def test_a_missing_gust_in_the_time_of_the_passage_is_not_known_and_no_forecast_settles_itself(judged: Judged) -> None:
    facts = worked_example(1)
    held = facts.water.forecast
    assert held is not None
    gap = held.gust_mps.copy()
    gap[6] = np.nan

    inside, none = judged(RULE, forecast(facts, gust_mps=gap)), judged(RULE, water(facts, forecast=None))

    for found, settles in ((inside, False), (none, True)):
        worse = at_worst(found)
        assert (worst(found), worse.cause, ripens(worse)) == (Outcome.UNKNOWN, ("forecast", ""), settles)
    assert sentence(inside) == "The forecast has a gap in the gusts of this passage."


def test_sheltered_water_outside_is_not_asked_and_both_outcomes_may_be_waived_for_one_leg(judged: Judged) -> None:
    found = judged(RULE, sheltered(forecast(worked_example(1), gust_mps=40 * KNOT)))

    assert [(one.applies, worst([one])) for one in found] == [(False, Outcome.PASSED)]
    assert RULE.waive == {Outcome.NO_GO: Waive.ONE_LEG, Outcome.CONDITION: Waive.ONE_LEG}
