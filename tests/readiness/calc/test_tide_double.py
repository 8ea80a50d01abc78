from dataclasses import replace

import numpy as np
import pytest

from readiness.calc.tide import Harmonics, TideTable, high_low_of
from readiness.calc.tide_double import APART_AT_MOST, double
from tests.factories.tide import epoch, published_harmonics
from vessel.units import DAY, HOUR

START = epoch("2027-05-15T00:00Z")


def table(*events: tuple[float, float, bool]) -> TideTable:
    hours, metres, high = zip(*events, strict=True)
    return TideTable(np.array(hours) * HOUR, np.array(metres, float), np.array(high, bool))


DOUBLE = table((0, 0.0, False), (5, 4.0, True), (6, 3.5, False), (8, 3.9, True), (13, 0.0, False))


def made_up(m4_m: float, lag: float = 180.0) -> TideTable:
    """A tide of M2 with a quarter-diurnal part of this size against, or with, its high water."""
    waves = Harmonics(("M2", "M4"), np.array([1.0, m4_m]), np.array([0.0, lag]), np.full(2, np.nan), 0.0)
    return high_low_of(waves, START, START + 3 * DAY)


def test_both_high_waters_are_double_and_the_dip_between_is_not() -> None:
    assert double(DOUBLE).tolist() == [False, True, False, True, False]


def test_double_low_waters_are_found_the_same_way_upside_down() -> None:
    upside_down = TideTable(DOUBLE.at, -DOUBLE.height_m, ~DOUBLE.high)

    assert double(upside_down).tolist() == [False, True, False, True, False]


@pytest.mark.parametrize(("dip", "found"), [(1.0, True), (1.001, False)])
def test_the_dip_is_at_most_a_quarter_of_the_range(dip: float, found: bool) -> None:
    heights = DOUBLE.height_m.copy()
    heights[2], heights[3] = 4.0 - dip, 4.0

    assert double(replace(DOUBLE, height_m=heights))[1] == found


@pytest.mark.parametrize(("seconds", "found"), [(0.0, True), (1.0, False)])
def test_the_two_are_at_most_six_hours_apart(seconds: float, found: bool) -> None:
    at = DOUBLE.at.copy()
    at[3:] = at[1] + APART_AT_MOST + seconds
    at[4] += HOUR

    assert double(replace(DOUBLE, at=at))[1] == found


@pytest.mark.parametrize("place", [1, 2, 3])
def test_with_a_height_not_known_nothing_is_called_double(place: int) -> None:
    heights = DOUBLE.height_m.copy()
    heights[place] = np.nan

    assert not double(replace(DOUBLE, height_m=heights)).any()


def test_no_height_known_or_too_few_events_is_never_double() -> None:
    assert not double(replace(DOUBLE, height_m=np.full(5, np.nan))).any()
    assert double(table((0, 0.0, False), (6, 4.0, True))).tolist() == [False, False]


def test_a_strong_quarter_diurnal_part_against_high_water_doubles_every_one_and_no_low() -> None:
    """A second wave of more than a quarter of the first turns its crest into a dip: the slope there changes sign."""
    found = made_up(0.4)

    assert found.at.size >= 22
    assert double(found).sum() >= 10
    assert found.high[double(found)].all()


def test_the_same_part_with_high_water_doubles_the_lows() -> None:
    found = made_up(0.4, lag=0.0)

    assert double(found).sum() >= 10
    assert not found.high[double(found)].any()


@pytest.mark.parametrize(("m4_m", "doubled"), [(0.24, False), (0.27, True)])
def test_a_tide_is_doubled_from_a_quarter_of_its_main_wave_on(m4_m: float, doubled: bool) -> None:
    assert bool(double(made_up(m4_m)).any()) == doubled


def test_a_tide_of_one_high_water_a_day_is_found_whole_and_is_not_double() -> None:
    days = 9
    found = high_low_of(published_harmonics("panama_city"), epoch("2017-01-08T00:00Z"), epoch("2017-01-17T00:00Z"))

    assert found.high.sum() in (days - 1, days)
    assert not double(found).any()
