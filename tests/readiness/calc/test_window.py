"""When a yes/no function of time changes: against brute force, on the edges, and where nothing is known."""

from collections.abc import Callable
from datetime import UTC, datetime, time

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.calc.window import (
    Condition,
    Windows,
    about_high_water,
    always,
    both,
    changes,
    daily_hours,
    height_at_least,
    height_at_most,
    inside,
    known,
    last_closing_in,
    next_opening,
    rate_at_most,
    windows,
)
from vessel.units import DAY, HOUR, MINUTE, Array

HIGH_WATERS = np.array([20.0, 32.4, 44.8]) * HOUR


def epoch(text: str) -> float:
    return datetime.fromisoformat(text).replace(tzinfo=UTC).timestamp()


def between(*edges: float) -> Condition:
    """Open from the first edge to the second, from the third to the fourth and so on."""
    return lambda at: np.asarray(np.searchsorted(np.array(edges), at, side="right") % 2 == 1)


def lock() -> Windows:
    """Open from 3 h before to 2 h after each high water, over 10 to 50 h."""
    return windows(about_high_water(HIGH_WATERS, 3 * HOUR, 2 * HOUR), 10 * HOUR, 50 * HOUR, 10 * MINUTE)


@pytest.mark.parametrize("to_s", [1.0, 0.01])
def test_a_change_is_found_to_the_time_asked_for(to_s: float) -> None:
    found = changes(between(1234.5, 5678.25), 0.0, 10_000.0, 600.0, to_s)

    assert (found >= [1234.5, 5678.25]).all()
    assert (found <= np.array([1234.5, 5678.25]) + to_s).all()


@given(st.lists(st.integers(1, 900), min_size=0, max_size=12, unique=True))
def test_windows_equal_a_search_second_by_second(edges: list[int]) -> None:
    condition = between(*sorted(edges))

    found = windows(condition, 0.0, 901.0, 1.0)

    seconds = np.arange(901.0)
    assert (inside(found, seconds + 0.5) == condition(seconds + 0.5)).all()
    assert found.opens_at == pytest.approx(sorted(edges)[0::2], abs=0.02)


def test_at_its_opening_a_gate_is_open_and_at_its_closing_shut() -> None:
    gate = lock()

    assert gate.opens_at == pytest.approx(HIGH_WATERS - 3 * HOUR, abs=0.02)
    assert gate.closes_at == pytest.approx(HIGH_WATERS + 2 * HOUR, abs=0.02)
    assert inside(gate, gate.opens_at).all()
    assert not inside(gate, gate.closes_at).any()
    assert not inside(gate, gate.opens_at - 0.02).any()


def test_a_window_cut_off_by_what_is_held_says_so() -> None:
    found = windows(between(-500.0, 500.0, 900.0, 2000.0), 0.0, 1000.0, 60.0)

    assert found.opens_at[0] == 0.0
    assert list(found.opens_known) == [False, True]
    assert list(found.closes_known) == [True, False]
    assert found.closes_at[1] == 1000.0


def test_a_window_that_closes_as_the_search_ends_is_known_to_close() -> None:
    found = windows(between(500.0, 1000.0), 0.0, 1000.0, 60.0)

    assert list(found.closes_known) == [True]


def test_times_are_answered_in_any_shape_and_one_by_one() -> None:
    gate = lock()
    at = np.array([[18.0, 25.0], [30.0, 49.0]]) * HOUR

    assert inside(gate, at).tolist() == [[True, False], [True, False]]
    assert bool(inside(gate, 18.0 * HOUR))
    assert float(next_opening(gate, 25.0 * HOUR)) == pytest.approx(29.4 * HOUR, abs=0.02)
    assert np.asarray(last_closing_in(gate, at)) == pytest.approx(
        np.array([[22.0, np.nan], [34.4, np.nan]]) * HOUR, abs=0.02, nan_ok=True
    )


def test_the_next_opening_counts_from_the_moment_itself() -> None:
    gate = lock()

    assert next_opening(gate, gate.opens_at[1]) == gate.opens_at[1]
    assert next_opening(gate, gate.opens_at[1] + 0.001) == gate.opens_at[2]
    assert np.isnan(next_opening(gate, gate.opens_at[2] + 1))
    assert np.isnan(next_opening(gate, np.nan))


def test_with_no_window_held_there_is_no_opening_and_no_closing() -> None:
    shut = windows(between(), 0.0, DAY, HOUR)

    assert not inside(shut, np.array([0.0, HOUR])).any()
    assert np.isnan(next_opening(shut, HOUR))
    assert np.isnan(last_closing_in(shut, HOUR))


def test_what_is_not_known_is_shut_and_said_to_be_not_known() -> None:
    def partly(at: Array) -> Array:
        return np.where((at >= 300) & (at < 600), np.nan, 1.0)

    found = windows(partly, 0.0, 1000.0, 60.0)

    at = np.array([-1.0, 0.0, 299.0, 301.0, 599.0, 601.0, 999.0, 1000.0, np.nan])
    assert inside(found, at).tolist() == [False, True, True, False, False, True, True, False, False]
    assert known(found, at).tolist() == [False, True, True, False, False, True, True, False, False]
    assert list(found.opens_known) == [False, False]
    assert list(found.closes_known) == [False, False]


def test_a_gate_is_known_as_far_as_its_high_waters_reach() -> None:
    gate = lock()

    assert known(gate, np.array([16.9, 17.1, 46.7, 46.9]) * HOUR).tolist() == [False, True, True, False]


def test_without_a_high_water_nothing_is_known() -> None:
    gate = windows(about_high_water(np.array([]), HOUR, HOUR), 0.0, DAY, HOUR)

    assert not known(gate, np.array([0.0, HOUR])).any()
    assert gate.opens_at.size == 0


@pytest.mark.parametrize(("needed", "opens"), [(1.0, True), (2.0, True), (2.001, False)])
def test_a_sill_is_open_at_exactly_the_height_needed(needed: float, opens: bool) -> None:
    sill = height_at_least(lambda at: np.where(np.isnan(at), np.nan, 2.0), needed)

    assert sill(np.array([0.0]))[0] == opens
    assert np.isnan(sill(np.array([np.nan]))[0])


def test_a_sill_opens_where_the_curve_crosses_the_height() -> None:
    def tide(at: Array) -> Array:
        return np.asarray(2.5 + 1.5 * np.cos(2 * np.pi * at / (12.4 * HOUR)))

    sill = windows(height_at_least(tide, 3.0), HOUR, 30 * HOUR, 10 * MINUTE)

    half_open = np.arccos(0.5 / 1.5) / (2 * np.pi) * 12.4 * HOUR
    assert sill.opens_at[1:] == pytest.approx([12.4 * HOUR - half_open, 24.8 * HOUR - half_open], abs=0.02)
    assert sill.closes_at == pytest.approx([half_open, 12.4 * HOUR + half_open, 24.8 * HOUR + half_open], abs=0.02)


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [(1.0, 1.0, 1.0), (1.0, 0.0, 0.0), (0.0, np.nan, 0.0), (1.0, np.nan, np.nan), (np.nan, np.nan, np.nan)],
)
def test_both_are_needed_and_shut_wins_over_not_known(one: float, other: float, expected: float) -> None:
    together = both(lambda at: np.full(at.shape, one), lambda at: np.full(at.shape, other))

    assert together(np.zeros(1)) == pytest.approx([expected], nan_ok=True)


@pytest.mark.parametrize(
    ("opens", "closes", "expected"),
    [
        (time(8), time(17), [("2027-06-01T07:00", "2027-06-01T16:00"), ("2027-06-02T07:00", "2027-06-02T16:00")]),
        (time(22), time(5), [("2027-06-01T00:00", "2027-06-01T04:00"), ("2027-06-01T21:00", "2027-06-02T04:00")]),
    ],
    ids=["by day", "over midnight"],
)
def test_a_keepers_hours_follow_the_local_clock(opens: time, closes: time, expected: list[tuple[str, str]]) -> None:
    start = epoch("2027-06-01T00:00")

    hours = windows(daily_hours(opens, closes, "Europe/Lisbon"), start, start + 2 * DAY, 10 * MINUTE)

    assert hours.opens_at[:2] == pytest.approx([epoch(opening) for opening, _ in expected], abs=0.02)
    assert hours.closes_at[:2] == pytest.approx([epoch(closing) for _, closing in expected], abs=0.02)


@pytest.mark.parametrize(
    ("day", "opens", "closes", "expected"),
    [
        ("2027-03-28", time(1, 30), time(9), ("01:30", "08:00")),  # 01:30 is skipped: by the old clock, the later
        ("2027-03-28", time(0, 15), time(1, 30), ("00:15", "00:30")),  # ... by the new clock, the earlier
        ("2027-10-31", time(1, 30), time(9), ("01:30", "09:00")),  # 01:30 comes twice: the second
        ("2027-10-31", time(0, 15), time(1, 30), ("23:15", "00:30")),  # ... the first
    ],
)
def test_on_the_day_the_clock_changes_the_shorter_reading_counts(
    day: str, opens: time, closes: time, expected: tuple[str, str]
) -> None:
    start = epoch(f"{day}T00:00") - HOUR

    hours = windows(daily_hours(opens, closes, "Europe/Lisbon"), start, start + 23 * HOUR, 5 * MINUTE)

    found = [datetime.fromtimestamp(at, UTC).strftime("%H:%M") for at in (hours.opens_at[0], hours.closes_at[0])]
    assert tuple(found) == expected


def test_hours_round_the_clock_never_shut() -> None:
    always = windows(daily_hours(time(0), time(0), "Europe/Lisbon"), 0.0, 3 * DAY, HOUR)

    assert always.opens_at.tolist() == [0.0]
    assert always.closes_at.tolist() == [3 * DAY]


@pytest.mark.parametrize("at_most", [height_at_most, rate_at_most])
@pytest.mark.parametrize(("value", "expected"), [(1.99, 1.0), (2.0, 1.0), (2.01, 0.0), (np.nan, np.nan)])
def test_at_most_is_open_up_to_and_on_the_limit(
    at_most: Callable[..., Condition], value: float, expected: float
) -> None:
    condition = at_most(lambda at: np.full(np.shape(at), value), 2.0)

    assert condition(np.array([5.0])) == pytest.approx([expected], nan_ok=True)


def test_a_change_shorter_than_the_search_is_found_where_it_was_named() -> None:
    short = between(1000.0, 1001.0)

    assert not windows(short, 0.0, 10_000.0, 600.0).opens_at.size
    named = windows(short, 0.0, 10_000.0, 600.0, turns_at=np.array([-5.0, 1000.0, 1001.0, 20_000.0]))
    assert named.opens_at == pytest.approx([1000.0], abs=0.02)
    assert named.closes_at == pytest.approx([1001.0], abs=0.02)


def test_what_is_always_open_is_open_at_any_shape_of_times() -> None:
    assert always(np.zeros((2, 3))).tolist() == [[1.0] * 3] * 2
    assert windows(always, 0.0, DAY, HOUR).closes_at.tolist() == [DAY]
