"""The sweep: the worked leg to the second, a plain loop as second method, and what is not known."""

import math
from datetime import UTC, datetime
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from readiness.calc.sweep import NO_WAY_MPS, Run, over_ground, sweep
from readiness.calc.tidal_stream import Stream, along_and_across, steady, stream_pieces
from readiness.calc.track import Track, cut, rhumb_forward
from tests.benchmarks.sweep import furthest_apart
from tests.benchmarks.sweep_case import Case
from tests.benchmarks.sweep_loop import lists_of
from vessel.units import HOUR, KNOT, MINUTE, NAUTICAL_MILE, Array

ALWAYS = (0.0, 4e9)
PLAN = {"speed_factor": 1.0, "fair_factor": 1.0, "foul_factor": 1.0, "slip_s": 0.0}
EARLY = {"speed_factor": 1.05, "fair_factor": 1.25, "foul_factor": 0.75, "slip_s": 0.0}
LATE = {"speed_factor": 0.9, "fair_factor": 0.75, "foul_factor": 1.25, "slip_s": 15 * MINUTE}
MORNING, EVENING = "2027-05-15T06:30:00", "2027-05-15T17:15:00"


def epoch(text: str) -> float:
    return datetime.fromisoformat(text).replace(tzinfo=UTC).timestamp()


def made_up_tide(at: float) -> float:
    """Two constituents, good for demonstrations only."""
    hours = (at - epoch("2027-04-22T06:30:00")) / HOUR
    return float(2.60 + 1.45 * np.cos(2 * np.pi * hours / 12.4206) + 0.50 * np.cos(2 * np.pi * hours / 12.0))


def printed_tide() -> tuple[Array, Array]:
    """High waters to the minute and the mean of the ranges either side from heights to the centimetre."""
    grid = np.arange(epoch("2027-05-14T00:00:00"), epoch("2027-05-17T00:00:00"), 15 * MINUTE)

    def rate(at: float) -> float:
        return made_up_tide(at + 1) - made_up_tide(at - 1)

    turns: list[float] = [brentq(rate, a, b) for a, b in pairwise(grid) if rate(a) * rate(b) < 0]
    heights = np.round([made_up_tide(at) for at in turns], 2)
    high = [k for k in range(1, len(turns) - 1) if heights[k] > heights[k - 1]]
    ranges = [heights[k] - (heights[k - 1] + heights[k + 1]) / 2 for k in high]
    return np.round(np.array(turns)[high] / MINUTE) * MINUTE, np.array(ranges)


def narrows(rate_kn: float | None = None) -> Stream:
    """West from 5 h before high water, east from half an hour before; by the range, or one rate throughout."""
    neaps, springs = (1.5, 4.0) if rate_kn is None else (rate_kn, rate_kn)
    return stream_pieces(
        *printed_tide(), np.array([-5.0, -0.5]) * HOUR, np.array([270.0, 90.0]),
        np.full(2, neaps * KNOT), np.full(2, springs * KNOT), 2.1, 3.8, rates_held_beyond=True,
    )  # fmt: skip


def drawn(lat: list[float], lon: list[float], step_m: float) -> Track:
    """A track of rhumb lines."""
    return cut(np.array(lat), np.array(lon), np.zeros(len(lat) - 1, bool), step_m)


def worked_leg(step_m: float) -> Track:
    """48 miles due east in five parts."""
    lon = [-15.0]
    for miles in (14, 9, 6, 11, 8):
        lon.append(float(rhumb_forward(46.5, lon[-1], 90.0, miles * NAUTICAL_MILE)[1]))
    return drawn([46.5] * 6, lon, step_m)


def worked_run(figures: dict[str, float], departure: str, step_m: float, stream: Stream) -> str:
    """The arrival as a clock time, seconds rounded."""
    track = worked_leg(step_m)
    others = [steady(set_, rate * KNOT, *ALWAYS) for set_, rate in ((90, 0.6), (270, 0.4), (90, 0.5), (90, 0.2))]
    streams = [*others[:2], stream, *others[2:]]
    run = sweep(track, np.array([epoch(departure)]), 7 * KNOT, streams, track.segment, **figures)
    return clock(run.arrives_at[0])


def clock(at: float) -> str:
    return datetime.fromtimestamp(round(at), UTC).strftime("%H:%M:%S")


@pytest.mark.parametrize("step_m", [1e6, NAUTICAL_MILE, 333.0])
@pytest.mark.parametrize(
    ("figures", "arrival"), [(PLAN, "13:22:28"), (EARLY, "12:54:03"), (LATE, "14:37:12")], ids=["plan", "early", "late"]
)
def test_the_worked_morning_arrives_to_the_second(figures: dict[str, float], arrival: str, step_m: float) -> None:
    assert worked_run(figures, MORNING, step_m, narrows()) == arrival


@pytest.mark.parametrize("step_m", [1e6, NAUTICAL_MILE, 333.0])
@pytest.mark.parametrize(
    ("figures", "arrival"), [(PLAN, "23:43:20"), (EARLY, "23:19:09"), (LATE, "01:10:31")], ids=["plan", "early", "late"]
)
def test_the_worked_evening_arrives_to_the_second(figures: dict[str, float], arrival: str, step_m: float) -> None:
    # the printed times drop the part of a second that the rate printed beside them, 1.71 kn, gives: up to a second
    printed, worked = (
        datetime.strptime(text, "%H:%M:%S").replace(tzinfo=UTC)
        for text in (arrival, worked_run(figures, EVENING, step_m, narrows(1.71)))
    )

    assert 0 <= (worked - printed).total_seconds() <= 1


def test_the_worked_evening_by_the_range_of_the_day_is_three_seconds_off_at_most() -> None:
    assert narrows().at(epoch("2027-05-15T20:27:00"))[0] / KNOT == pytest.approx(1.71, abs=0.005)
    assert worked_run(PLAN, EVENING, NAUTICAL_MILE, narrows()) == "23:43:20"
    assert worked_run(EARLY, EVENING, NAUTICAL_MILE, narrows()) == "23:19:09"
    assert worked_run(LATE, EVENING, NAUTICAL_MILE, narrows()) == "01:10:34"


def test_the_step_in_which_the_stream_turns_keeps_the_slowest_speed() -> None:
    track = worked_leg(1e6)
    stream = narrows(1.71)
    in_narrows = np.where(track.segment == 2, 0, -1)

    run = sweep(track, np.array([epoch("2027-05-15T17:45:00")]), 7 * KNOT, [stream], in_narrows, **PLAN)

    entered, left = run.node_at[0, 2], run.node_at[0, 3]
    assert entered < epoch("2027-05-15T21:28:00") < left
    assert run.stream_east_mps[0, 2] == pytest.approx(1.71 * KNOT)
    assert run.sog_mps[0, 2] == pytest.approx((7 - 1.71) * KNOT)


def straight(miles: float, course: float, step_m: float) -> Track:
    lat, lon = rhumb_forward(46.5, -15.0, course, miles * NAUTICAL_MILE)
    return drawn([46.5, float(lat)], [-15.0, float(lon)], step_m)


def loop(track: Track, leaves: float, speed: float, stream: Stream, factors: tuple[float, float]) -> list[float]:
    """The plain way: one departure, from change to change; times at the nodes."""
    changes = [*stream.changes_at, stream.ends_at, np.inf]
    at, times = leaves, [leaves]
    for length, course in zip(track.step_m, track.step_course_deg, strict=True):
        rest = float(length)
        while rest > 0:
            along, across = (float(part) for part in along_and_across(*stream.at(at), course))
            along *= factors[0] if along > 0 else factors[1]
            made = along + math.sqrt(speed**2 - across**2) if abs(across) <= speed else 0.0
            if not made >= NO_WAY_MPS:
                at = math.nan
                break
            change = min(change for change in changes if change > at)
            arrives = at + rest / made
            at, rest = (arrives, 0.0) if arrives <= change else (change, rest - made * (change - at))
        times.append(at)
    return times


@given(
    st.lists(st.tuples(st.floats(60, 20_000), st.floats(-2, 2), st.floats(-2, 2)), min_size=1, max_size=8),
    st.floats(0, 359),
    st.sampled_from([1e6, 3000.0, 900.0]),
    st.sampled_from([PLAN, EARLY, LATE]),
)
def test_the_sweep_equals_a_plain_loop_per_departure(
    pieces: list[tuple[float, float, float]], course: float, step_m: float, figures: dict[str, float]
) -> None:
    lasts, east, north = (np.array(column) for column in zip(*pieces, strict=True))
    starts = 1e6 + np.concatenate([[0.0], np.cumsum(lasts)])
    stream = Stream(starts[:-1], east, north, float(starts[-1]))
    track = straight(6.0, course, step_m)
    departures = np.array([1e6, 1e6 + 777.0, 1e6 + 5000.0, 1e6 - 1.0])

    run = sweep(track, departures, 3.0, [stream], np.zeros(track.step_m.size, int), **figures)

    speed, factors = 3.0 * figures["speed_factor"], (figures["fair_factor"], figures["foul_factor"])
    for departure, times in zip(departures, run.node_at, strict=True):
        plain = loop(track, departure + figures["slip_s"], speed, stream, factors)
        assert times == pytest.approx(plain, abs=1e-3, nan_ok=True)


def test_over_the_ground_counts_each_piece_by_its_factor_and_none_that_sets_her_off_the_track() -> None:
    stream = Stream(np.array([0.0, 1.0, 2.0]), np.array([3.0, -3.0, 0.0]), np.array([0.0, 0.0, 6.0]), 3.0)

    made, across = over_ground(stream, 90.0, 5.0, 0.5, 2.0)

    assert made == pytest.approx([5.0 + 1.5, 5.0 - 6.0, 0.0])
    assert np.abs(across) == pytest.approx([0.0, 0.0, 6.0])


def test_one_departure_equals_the_element_of_many_in_any_shape() -> None:
    track, stream = worked_leg(NAUTICAL_MILE), narrows()
    departures = epoch(MORNING) + HOUR * np.arange(6.0).reshape(2, 3)
    index = np.where(track.segment == 2, 0, -1)

    together = sweep(track, departures, 7 * KNOT, [stream], index, **LATE)
    alone = sweep(track, departures[1, 2], 7 * KNOT, [stream], index, **LATE)

    assert together.node_at.shape == (2, 3, track.step_m.size + 1)
    assert (alone.node_at == together.node_at[1, 2]).all()
    assert (alone.sog_mps == together.sog_mps[1, 2]).all()


@pytest.mark.parametrize("speed", [7 * KNOT, np.linspace(5, 8, 48) * KNOT])
def test_in_still_water_time_is_distance_by_speed(speed: float | Array) -> None:
    track = worked_leg(NAUTICAL_MILE * 1.0001)

    run = sweep(track, np.array([0.0]), speed, [], np.full(48, -1), **PLAN)

    assert run.node_at[0] == pytest.approx(np.concatenate([[0.0], np.cumsum(track.step_m / speed)]))
    assert run.stream_east_mps[0] == pytest.approx(0.0)


@pytest.mark.parametrize(("rate_kn", "arrives"), [(6.49, True), (6.5, True), (6.51, False)])
def test_below_half_a_knot_over_the_ground_there_is_no_time(rate_kn: float, arrives: bool) -> None:
    track = straight(2.0, 0.0, NAUTICAL_MILE)
    stream = steady(180.0, rate_kn * KNOT - 1e-9, *ALWAYS)

    run = sweep(track, np.array([0.0]), 7 * KNOT, [stream], np.zeros(2, int), **PLAN)

    assert np.isfinite(run.arrives_at[0]) == arrives
    assert run.stopped[0] == (not arrives)
    assert run.sog_mps[0, 0] == pytest.approx((7 - rate_kn) * KNOT)


def test_a_stream_across_that_she_cannot_stem_stops_her() -> None:
    track = straight(2.0, 0.0, NAUTICAL_MILE)

    run = sweep(track, np.array([0.0]), 7 * KNOT, [steady(90.0, 7.1 * KNOT, *ALWAYS)], np.zeros(2, int), **PLAN)

    assert run.sog_mps[0, 0] == 0.0
    assert run.stopped[0]
    assert np.isnan(run.arrives_at[0])


@pytest.mark.parametrize("stream", [None, steady(0.0, 1.0, 0.0, 500.0), steady(0.0, np.nan, *ALWAYS)])
def test_a_stream_that_is_not_known_leaves_the_times_not_known(stream: Stream | None) -> None:
    track = straight(2.0, 0.0, NAUTICAL_MILE)

    run = sweep(track, np.array([100.0]), 3.0, [stream], np.zeros(2, int), **PLAN)

    assert np.isnan(run.node_at[0, 1:]).all()
    assert np.isnan(run.sog_mps[0]).all()
    assert not run.stopped[0]


def test_a_departure_or_a_speed_that_is_not_known_gives_no_times() -> None:
    track = straight(2.0, 0.0, NAUTICAL_MILE)

    by_time = sweep(track, np.array([np.nan, 0.0]), 3.0, [], np.full(2, -1), **PLAN)
    by_speed = sweep(track, np.array([0.0]), np.nan, [], np.full(2, -1), **PLAN)

    assert np.isnan(by_time.arrives_at[0])
    assert np.isfinite(by_time.arrives_at[1])
    assert np.isnan(by_speed.arrives_at[0])
    assert not by_speed.stopped[0]


def test_a_step_of_no_length_takes_no_time_even_where_nothing_is_known() -> None:
    track = drawn([46.5, 46.5, 46.6], [-15.0, -15.0, -15.0], NAUTICAL_MILE)

    run = sweep(track, np.array([0.0]), 3.0, [None], np.where(track.segment == 0, 0, -1), **PLAN)

    assert run.node_at[0, 1] == 0.0
    assert np.isfinite(run.arrives_at[0])


def test_entering_exactly_at_a_change_meets_the_new_stream() -> None:
    track = straight(1.0, 0.0, 1e6)
    stream = Stream(np.array([0.0, 1000.0]), np.zeros(2), np.array([1.0, -1.0]), 1e6)

    run: Run = sweep(track, np.array([1000.0]), 3.0, [stream], np.zeros(1, int), **PLAN)

    assert run.stream_north_mps[0, 0] == -1.0
    assert run.sog_mps[0, 0] == pytest.approx(2.0)


def test_ten_days_of_departures_with_weather_sea_depth_and_light_equal_a_plain_loop() -> None:
    case = Case()

    assert furthest_apart(case, lists_of(case)) < 1e-3
