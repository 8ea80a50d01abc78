"""Fuel: the worked tank, her speed table and its ends."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from vessel.calc.fuel import HowRead, burn_at, burnt, cruising_range, endurance, surely_aboard
from vessel.units import HOUR, KNOT, NAUTICAL_MILE

SPEEDS = np.array([6.0, 7.0, 7.8]) * KNOT
BURNS = np.array([5.2, 9.0, 16.0])


@pytest.mark.parametrize(
    ("speed_kn", "burn"),
    [
        (6.0, 5.2),
        (6.5, 7.1),
        (7.0, 9.0),
        (7.4, 12.5),
        (7.8, 16.0),
        (7.801, 16.0),
        (5.99, np.nan),
        (7.81, np.nan),
        (np.nan, np.nan),
    ],
)
def test_burn_follows_straight_lines_between_the_rows_of_the_table(speed_kn: float, burn: float) -> None:
    assert burn_at(speed_kn * KNOT, SPEEDS, BURNS) == pytest.approx(burn, nan_ok=True)


def test_the_rows_of_the_table_may_come_in_any_order() -> None:
    order = [2, 0, 1]

    speeds = np.array([[6.2, 7.7], [7.0, 9.0]]) * KNOT
    assert burn_at(speeds, SPEEDS[order], BURNS[order]) == pytest.approx(burn_at(speeds, SPEEDS, BURNS), nan_ok=True)


@pytest.mark.parametrize(("how", "sure"), [("dip", 261.5), ("sight", 261.5), ("gauge", 230.0)])
def test_what_is_surely_aboard_depends_on_how_it_was_read(how: HowRead, sure: float) -> None:
    assert surely_aboard(300.0, 25.0, 450.0, how) == pytest.approx(sure)


@pytest.mark.parametrize(("reading", "sure"), [(38.5, 0.0), (30.0, 0.0), (39.5, 1.0)])
def test_less_than_nothing_is_never_aboard(reading: float, sure: float) -> None:
    assert surely_aboard(reading, 25.0, 450.0, "dip") == pytest.approx(sure)


@pytest.mark.parametrize("figures", [(np.nan, 25.0, 450.0), (300.0, np.nan, 450.0), (300.0, 25.0, np.nan)])
def test_a_tank_with_a_figure_not_known_is_not_known(figures: tuple[float, float, float]) -> None:
    assert np.isnan(surely_aboard(*figures, "dip"))


def test_the_worked_leg_burns_what_is_printed() -> None:
    need = burnt(9.0, 6 * HOUR + 52 * 60 + 28)

    assert need == pytest.approx(61.9, abs=0.05)
    assert surely_aboard(300.0, 25.0, 450.0, "dip") / need == pytest.approx(4.23, abs=0.005)


def test_ten_gallons_an_hour_for_a_hundred_miles_at_twenty_knots_are_fifty() -> None:
    assert burnt(10.0, 100 / 20 * HOUR) == pytest.approx(50.0)


@given(st.floats(0, 1000), st.floats(0.1, 100), st.floats(0, 20))
def test_running_until_it_is_gone_burns_what_was_aboard(sure: float, burn: float, speed: float) -> None:
    lasts = endurance(sure, burn)

    assert burnt(burn, lasts) == pytest.approx(sure)
    assert cruising_range(sure, burn, speed) == pytest.approx(lasts * speed)


@pytest.mark.parametrize("burn", [0.0, -1.0, np.nan])
def test_without_a_burn_nothing_is_said_about_how_long_it_lasts(burn: float) -> None:
    assert np.isnan(endurance(100.0, burn))


def test_the_tank_of_the_worked_boat_takes_her_two_hundred_miles() -> None:
    assert cruising_range(261.5, 9.0, 7 * KNOT) / NAUTICAL_MILE == pytest.approx(203.4, abs=0.05)
