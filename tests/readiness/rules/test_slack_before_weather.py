"""Slack between the late arrival and bad weather."""

from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from readiness.rules.facts import Facts
from readiness.rules.judgement import Outcome, Waive
from readiness.rules.slack_before_weather import RULE
from readiness.rules.words_of_trade import Confidence
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import (
    at_worst,
    demand,
    forecast,
    leg,
    limits,
    outcome,
    ripens,
    sentence,
    vessel,
    water,
    worst,
)
from tests.readiness.rules.conftest import Judged
from vessel.units import HOUR, KNOT

LATE = datetime(2027, 5, 15, 14, 37, 12, 352000, tzinfo=UTC)
START, END = datetime(2027, 5, 15, 3, 0, tzinfo=UTC), datetime(2027, 5, 17, 3, 0, tzinfo=UTC)
SECOND = timedelta(seconds=1)
NAN = float("nan")


def turning(at: datetime, ends: datetime = END, facts: Facts | None = None, **worse: float) -> Facts:
    """The worked example with some numbers of the forecast turning at one moment, the same everywhere."""
    example = worked_example(1) if facts is None else facts
    held = example.water.forecast
    assert held is not None
    times = (START, at - SECOND, at, ends)
    grids: dict[str, Any] = {
        name: getattr(held, name)[:4].copy()
        for name in held.__struct_fields__ if np.ndim(getattr(held, name)) == 2
    }  # fmt: skip
    for name, value in worse.items():
        grids[name][2:] = value
    return water(example, forecast=replace(held, at=times, **grids))


@pytest.mark.parametrize(
    ("hours", "seconds", "expected"),
    [
        (6, 1, Outcome.PASSED), (6, -1, Outcome.ADVICE), (3, 1, Outcome.ADVICE), (3, -1, Outcome.CONDITION),
        (0, 1, Outcome.CONDITION), (0, -1, Outcome.NO_GO), (-5, 0, Outcome.NO_GO),
    ],
)  # fmt: skip
def test_slack_against_its_ladder(judged: Judged, hours: int, seconds: int, expected: Outcome) -> None:
    facts = turning(LATE + timedelta(hours=hours, seconds=seconds), wind_east_mps=28 * KNOT)

    assert worst(judged(RULE, facts)) == expected


def test_exactly_six_hours_three_hours_and_none_are_enough_for_each_step(judged: Judged) -> None:
    late = judged(RULE, turning(LATE, wind_east_mps=28 * KNOT))[-1]
    exact = 0.0 - demand(late)

    for hours, expected in ((6.0, Outcome.PASSED), (3.0, Outcome.ADVICE), (0.0, Outcome.CONDITION)):
        at = LATE + timedelta(hours=hours, seconds=exact + 1e-5)  # the clock of the facts keeps microseconds
        found = judged(RULE, turning(at, wind_east_mps=28 * KNOT))
        assert (worst(found), round(demand(found[-1]), 3)) == (expected, hours * HOUR)


@pytest.mark.parametrize(
    ("name", "value", "word"),
    [("wind_east_mps", 28.0 * KNOT, "wind"), ("gust_mps", 34.0 * KNOT, "gusts"), ("wave_height_m", 2.45, "sea")],
)
def test_wind_gusts_and_sea_each_count_from_their_own_no_go(judged: Judged, name: str, value: float, word: str) -> None:
    too_much: dict[str, Any] = {name: value}
    less: dict[str, Any] = {name: 0.97 * value}

    over = judged(RULE, turning(LATE + timedelta(hours=2), **too_much))
    under = judged(RULE, turning(LATE + timedelta(hours=2), **less))

    assert (worst(over), worst(under)) == (Outcome.CONDITION, Outcome.PASSED)
    assert f"the {word} would be a no-go at the place of arrival" in sentence(over)


def test_a_doubtful_forecast_makes_bad_weather_begin_earlier(judged: Judged) -> None:
    facts = turning(LATE + timedelta(hours=2), wind_east_mps=23 * KNOT)

    assert worst(judged(RULE, facts)) == Outcome.PASSED
    assert worst(judged(RULE, forecast(facts, confidence=Confidence.LOW))) == Outcome.CONDITION


def only(facts: Facts, point: int) -> Facts:
    """Bad weather at one of the two ends of the forecast only."""
    held = facts.water.forecast
    assert held is not None
    wind = held.wind_east_mps.copy()
    wind[:, 1 - point] = 12 * KNOT
    return forecast(facts, wind_east_mps=wind)


def test_weather_behind_her_does_not_count_and_weather_at_the_place_of_arrival_does(judged: Judged) -> None:
    noon = turning(datetime(2027, 5, 15, 12, 0, tzinfo=UTC), wind_east_mps=28.1 * KNOT)

    behind, ahead = judged(RULE, only(noon, 0)), judged(RULE, only(noon, 1))

    assert worst(behind) == Outcome.PASSED
    assert (worst(ahead), round(demand(ahead[-1]) / HOUR, 1)) == (Outcome.NO_GO, -2.6)


def test_bad_weather_over_before_she_leaves_does_not_count(judged: Judged) -> None:
    facts = worked_example(1)
    held = facts.water.forecast
    assert held is not None
    east = held.wind_east_mps.copy()
    east[:2] = 35 * KNOT  # 03:00 and 04:00

    assert worst(judged(RULE, forecast(facts, wind_east_mps=east))) == Outcome.PASSED


@pytest.mark.parametrize(("hours", "expected"), [(6, Outcome.PASSED), (5.9, Outcome.ADVICE)])
def test_with_no_bad_weather_the_forecast_must_reach_six_hours_past_the_late_arrival(
    judged: Judged, hours: float, expected: Outcome
) -> None:
    ends = LATE + timedelta(hours=hours, seconds=1)

    found = judged(RULE, turning(datetime(2027, 5, 15, 9, 0, tzinfo=UTC), ends))

    assert worst(found) == expected
    assert sentence(found).startswith("No bad weather until the forecast ends, Sat 15 May 21:")
    assert found[-1].say(0).do == ("" if expected == Outcome.PASSED else "Take in a longer forecast before leaving.")


def test_it_says_when_what_where_and_how_long_after(judged: Judged) -> None:
    found = judged(RULE, turning(datetime(2027, 5, 15, 18, 0, tzinfo=UTC), wind_east_mps=28 * KNOT))

    assert sentence(found) == (
        "From Sat 15 May 19:00 (18:00 UTC) the wind would be a no-go at the place of arrival, 3 h 23 min after the late "
        "arrival; 6 h are wanted."
    )
    assert found[-1].say(0).do == "Leave earlier or make a shorter leg."
    ample = judged(RULE, turning(LATE + timedelta(hours=8, minutes=3), wind_east_mps=28 * KNOT))
    assert ample[-1].say(0).margin == "2.0 h"


def test_on_the_way_it_says_where(judged: Judged) -> None:
    facts = turning(datetime(2027, 5, 15, 9, 0, tzinfo=UTC), wind_east_mps=28 * KNOT)

    words = judged(RULE, facts)[-1].say(0)

    assert words.title == "Bad weather 5 h 37 min before the late arrival"
    assert "would be a no-go on the way from Brannowmouth, off to Skarn Narrows, in" in words.sentence


@pytest.mark.parametrize("name", ["wind_east_mps", "gust_mps", "wave_height_m"])
def test_what_the_forecast_lacks_before_six_hours_after_arrival_is_not_known(judged: Judged, name: str) -> None:
    lost: dict[str, Any] = {name: NAN}

    for hours, expected in ((4, Outcome.UNKNOWN), (7, Outcome.PASSED)):
        found = judged(RULE, turning(LATE + timedelta(hours=hours), **lost))

        assert (worst(found), ripens(at_worst(found))) == (expected, False)


def test_bad_weather_before_the_gap_is_known_and_a_gap_before_bad_weather_is_not(judged: Judged) -> None:
    gap_first = turning(LATE + timedelta(hours=1), facts=turning(LATE, wind_east_mps=28 * KNOT), gust_mps=NAN)

    assert worst(judged(RULE, gap_first)) == Outcome.UNKNOWN
    gale_now = forecast(gap_first, wind_east_mps=30 * KNOT)
    assert worst(judged(RULE, gale_now)) == Outcome.NO_GO


def test_without_a_forecast_it_settles_itself_and_without_her_length_it_does_not(judged: Judged) -> None:
    starved = at_worst(judged(RULE, water(worked_example(1), forecast=None)))
    lengthless = at_worst(judged(RULE, vessel(worked_example(1), loa_m=NAN)))

    assert (outcome(starved), starved.cause, ripens(starved)) == (Outcome.UNKNOWN, ("forecast", ""), True)
    assert (outcome(lengthless), ripens(lengthless)) == (Outcome.UNKNOWN, False)


def test_without_a_late_arrival_that_is_what_is_missing(judged: Judged) -> None:
    found = at_worst(judged(RULE, leg(worked_example(1), speed_mps=NAN)))

    assert (outcome(found), found.cause) == (Outcome.UNKNOWN, ("late arrival", ""))


def test_the_skipper_may_ask_for_more(judged: Judged) -> None:
    facts = turning(LATE + timedelta(hours=8), wind_east_mps=28 * KNOT)

    assert worst(judged(RULE, limits(facts, slack_passed_s=9 * HOUR))) == Outcome.ADVICE
    assert worst(judged(RULE, limits(facts, slack_advice_s=9 * HOUR, slack_passed_s=10 * HOUR))) == Outcome.CONDITION


def test_a_harbour_move_does_not_ask_and_both_outcomes_may_be_waived_for_one_leg(judged: Judged) -> None:
    found = judged(RULE, leg(turning(LATE, wind_east_mps=28 * KNOT), harbour_move=True))

    assert [(one.applies, worst([one])) for one in found] == [(False, Outcome.PASSED)]
    assert RULE.waive == {Outcome.NO_GO: Waive.ONE_LEG, Outcome.CONDITION: Waive.ONE_LEG}
