"""Refuges in reach and the last moment to turn back."""

from datetime import UTC, datetime

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.calc.refuge import distances_to, to_nearest, turn_back
from readiness.calc.track import cut, geodesic
from vessel.units import HOUR, KNOT, NAUTICAL_MILE

TRACK = cut(np.array([46.5, 46.5]), np.array([-15.0, -14.5]), np.array([False]), NAUTICAL_MILE)


def test_every_place_has_its_distance_from_every_node() -> None:
    away = np.asarray(distances_to(TRACK, np.array([46.5, 46.6]), np.array([-15.0, -14.7])))

    assert away.shape == (2, TRACK.node_lat_deg.size)
    assert away[0, 0] == 0.0
    assert away[0, -1] == pytest.approx(geodesic(46.5, -15.0, 46.5, -14.5)[0], rel=2e-6)
    assert away[1, 3] == pytest.approx(geodesic(TRACK.node_lat_deg[3], TRACK.node_lon_deg[3], 46.6, -14.7)[0], rel=2e-6)


def test_the_nearest_usable_place_counts() -> None:
    away = np.array([[1.0, 5.0, 9.0], [8.0, 4.0, 2.0]])

    assert np.asarray(to_nearest(away, np.array([[True], [True]]))).tolist() == [1.0, 4.0, 2.0]
    assert np.asarray(to_nearest(away, np.array([[True], [False]]))).tolist() == [1.0, 5.0, 9.0]


def test_where_no_place_is_usable_the_nearest_is_out_of_reach() -> None:
    away = np.array([[1.0, 5.0]])

    assert np.isinf(to_nearest(away, np.array([[False]]))).all()
    assert np.isinf(to_nearest(np.empty((0, 2)), np.empty((0, 1), bool))).all()


def test_usable_may_change_with_the_departure() -> None:
    away = np.array([[1.0, 5.0], [8.0, 4.0]])
    usable = np.array([[[True], [True]], [[False], [True]]])

    assert np.asarray(to_nearest(away, usable)).tolist() == [[1.0, 4.0], [8.0, 4.0]]


def test_a_usable_place_that_is_nowhere_known_leaves_the_distance_not_known() -> None:
    away = distances_to(TRACK, np.array([46.5, np.nan]), np.array([-15.0, -14.7]))

    assert np.isnan(to_nearest(away, np.array([[True], [True]]))).all()
    assert not np.isnan(to_nearest(away, np.array([[True], [False]]))).any()


def test_the_worked_turn_back_point() -> None:
    leaves = datetime(2027, 5, 15, 5, tzinfo=UTC).timestamp()

    turn_at, out = turn_back(leaves, leaves + 5 * HOUR, 7.5 * KNOT, 6.5 * KNOT)

    assert datetime.fromtimestamp(round(float(turn_at)), UTC).strftime("%H:%M:%S") == "07:19:17"
    assert out / NAUTICAL_MILE == pytest.approx(17.4, abs=0.05)


@given(st.floats(0, 40_000), st.floats(0.3, 12), st.floats(0.3, 12))
def test_who_turns_back_then_is_home_as_the_gate_shuts(open_for: float, out: float, back: float) -> None:
    turn_at, distance = turn_back(1e6, 1e6 + open_for, out, back)

    assert turn_at + distance / back == pytest.approx(1e6 + open_for)


@pytest.mark.parametrize(
    ("close_at", "out", "back"),
    [(-1.0, 3.0, 3.0), (10.0, 0.0, 3.0), (10.0, 3.0, -0.1), (np.nan, 3.0, 3.0), (10.0, np.nan, 3.0)],
)
def test_there_is_no_turning_back_that_cannot_be_worked_out(close_at: float, out: float, back: float) -> None:
    assert np.isnan(np.array(turn_back(0.0, close_at, out, back))).all()


def test_a_gate_that_shuts_as_she_leaves_turns_her_at_once() -> None:
    assert turn_back(0.0, 0.0, 3.0, 3.0) == (0.0, 0.0)
