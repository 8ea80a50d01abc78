"""Age of the forecast at departure."""

from datetime import UTC, datetime, timedelta

import pytest

from readiness.rules.forecast_age import RULE
from readiness.rules.judgement import Outcome, Waive
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import at_worst, forecast, leg, limits, ripens, sentence, water, worst
from tests.readiness.rules.conftest import Judged
from vessel.units import HOUR

DEPARTURE = datetime(2027, 5, 15, 6, 30, tzinfo=UTC)


@pytest.mark.parametrize(
    ("hours", "expected", "settles"),
    [
        (0.0, Outcome.PASSED, False), (6.0, Outcome.PASSED, False), (6.001, Outcome.CONDITION, True),
        (24.0, Outcome.CONDITION, True), (24.001, Outcome.UNKNOWN, True), (-0.001, Outcome.UNKNOWN, True),
    ],
)  # fmt: skip
def test_age_against_its_ladder(judged: Judged, hours: float, expected: Outcome, settles: bool) -> None:
    found = judged(RULE, forecast(worked_example(1), issued_at=DEPARTURE - timedelta(hours=hours)))

    assert (worst(found), ripens(at_worst(found))) == (expected, settles)


def test_the_skipper_may_ask_for_a_fresher_one(judged: Judged) -> None:
    facts = limits(worked_example(1), forecast_fresh_s=3 * HOUR)

    assert worst(judged(RULE, facts)) == Outcome.CONDITION


def test_it_says_how_old_it_will_be(judged: Judged) -> None:
    found = judged(RULE, forecast(worked_example(1), issued_at=DEPARTURE - timedelta(hours=9)))

    assert sentence(found) == "The forecast will be 9 h old. It keeps 6 h; past 24 h there is only an outlook."
    assert at_worst(found).say(0).do == "Take the newest before leaving."


def test_an_issue_time_nobody_gave_and_no_forecast_are_not_known(judged: Judged) -> None:
    facts = worked_example(1)

    for without in (forecast(facts, issued_at=None), water(facts, forecast=None)):
        found = judged(RULE, without)

        assert (worst(found), at_worst(found).cause) == (Outcome.UNKNOWN, ("forecast", ""))
        assert sentence(found).startswith("When the forecast was issued is not known.")


def test_a_condition_may_be_waived_for_one_leg_and_a_harbour_move_does_not_ask(judged: Judged) -> None:
    facts = leg(forecast(worked_example(1), issued_at=None), harbour_move=True)

    assert RULE.waive == {Outcome.CONDITION: Waive.ONE_LEG}
    assert [(one.applies, worst([one])) for one in judged(RULE, facts)] == [(False, Outcome.PASSED)]
