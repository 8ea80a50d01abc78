"""Trends: the published example, a second method, and what is not known."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import theilslopes

from maintenance.calc.trend import Slope, crossing, growth, rate_to_reckon_with, rates, theil_sen
from tests.published.read import half_a_unit, published

NAN = float("nan")


def test_the_slope_is_that_of_the_published_example() -> None:
    rows = published("theil_sen")
    printed = published("theil_sen_answer")[0]

    found = theil_sen(np.array([float(row["x"]) for row in rows]), np.array([float(row["y"]) for row in rows]))

    for name in ("slope", "low", "high"):
        assert getattr(found, name) == pytest.approx(float(printed[name]), abs=half_a_unit(printed[name]) * 1.001)
    assert found.points == len(rows)


@pytest.mark.parametrize("seed", range(40))
def test_slope_and_interval_are_those_of_a_second_method(seed: int) -> None:
    dice = np.random.default_rng(seed)
    times = np.sort(dice.uniform(0, 100, dice.integers(8, 30)))
    values = np.round(0.3 * times + dice.normal(0, 5, times.size))

    found, other = theil_sen(times, values), theilslopes(values, times, 0.95)

    assert (found.slope, found.low, found.high) == pytest.approx((other[0], other[2], other[3]))


@given(st.lists(st.integers(-1000, 1000), min_size=5, max_size=20), st.integers(-1000, 1000), st.integers(0, 19))
def test_one_odd_reading_does_not_bend_a_straight_line(offsets: list[int], odd: int, place: int) -> None:
    times = np.arange(len(offsets), dtype=float)
    values = 3.0 * times + 7
    values[place % len(offsets)] += odd

    assert theil_sen(times, values).slope == pytest.approx(3.0)


def test_readings_not_known_are_left_out_and_counted_out() -> None:
    found = theil_sen(np.array([0, 1, 2, 3, NAN, 5.0]), np.array([0, 2, NAN, 6, 1, 10.0]))

    assert found.slope == pytest.approx(2.0)
    assert found.points == 4


@pytest.mark.parametrize("times", [[], [1.0], [1.0, 1.0], [NAN, 2.0]])
def test_without_two_times_nothing_is_known(times: list[float]) -> None:
    found = theil_sen(np.array(times), np.ones(len(times)))

    assert np.isnan([found.slope, found.low, found.high, found.intercept]).all()


def test_below_four_readings_the_interval_is_not_known_and_with_four_it_is_open() -> None:
    three = theil_sen(np.arange(3.0), np.arange(3.0))
    four = theil_sen(np.arange(4.0), np.arange(4.0))

    assert np.isnan([three.low, three.high]).all()
    assert (four.low, four.high) == (-np.inf, np.inf)


def test_litres_per_running_hour_of_the_nursed_oil_cooler() -> None:
    hours, added = np.array([100.0, 120.0, 140.0, 160.0]), np.array([0.0, 0.6, 0.7, 0.9])

    found = rates(hours, added)

    assert found == pytest.approx([0.030, 0.035, 0.045])
    assert rate_to_reckon_with(found) == pytest.approx(0.045)
    assert growth(found) == pytest.approx(0.045 / 0.0325)


def test_the_median_counts_when_the_newest_interval_was_kind() -> None:
    assert rate_to_reckon_with(np.array([9.0, 0.03, 0.05, 0.04, 0.05, 0.01])) == pytest.approx(0.04)


def test_a_rate_not_known_is_never_a_small_one() -> None:
    found = rates(np.array([100.0, 100.0, 120.0]), np.array([0.0, 0.5, 0.6]))

    assert np.isnan(np.asarray(found)[0])
    assert np.isnan(rate_to_reckon_with(found))
    assert np.isnan(growth(found))
    assert np.isnan(rate_to_reckon_with(np.array([])))
    assert np.isnan(growth(np.array([0.03])))


@pytest.mark.parametrize(("intervals", "expected"), [([0, 0, 0.1], np.inf), ([0, 0, 0], 1.0), ([0.1, 0.0], 0.0)])
def test_growth_from_nothing(intervals: list[float], expected: float) -> None:
    assert growth(np.array(intervals)) == expected


LINE = Slope(slope=2.0, low=1.0, high=4.0, intercept=10.0, points=9)


@pytest.mark.parametrize(
    ("limit", "now", "rising", "expected"),
    [
        (30.0, 0.0, True, (10.0, 5.0, 20.0)),
        (30.0, 10.0, True, (10.0, 10.0, 10.0)),  # exactly at the limit: now
        (29.9, 10.0, True, (10.0, 10.0, 10.0)),
        (0.0, 0.0, False, (np.inf, np.inf, np.inf)),  # rising away from a limit below
    ],
)
def test_when_the_line_reaches_its_limit(
    limit: float, now: float, rising: bool, expected: tuple[float, float, float]
) -> None:
    assert crossing(LINE, limit, now, rising) == pytest.approx(expected)


def test_a_falling_line_reaches_a_limit_below() -> None:
    falling = Slope(slope=-2.0, low=-4.0, high=1.0, intercept=38.0, points=9)

    assert crossing(falling, 28.0, 0.0, rising=False) == pytest.approx((5.0, 2.5, np.inf))


@pytest.mark.parametrize("trend", [LINE._replace(slope=NAN), LINE._replace(intercept=NAN)])
def test_a_crossing_not_known_is_not_never(trend: Slope) -> None:
    assert np.isnan(crossing(trend, 30.0, 0.0).likely)


def test_a_crossing_without_an_interval_has_no_earliest_day() -> None:
    found = crossing(LINE._replace(low=NAN, high=NAN), 30.0, 0.0)

    assert found.likely == 10.0
    assert np.isnan([found.earliest, found.latest]).all()
