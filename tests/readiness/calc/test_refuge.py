"""Looks along the way, distances to refuges and the longest spell without one."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.calc.refuge import EVERY_S, at_looks, distances_to, longest_spell, looks_along, to_nearest
from readiness.calc.track import cut, geodesic
from vessel.units import HOUR, MINUTE, NAUTICAL_MILE

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


def test_a_usable_place_that_is_nowhere_known_leaves_the_distance_not_known() -> None:
    away = distances_to(TRACK, np.array([46.5, np.nan]), np.array([-15.0, -14.7]))

    assert np.isnan(to_nearest(away, np.array([[True], [True]]))).all()
    assert not np.isnan(to_nearest(away, np.array([[True], [False]]))).any()


def plain_looks(times: list[float]) -> list[tuple[float, float]]:
    """The plain way: where she is, in nodes and shares of a step, every five minutes until she arrives."""
    looks, at = [], times[0]
    while at <= times[-1]:
        looks.append((at, float(np.interp(at, times, np.arange(len(times))))))
        at += EVERY_S
    return looks


@given(st.lists(st.lists(st.floats(1.0, 4000.0), min_size=4, max_size=4), min_size=1, max_size=5))
def test_looks_are_where_she_is_every_five_minutes(steps: list[list[float]]) -> None:
    times = 1e6 + np.concatenate([np.zeros((len(steps), 1)), np.cumsum(steps, axis=-1)], axis=-1)

    looks = looks_along(times)

    for row, nodes in enumerate(times):
        plain, there = plain_looks(nodes.tolist()), ~np.isnan(looks.at[row])
        assert looks.at[row][there] == pytest.approx([at for at, _ in plain])
        where = (looks.step + looks.part)[row][there]
        assert where == pytest.approx([node for _, node in plain], abs=1e-4)


def test_the_first_look_is_on_leaving_and_one_falls_on_an_arrival_to_the_second() -> None:
    looks = looks_along(np.array([[0.0, 7 * MINUTE, 10 * MINUTE]]))

    assert looks.at.tolist() == [[0.0, 300.0, 600.0]]
    assert (looks.step + looks.part).tolist() == [[0.0, pytest.approx(5 / 7), 2.0]]


def test_a_departure_without_times_has_no_looks_and_leaves_the_others_alone() -> None:
    looks = looks_along(np.array([[0.0, np.nan, np.nan], [0.0, 100.0, 400.0]]))

    assert np.isnan(looks.at).tolist() == [[True, True], [False, False]]


def test_steps_of_no_length_are_stepped_over() -> None:
    looks = looks_along(np.array([[0.0, 0.0, 600.0, 600.0]]))

    assert (looks.step[0] + looks.part[0])[:2].tolist() == [1.0, 1.5]
    assert np.asarray(at_looks(np.array([7.0, 7.0, 9.0, 9.0]), looks)).tolist() == [[7.0, 8.0, 9.0]]


def test_a_distance_between_nodes_is_never_less_than_the_true_one() -> None:
    hours = np.linspace(0.0, 4 * HOUR, TRACK.node_lat_deg.size)
    looks = looks_along(hours[None, :])

    away = np.asarray(at_looks(distances_to(TRACK, np.array([46.5]), np.array([-14.7431])), looks))[0, 0]

    lon = np.interp(looks.at[0], hours, TRACK.node_lon_deg)
    true = np.array([geodesic(46.5, one, 46.5, -14.7431)[0] for one in lon])
    assert (away - true).min() > -1.0
    assert (away - true).max() <= NAUTICAL_MILE / 2


def plain_spell(flags: list[bool]) -> tuple[int, int]:
    best, start, run = (0, 0), 0, 0
    for number, flag in enumerate(flags):
        run = run + 1 if flag else 0
        start = number - run + 1
        best = (run, start) if run > best[0] else best
    return best


@given(st.lists(st.booleans(), min_size=1, max_size=30))
def test_the_longest_spell_equals_a_plain_count(flags: list[bool]) -> None:
    length, first = longest_spell(np.array([flags, [not one for one in flags]]))

    for row, one in enumerate((flags, [not flag for flag in flags])):
        count, start = plain_spell(one)
        assert (float(np.asarray(length)[row]), int(first[row])) == (count * EVERY_S, start)


def test_no_look_at_all_is_no_spell() -> None:
    flags = np.zeros((2, 3), np.bool_)

    length, first = longest_spell(flags)

    assert (np.asarray(length).tolist(), first.tolist()) == ([0.0, 0.0], [0, 0])
