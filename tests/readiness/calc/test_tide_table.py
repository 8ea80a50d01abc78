import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.calc.tide import (
    LONGEST_DIURNAL_GAP,
    LONGEST_GAP,
    TideTable,
    alternates,
    cosine_height,
    high_low_of,
    mean_range,
    nearest_high_water,
    twelfths_height,
)
from tests.factories.tide import demo_harmonics, epoch, published_harmonics
from vessel.units import DAY, HOUR, Array

START = epoch("2027-05-15T00:00Z")
EVENTS = TideTable(
    START + np.array([0.0, 6.0, 12.5, 18.5, 25.0]) * HOUR,
    np.array([1.0, 4.0, 0.5, 4.2, 0.8]),
    np.array([False, True, False, True, False]),
)


def without(table: TideTable, *places: int) -> TideTable:
    keep = np.delete(np.arange(table.at.size), places)
    return TideTable(table.at[keep], table.height_m[keep], table.high[keep])


def test_height_is_that_of_the_table_at_each_event() -> None:
    np.testing.assert_array_equal(cosine_height(EVENTS, EVENTS.at), EVENTS.height_m)


@pytest.mark.parametrize(("hours", "height"), [(3.0, 2.5), (2.0, 1.75), (4.0, 3.25), (9.25, 2.25)])
def test_height_between_events_follows_a_cosine(hours: float, height: float) -> None:
    assert cosine_height(EVENTS, START + hours * HOUR) == pytest.approx(height)


@pytest.mark.parametrize(("hours", "known"), [(-0.001, False), (0.0, True), (25.0, True), (25.001, False)])
def test_height_is_known_from_the_first_event_to_the_last(hours: float, known: bool) -> None:
    assert np.isfinite(cosine_height(EVENTS, START + hours * HOUR)) == known


def test_one_time_gives_the_same_as_its_place_in_an_array_of_any_shape() -> None:
    at = START + np.arange(24.0).reshape(4, 6) * HOUR

    height = np.asarray(cosine_height(EVENTS, at))

    assert height.shape == (4, 6)
    assert cosine_height(EVENTS, float(at[2, 3])) == height[2, 3]


def test_a_lost_event_leaves_a_hole_and_not_a_curve() -> None:
    holed = without(EVENTS, 2)

    assert np.isnan(cosine_height(holed, START + 10 * HOUR))
    assert cosine_height(holed, START + 3 * HOUR) == pytest.approx(2.5)
    assert cosine_height(holed, START + 6 * HOUR) == 4.0
    assert cosine_height(holed, START + 22 * HOUR) == cosine_height(EVENTS, START + 22 * HOUR)


def test_two_lost_events_leave_a_hole_though_the_kinds_alternate() -> None:
    holed = without(EVENTS, 1, 2)

    assert alternates(holed).all()
    assert np.isnan(cosine_height(holed, START + 10 * HOUR))


@pytest.mark.parametrize(("hours", "known"), [(11.999, True), (12.0, True), (12.001, False)])
def test_two_events_are_believed_up_to_the_longest_gap(hours: float, known: bool) -> None:
    table = TideTable(START + np.array([0.0, hours * HOUR]), np.array([1.0, 3.0]), np.array([False, True]))

    assert hours * HOUR <= LONGEST_GAP or not known
    assert np.isfinite(cosine_height(table, START + HOUR)) == known
    assert np.isfinite(cosine_height(table, START + HOUR, LONGEST_DIURNAL_GAP))


@pytest.mark.parametrize(
    ("height", "high", "at"),
    [
        ([3.0, 1.0], [False, True], [0.0, 6.0]),
        ([2.0, 2.0], [False, True], [0.0, 6.0]),
        ([1.0, 3.0], [False, False], [0.0, 6.0]),
        ([1.0, np.nan], [False, True], [0.0, 6.0]),
        ([1.0, 3.0], [False, True], [0.0, np.nan]),
    ],
    ids=["upside down", "level", "two of a kind", "height missing", "time missing"],
)
def test_two_events_that_do_not_belong_together_give_no_height(
    height: list[float], high: list[bool], at: list[float]
) -> None:
    table = TideTable(START + np.array(at) * HOUR, np.array(height), np.array(high))

    assert np.isnan(cosine_height(table, START + 3 * HOUR))


def test_a_time_that_is_not_known_has_no_height() -> None:
    assert np.isnan(cosine_height(EVENTS, float("nan")))
    assert np.isnan(nearest_high_water(EVENTS, float("nan")))


@pytest.mark.parametrize("events", [0, 1])
def test_a_table_of_no_event_or_one_says_next_to_nothing(events: int) -> None:
    table = TideTable(EVENTS.at[:events], EVENTS.height_m[:events], EVENTS.high[:events])

    assert np.isnan(cosine_height(table, START + HOUR))
    assert np.isnan(nearest_high_water(table, START + HOUR))
    assert np.isnan(mean_range(table, START + HOUR))
    assert cosine_height(table, START) == 1.0 if events else np.isnan(cosine_height(table, START))


@given(st.lists(st.booleans(), min_size=28, max_size=28), st.floats(0, 7 * DAY))
def test_taking_events_away_never_changes_a_height_to_another_one_that_is_believed(
    keep: list[bool], after: float
) -> None:
    """What is left after events are lost is the true height or not known, never a wrong one."""
    table = high_low_of(demo_harmonics(), START, START + 7.5 * DAY)
    kept = np.flatnonzero(np.array([*keep, *[True] * 99][: table.at.size]))
    thinned = TideTable(table.at[kept], table.height_m[kept], table.high[kept])

    left, whole = cosine_height(thinned, START + after), cosine_height(table, START + after)

    assert np.isnan(left) or left == pytest.approx(whole)


@pytest.mark.parametrize("hour", range(7))
def test_twelfths_give_the_printed_share_after_each_hour(hour: int) -> None:
    tide = TideTable(START + np.array([0.0, 6.0]) * HOUR, np.array([0.0, 12.0]), np.array([False, True]))

    risen = twelfths_height(tide, START + hour * HOUR)

    assert risen == pytest.approx([0, 1, 3, 6, 9, 11, 12][hour])
    assert abs(float(risen) - float(cosine_height(tide, START + hour * HOUR))) / 12 <= 0.017


def test_twelfths_stay_near_the_cosine_and_are_not_known_where_it_is_not() -> None:
    at = START + np.arange(-HOUR, 26 * HOUR, 60.0)

    cosine, twelfths = np.asarray(cosine_height(EVENTS, at)), np.asarray(twelfths_height(EVENTS, at))

    assert np.nanmax(np.abs(cosine - twelfths)) <= 0.0265 * 3.7
    np.testing.assert_array_equal(np.isnan(cosine), np.isnan(twelfths))


@pytest.mark.parametrize(("hours", "nearest"), [(6.0, 6.0), (12.0, 6.0), (12.25, 6.0), (12.26, 18.5), (18.5, 18.5)])
def test_the_nearest_high_water_is_found(hours: float, nearest: float) -> None:
    assert nearest_high_water(EVENTS, START + hours * HOUR) == START + nearest * HOUR


@pytest.mark.parametrize("hours", [5.99, 18.51])
def test_no_nearest_high_water_is_named_outside_those_of_the_table(hours: float) -> None:
    assert np.isnan(nearest_high_water(EVENTS, START + hours * HOUR))


def test_no_nearest_high_water_is_named_across_a_hole() -> None:
    longer = high_low_of(demo_harmonics(), START, START + 4 * DAY)
    high = int(np.flatnonzero(longer.high)[3])
    middle = float(longer.at[high])

    assert nearest_high_water(longer, middle) == middle
    assert np.isnan(nearest_high_water(without(longer, high), middle))
    assert np.isnan(nearest_high_water(without(longer, high, high + 1), middle))
    assert np.isnan(nearest_high_water(without(longer, high + 1), middle + HOUR))


def test_range_is_the_mean_of_those_before_and_after_high_water() -> None:
    at = START + np.array([6.0, 7.0, 18.5]) * HOUR

    np.testing.assert_allclose(mean_range(EVENTS, at), [3.25, 3.25, (3.7 + 3.4) / 2])


def test_range_is_not_known_without_a_low_water_on_both_sides() -> None:
    assert np.isnan(mean_range(without(EVENTS, 0), START + 6 * HOUR))
    assert np.isnan(mean_range(without(EVENTS, 4), START + 18.5 * HOUR))


@pytest.mark.parametrize("station", ["jacksonville_beach", "smith_shoal"])
def test_the_curve_between_events_stays_near_the_tide_it_stands_for(station: str) -> None:
    harmonics = published_harmonics(station)
    table = high_low_of(harmonics, START, START + 30 * DAY)
    at: Array = np.arange(table.at[0], table.at[-1], 600.0)

    from_events = np.asarray(cosine_height(table, at))
    again = high_low_of(harmonics, float(table.at[5]), float(table.at[9]))

    assert np.isfinite(from_events).all()
    np.testing.assert_allclose(again.at, table.at[5:10], atol=1.0)
