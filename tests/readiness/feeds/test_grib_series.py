"""One variable in a row of times."""

import numpy as np
import pytest

from readiness.feeds.grib_series import Moment, Series
from vessel.units import HOUR

AT = np.array([0.0, 1.0, 2.0, 3.0]) * HOUR


def series(*moments: tuple[float, float, float], run: float = 0.0, since_the_last: bool = False) -> Series:
    """Moments as (from, valid, value), hours."""
    row = Series()
    for start, valid, value in moments:
        row.add(valid * HOUR, Moment(run, start * HOUR, np.array([[value]]), since_the_last))
    return row


def laid(row: Series, at: np.ndarray = AT) -> list[float]:
    return row.laid_on(at).ravel().tolist()


def test_it_is_linear_between_its_times_and_not_known_outside_them() -> None:
    row = series((1, 1, 10), (3, 3, 14))

    assert laid(row) == pytest.approx([np.nan, 10, 12, 14], nan_ok=True)


def test_it_is_not_drawn_across_a_hole() -> None:
    wide = series((0, 0, 10), (7, 7, 10))
    hourly = series(*((hour, hour, 10) for hour in (0, 1, 3, 4)))

    assert laid(wide, AT[:2]) == pytest.approx([10, np.nan], nan_ok=True)
    assert laid(hourly) == pytest.approx([10, 10, np.nan, 10], nan_ok=True)


def test_a_maximum_holds_all_through_its_interval_and_the_larger_one_where_two_meet() -> None:
    row = series((0, 1, 5), (1, 3, 9))

    assert laid(row) == [5, 9, 9, 9]
    assert laid(series((0, 1, 9), (1, 3, 5))) == [9, 9, 5, 5]


def test_a_maximum_since_the_last_one_begins_there_and_before_the_first_nothing_is_known() -> None:
    row = series((1, 1, 5), (3, 3, 9), since_the_last=True)

    assert laid(row) == pytest.approx([np.nan, np.nan, 9, 9], nan_ok=True)
    assert laid(row, AT[1:]) == [9, 9, 9]


def test_a_missing_maximum_leaves_its_interval_not_known() -> None:
    assert laid(series((0, 1, 5), (1, 3, np.nan))) == pytest.approx([5, np.nan, np.nan, np.nan], nan_ok=True)
    assert laid(series((0, 1, 5), (2, 3, 6))) == pytest.approx([5, np.nan, np.nan, 6], nan_ok=True)


def test_the_newer_run_wins_in_whichever_order_they_come() -> None:
    for first, second in ((0.0, 1.0), (1.0, 0.0)):
        row = Series()
        row.add(0.0, Moment(first, 0.0, np.array([[first]])))
        row.add(0.0, Moment(second, 0.0, np.array([[second]])))

        assert laid(row, AT[:1]) == [1.0]
        assert (row.replaced, row.contradicted) == (1, 0)


def test_the_same_twice_is_once_and_a_contradiction_is_not_known() -> None:
    same, odd = series((0, 0, 5), (0, 0, 5)), series((0, 0, 5), (0, 0, 6), (0, 0, 5))

    assert (laid(same, AT[:1]), same.contradicted) == ([5], 0)
    assert np.isnan(laid(odd, AT[:1])).all()
    assert odd.contradicted == 2
