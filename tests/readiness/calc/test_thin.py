"""A line of many points thinned: no dropped point farther off than promised."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from readiness.calc.thin import kept_points

MINUTE_M = 1853.0  # of latitude, about


def test_a_straight_line_keeps_its_ends_only() -> None:
    assert kept_points(np.linspace(46, 47, 11), np.full(11, -15.0), 1.0).tolist() == [True, *[False] * 9, True]


@pytest.mark.parametrize(("within_m", "kept"), [(0.9 * MINUTE_M, True), (1.1 * MINUTE_M, False)])
def test_a_corner_of_a_minute_is_kept_or_not_by_what_may_be_lost(within_m: float, kept: bool) -> None:
    assert kept_points(np.array([46.0, 46 + 1 / 60, 46.0]), np.array([-15.0, -14.5, -14.0]), within_m)[1] == kept


def test_the_date_line_makes_no_corner() -> None:
    assert kept_points(np.array([10.0, 10.0, 10.0]), np.array([179.0, 180.0, -179.0]), 1.0).tolist() == [
        True,
        False,
        True,
    ]


@pytest.mark.parametrize("count", [0, 1, 2])
def test_so_few_points_are_all_kept(count: int) -> None:
    assert kept_points(np.full(count, 46.0), np.full(count, -15.0), 50.0).all()


def test_a_line_that_comes_back_to_its_start_keeps_the_far_end() -> None:
    assert kept_points(np.array([46.0, 46.1, 46.0]), np.array([-15.0, -15.0, -15.0]), 50.0).all()


def test_a_position_that_is_not_known_is_refused() -> None:
    with pytest.raises(ValueError, match="every position is known"):
        kept_points(np.array([46.0, np.nan]), np.array([-15.0, -15.0]), 50.0)


@settings(max_examples=50, deadline=None)
@given(st.lists(st.tuples(st.floats(46, 46.2), st.floats(-15, -14.8)), min_size=2, max_size=30), st.floats(10, 2000))
def test_no_dropped_point_lies_farther_off_than_promised(points: list[tuple[float, float]], within_m: float) -> None:
    lat, lon = np.array(points).T

    kept = np.flatnonzero(kept_points(lat, lon, within_m))

    x, y = np.radians(lon) * 6378137 * np.cos(np.radians(lat[0])), np.radians(lat) * 6378137
    for first, last in pairwise(kept):
        go = np.array([x[last] - x[first], y[last] - y[first]])
        for between in range(first + 1, last):
            off = np.array([x[between] - x[first], y[between] - y[first]])
            share = np.clip(off @ go / (go @ go), 0, 1) if go @ go else 0.0
            assert np.hypot(*(off - share * go)) <= within_m * 1.01
