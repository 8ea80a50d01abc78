"""Due days: ends of months, 29 February, month-only dates; hours or months, whichever is first."""

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from maintenance.calc.due import due_day, due_from_use, last_good_day, months_between, plus_months, used, used_of_both

DAYS = st.dates(date(1990, 1, 1), date(2090, 12, 31))
NAN = float("nan")


@pytest.mark.parametrize(
    ("start", "months", "end"),
    [
        ("2026-11-30", 3, "2027-02-28"),
        ("2027-11-30", 3, "2028-02-29"),
        ("2024-02-29", 12, "2025-02-28"),
        ("2024-02-29", 48, "2028-02-29"),
        ("2026-01-31", 1, "2026-02-28"),
        ("2026-12-15", 1, "2027-01-15"),
        ("2026-03-31", 0, "2026-03-31"),
        ("2026-03-31", -1, "2026-02-28"),
    ],
)
def test_months_on_the_same_day_clipped_to_the_last(start: str, months: int, end: str) -> None:
    assert plus_months(date.fromisoformat(start), months) == date.fromisoformat(end)


@given(DAYS, st.integers(0, 240))
def test_months_gone_are_the_months_added(day: date, months: int) -> None:
    gone = months_between(day, plus_months(day, months))

    assert months <= gone < months + 1


@given(DAYS, DAYS, DAYS)
def test_months_gone_never_shrink_as_time_goes_on(start: date, one: date, other: date) -> None:
    earlier, later = sorted((one, other))

    assert months_between(start, earlier) <= months_between(start, later)


def test_a_month_only_date_is_good_to_the_end_of_that_month() -> None:
    assert last_good_day(date(2028, 2, 1), month_only=True) == date(2028, 2, 29)
    assert last_good_day(date(2028, 2, 1), month_only=False) == date(2028, 2, 1)


@given(DAYS, st.integers(1, 60))
def test_not_knowing_the_day_never_makes_a_service_due_later(day: date, every: int) -> None:
    assert due_day(day, every, month_only=True) <= due_day(day, every)


def test_a_service_done_on_the_last_of_february_is_due_a_year_on() -> None:
    assert due_day(date(2026, 2, 28), 12) == date(2027, 2, 28)
    assert due_day(date(2026, 2, 28), 12, month_only=True) == date(2027, 2, 1)


def test_the_larger_share_counts() -> None:
    shares = used_of_both(np.array([0.4, 0.4, 1.2, NAN, 0.5, 0.3]), np.array([0.9, NAN, 0.1, 0.5, NAN, 0.7]),
                          np.array([1, 1, 1, 1, 1, 0.0]), np.array([1, 0, 1, 1, 1, 0.0]))  # fmt: skip

    np.testing.assert_array_equal(shares, [0.9, 0.4, 1.2, NAN, NAN, NAN])


def test_a_share_is_not_known_without_an_interval_or_a_figure() -> None:
    np.testing.assert_array_equal(used(np.array([100.0, NAN, 50.0, 200.0]), np.array([200.0, 200.0, 0.0, 200.0])),
                                  [0.5, NAN, NAN, 1.0])  # fmt: skip


@pytest.mark.parametrize(
    ("left", "a_day", "days"), [(10.0, 2.0, 5), (9.9, 2.0, 4), (0.0, 2.0, 0), (-3.0, 2.0, -2), (10.0, 0.5, 20)]
)
def test_the_day_the_hours_run_out(left: float, a_day: float, days: int) -> None:
    today = date(2026, 7, 10)

    assert due_from_use(today, left, a_day) == today + timedelta(days=days)


@pytest.mark.parametrize(("left", "a_day"), [(10.0, 0.0), (NAN, 1.0), (10.0, NAN), (1e9, 1e-6)])
def test_a_boat_that_does_not_run_has_no_such_day(left: float, a_day: float) -> None:
    assert due_from_use(date(2026, 7, 10), left, a_day) is None
