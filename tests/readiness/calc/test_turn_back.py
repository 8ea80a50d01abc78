"""The last moment to turn back: the worked example, the gate met to the second, streams that turn."""

from datetime import UTC, datetime

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.calc.sweep import sweep
from readiness.calc.tidal_stream import Stream, steady
from readiness.calc.track import Track, cut, rhumb_forward
from readiness.calc.turn_back import home_by, turn_back, turn_back_on_track
from vessel.units import HOUR, KNOT, NAUTICAL_MILE, Array

PLAN = {"speed_factor": 1.0, "fair_factor": 1.0, "foul_factor": 1.0, "slip_s": 0.0}
LEAVES = datetime(2027, 5, 15, 5, tzinfo=UTC).timestamp()
ALWAYS = (-4e9, 4e9)


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


def east(miles: float, step_m: float = NAUTICAL_MILE) -> Track:
    lat, lon = rhumb_forward(46.5, -15.0, 90.0, miles * NAUTICAL_MILE)
    return cut(np.array([46.5, float(lat)]), np.array([-15.0, float(lon)]), np.array([False]), step_m)


def turned(track: Track, leaves: Array, close_at: Array, stream: Stream | None) -> tuple[Array, Array]:
    index = np.zeros(track.step_m.size, np.int64)
    out = sweep(track, leaves, 7 * KNOT, [stream], index, **PLAN)
    back = home_by(track, close_at, 7 * KNOT, [stream], index)
    at, mile = turn_back_on_track(out.node_at, back, track.node_along_m)
    return np.asarray(at), np.asarray(mile)


@pytest.mark.parametrize("step_m", [1e6, NAUTICAL_MILE, 700.0])
def test_on_a_track_with_a_steady_stream_it_is_the_worked_example_again(step_m: float) -> None:
    stream = steady(90.0, 0.5 * KNOT, *ALWAYS)

    at, mile = turned(east(48.0, step_m), np.array([LEAVES]), np.array([LEAVES + 5 * HOUR]), stream)

    assert datetime.fromtimestamp(round(float(at[0])), UTC).strftime("%H:%M:%S") == "07:19:17"
    assert mile[0] / NAUTICAL_MILE == pytest.approx(17.4, abs=0.05)


@given(st.floats(-2.0, 2.0), st.floats(-2.0, 2.0), st.floats(0.2, 9.0), st.floats(1.0, 9.0))
def test_swept_home_from_there_through_a_stream_that_turns_she_arrives_as_it_shuts(
    first: float, then: float, turns_after_h: float, open_for_h: float
) -> None:
    track, turns = east(40.0, 500.0), turns_after_h * HOUR
    stream = Stream(np.array([-1e6, turns]), np.array([first, then]) * KNOT, np.zeros(2), 1e7)

    at, mile = turned(track, np.array([0.0]), np.array([open_for_h * HOUR]), stream)

    if np.isinf(at[0]):
        assert mile[0] == track.node_along_m[-1]
        return
    lon = np.interp(mile[0], track.node_along_m, track.node_lon_deg)
    home = cut(np.array([46.5, 46.5]), np.array([float(lon), -15.0]), np.array([False]), 1e6)
    run = sweep(home, at, 7 * KNOT, [stream], np.zeros(1, np.int64), **PLAN)
    assert run.arrives_at[0] == pytest.approx(open_for_h * HOUR, abs=60.0)  # straight lines inside a step of 500 m


def test_a_fair_stream_out_that_stays_gives_less_time_than_none() -> None:
    leaves, close_at = np.array([0.0]), np.array([5 * HOUR])

    slack, fair = (turned(east(48.0), leaves, close_at, steady(90.0, rate, *ALWAYS)) for rate in (0.0, KNOT))

    assert fair[0] < slack[0]


def test_who_can_turn_back_all_the_way_has_no_last_moment() -> None:
    at, mile = turned(east(10.0), np.array([0.0]), np.array([9 * HOUR]), steady(90.0, 0.0, *ALWAYS))

    assert np.isinf(at[0])
    assert mile[0] == pytest.approx(10 * NAUTICAL_MILE)


def test_home_shut_on_leaving_turns_her_at_once() -> None:
    at, mile = turned(east(10.0), np.array([0.0, 0.0]), np.array([0.0, -5.0]), steady(90.0, 0.0, *ALWAYS))

    assert at.tolist() == [0.0, 0.0]
    assert mile.tolist() == [0.0, 0.0]


def test_where_she_cannot_stem_the_stream_home_she_turns_before_it_begins() -> None:
    stream = Stream(np.array([-1e6, HOUR]), np.array([0.0, 6.8]) * KNOT, np.zeros(2), 1e7)

    at, mile = turned(east(48.0), np.array([0.0]), np.array([1.5 * HOUR]), stream)

    assert at[0] < HOUR
    assert mile[0] < 4 * NAUTICAL_MILE


@pytest.mark.parametrize("stream", [None, steady(90.0, np.nan, *ALWAYS)])
def test_a_stream_that_is_not_known_leaves_it_not_known(stream: Stream | None) -> None:
    at, mile = turned(east(10.0), np.array([0.0]), np.array([HOUR]), stream)

    assert np.isnan([at[0], mile[0]]).all()


def test_a_shutting_that_is_not_known_leaves_it_not_known_for_that_departure_only() -> None:
    at, _ = turned(east(10.0), np.array([0.0, 0.0]), np.array([np.nan, HOUR]), steady(90.0, 0.0, *ALWAYS))

    assert np.isnan(at).tolist() == [True, False]
