"""The stream in pieces and the course to steer in it."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.calc.tidal_stream import (
    MEAN_TIDE_S,
    Stream,
    along_and_across,
    components,
    course_to_steer,
    steady,
    stream_most_against,
    stream_pieces,
    turns,
)
from tests.published.read import half_a_unit, published
from vessel.units import HOUR, KNOT

TIDES = np.array([100.0, 112.4, 124.8]) * HOUR


def narrows(high_water_at: object = TIDES, mean_range_m: object = (2.1, 3.8, 2.95)) -> Stream:
    """West from 5 h before high water, east from half an hour before; 1.5 kn at neaps, 4 kn at springs."""
    return stream_pieces(
        np.asarray(high_water_at, float),
        np.asarray(mean_range_m, float),
        np.array([-5.0, -0.5]) * HOUR,
        np.array([270.0, 90.0]),
        np.full(2, 1.5 * KNOT),
        np.full(2, 4.0 * KNOT),
        2.1,
        3.8,
    )


@pytest.mark.parametrize("row", published("course_to_steer"), ids=lambda row: row["steer_deg"])
def test_course_to_steer_is_the_published_one(row: dict[str, str]) -> None:
    track, speed, set_, rate = (float(row[name]) for name in ("track_deg", "speed_kn", "set_deg", "rate_kn"))

    steer, over_ground = course_to_steer(track, speed * KNOT, set_, rate * KNOT)

    assert steer == pytest.approx(float(row["steer_deg"]), abs=half_a_unit(row["steer_deg"]))
    assert over_ground / KNOT == pytest.approx(float(row["sog_kn"]), abs=half_a_unit(row["sog_kn"]))


@pytest.mark.parametrize("row", published("stream_and_heading"), ids=lambda row: row["sog_kn"])
def test_course_and_speed_made_good_are_the_published_ones(row: dict[str, str]) -> None:
    through = components(float(row["heading_deg"]), float(row["speed_kn"]))
    stream = components(float(row["set_deg"]), float(row["rate_kn"]))

    east, north = through[0] + stream[0], through[1] + stream[1]

    assert np.hypot(east, north) == pytest.approx(float(row["sog_kn"]), abs=half_a_unit(row["sog_kn"]))
    made_good = np.degrees(np.arctan2(east, north))
    assert made_good == pytest.approx(float(row["made_good_deg"]), abs=half_a_unit(row["made_good_deg"]))


@given(st.floats(0, 359), st.floats(2, 12), st.floats(0, 359), st.floats(0, 8))
def test_steering_the_course_makes_good_the_track(track: float, speed: float, set_: float, rate: float) -> None:
    steer, over_ground = course_to_steer(track, speed, set_, rate)

    if np.isnan(steer):
        along, across = along_and_across(*components(set_, rate), track)
        assert abs(across) > speed * (1 - 1e-9) or along + np.sqrt(speed**2 - across**2) <= 1e-9
        return
    water, stream = components(steer, speed), components(set_, rate)
    made_good = components(track, over_ground)
    assert water[0] + stream[0] == pytest.approx(made_good[0], abs=1e-9)
    assert water[1] + stream[1] == pytest.approx(made_good[1], abs=1e-9)


@pytest.mark.parametrize(("set_deg", "rate_mps"), [(90.0, 3.1), (180.0, 3.0), (180.0, 4.0)])
def test_there_is_no_course_to_steer_where_the_stream_is_too_strong(set_deg: float, rate_mps: float) -> None:
    steer, over_ground = course_to_steer(0.0, 3.0, set_deg, rate_mps)

    assert np.isnan(steer)
    assert np.isnan(over_ground)


@pytest.mark.parametrize("row", published("stream_rate"), ids=lambda row: row["rate_kn"])
def test_the_rate_between_neaps_and_springs_is_the_published_one(row: dict[str, str]) -> None:
    neaps, springs = float(row["neaps_rate_kn"]), float(row["springs_rate_kn"])

    stream = stream_pieces(
        TIDES[:1], np.array([float(row["range_m"])]), np.zeros(1), np.zeros(1), np.array([neaps]), np.array([springs]),
        float(row["neaps_range_m"]), float(row["springs_range_m"]),
    )  # fmt: skip

    assert stream.north_mps[0] == pytest.approx(float(row["rate_kn"]), abs=half_a_unit(row["rate_kn"]))


def test_a_fair_stream_is_along_and_one_to_starboard_across() -> None:
    assert np.array(along_and_across(*components(40.0, 2.0), 40.0)) == pytest.approx([2.0, 0.0])
    assert np.array(along_and_across(*components(130.0, 2.0), 40.0)) == pytest.approx([0.0, 2.0])


def test_each_row_runs_until_the_next_from_the_nearest_high_water() -> None:
    stream = narrows()

    hours = np.array([94.9, 95.0, 99.49, 99.5, 106.19, 106.2, 107.39, 107.4, 111.89, 111.9])
    rates = stream.at(hours * HOUR)[0] / KNOT
    expected = [np.nan, -1.5, -1.5, 1.5, 1.5, 4.0, 4.0, -4.0, -4.0, 4.0]
    assert rates == pytest.approx(expected, nan_ok=True)


def test_the_stream_is_known_until_half_a_tide_after_the_last_high_water() -> None:
    stream = narrows()

    assert stream.ends_at == pytest.approx((124.8 + 6.2) * HOUR)
    assert np.isnan(stream.at(stream.ends_at)[0])
    assert stream.at(stream.ends_at - 1)[0] == pytest.approx(2.75 * KNOT)


def test_one_high_water_alone_rules_half_a_mean_tide_either_side() -> None:
    stream = narrows(TIDES[:1], (3.8,))

    assert stream.ends_at == pytest.approx(TIDES[0] + MEAN_TIDE_S / 2)


@pytest.mark.parametrize(("held", "expected"), [(False, (1.0, 4.5)), (True, (1.5, 4.0))])
def test_beyond_neaps_and_springs_the_rate_goes_on_or_is_held(held: bool, expected: tuple[float, float]) -> None:
    stream = stream_pieces(
        TIDES[:2], np.array([2.1 - 0.34, 3.8 + 0.34]), np.zeros(1), np.zeros(1), np.array([1.5]), np.array([4.0]),
        2.1, 3.8, rates_held_beyond=held,
    )  # fmt: skip

    assert stream.north_mps == pytest.approx([expected[0], expected[1], expected[1]])


def test_a_rate_is_never_below_nothing() -> None:
    stream = narrows(mean_range_m=(0.1, 0.1, 0.1))

    assert stream.east_mps == pytest.approx(0.0)


def test_a_range_that_is_not_known_leaves_the_rate_not_known() -> None:
    stream = narrows(mean_range_m=(2.1, np.nan, 2.1))

    assert np.isnan(stream.at(110.0 * HOUR)[0])
    assert stream.at(98.0 * HOUR)[0] == pytest.approx(-1.5 * KNOT)


def test_a_table_none_of_whose_rows_is_ever_reached_is_refused() -> None:
    with pytest.raises(ValueError, match="half a tide"):
        stream_pieces(TIDES[:1], np.array([3.0]), np.array([9.0 * HOUR]), np.zeros(1), np.ones(1), np.ones(1), 2.0, 4.0)


@given(st.lists(st.floats(-6.2, 6.1), min_size=1, max_size=14, unique=True), st.floats(94.5, 130.9))
def test_the_row_in_force_is_the_last_one_reached(offsets: list[float], hour: float) -> None:
    rows = np.sort(offsets) * HOUR
    ranges = np.array([1.0, 2.0, 3.0])

    stream = stream_pieces(
        TIDES, ranges, rows, np.zeros(rows.size), np.zeros(rows.size), np.arange(1.0, rows.size + 1), 0.0, 1.0
    )

    tide = int(np.argmin(np.abs(TIDES - hour * HOUR)))
    reached = np.flatnonzero(TIDES[tide] + rows <= hour * HOUR)
    first_start = stream.changes_at[0]
    row = reached[-1] if reached.size else rows.size - 1
    expected = ranges[tide] * (row + 1) if hour * HOUR >= first_start else np.nan
    halfway = np.abs(np.diff(np.sort(np.abs(TIDES - hour * HOUR)))[:1]) < 1e-3
    assert halfway.any() or stream.at(hour * HOUR)[1] == pytest.approx(expected, nan_ok=True)


def test_a_steady_stream_is_known_from_its_start_until_its_end() -> None:
    stream = steady(90.0, 2.0, 1000.0, 2000.0)

    assert stream.at(np.array([999.9, 1000.0, 1999.9, 2000.0, np.nan]))[0] == pytest.approx(
        [np.nan, 2.0, 2.0, np.nan, np.nan], nan_ok=True
    )


@given(
    st.lists(st.tuples(st.floats(-2, 2), st.floats(-2, 2)), min_size=3, max_size=6),
    st.floats(0, 359),
    st.floats(0, 290),
    st.floats(0, 290),
)
def test_the_stream_most_against_the_waves_is_the_worst_of_every_moment(
    rates: list[tuple[float, float]], wave_from: float, one: float, other: float
) -> None:
    east, north = (np.array(column) for column in zip(*rates, strict=True))
    stream = Stream(np.arange(0.0, 100.0 * len(rates), 100.0), east, north, 100.0 * len(rates))
    start, end = sorted((one, other))

    met = stream_most_against([stream], np.array([0]), np.array([[wave_from]]), np.array([[start]]), np.array([[end]]))

    moments = np.union1d(np.linspace(start, end, 50), [at for at in stream.changes_at if start <= at <= end])
    toward, _ = along_and_across(*stream.at(moments), wave_from)
    assert along_and_across(met[0][0, 0], met[1][0, 0], wave_from)[0] == pytest.approx(toward.max())


def test_a_stream_that_turns_foul_for_a_while_between_is_found() -> None:
    stream = Stream(np.array([0.0, 100.0, 200.0]), np.array([1.0, -2.0, 1.0]), np.zeros(3), 300.0)

    east, north = stream_most_against(
        [stream], np.array([0, -1]), np.full(2, 270.0), np.full(2, 50.0), np.full(2, 250.0)
    )

    assert east.tolist() == [-2.0, 0.0]
    assert north.tolist() == [0.0, 0.0]


@pytest.mark.parametrize(
    ("stream", "wave_from", "start", "end"),
    [
        (None, 270.0, 50.0, 60.0),
        (steady(90.0, 1.0, 0.0, 100.0), 270.0, -1.0, 60.0),
        (steady(90.0, 1.0, 0.0, 100.0), 270.0, 50.0, 100.0),
        (steady(90.0, 1.0, 0.0, 100.0), np.nan, 50.0, 60.0),
        (steady(90.0, 1.0, 0.0, 100.0), 270.0, 60.0, 50.0),
        (steady(90.0, 1.0, 0.0, 100.0), 270.0, np.nan, 50.0),
        (Stream(np.array([0.0, 50.0]), np.array([1.0, np.nan]), np.zeros(2), 100.0), 270.0, 40.0, 60.0),
        (Stream(np.array([0.0, 50.0]), np.array([np.nan, 1.0]), np.zeros(2), 100.0), 270.0, 40.0, 60.0),
    ],
)
def test_a_stream_not_known_for_a_part_of_the_time_has_no_worst(
    stream: Stream | None, wave_from: float, start: float, end: float
) -> None:
    met = stream_most_against([stream], np.array([0]), np.array([wave_from]), np.array([start]), np.array([end]))

    assert np.isnan(met).all()


@pytest.mark.parametrize("hour", range(7))
def test_a_table_by_the_fifty_ninety_rule_gives_back_its_shares_hour_by_hour(hour: int) -> None:
    shares = [float(row["share_of_maximum"]) for row in published("stream_rate_by_hour")]
    offsets = (np.arange(7.0) - 6.0) * HOUR

    stream = stream_pieces(
        TIDES[:1], np.array([4.0]), offsets, np.zeros(7), np.array(shares) * 2.0, np.array(shares) * 4.0, 2.0, 4.0
    )

    assert stream.at(TIDES[0] + (hour - 6) * HOUR + 1.0)[1] == pytest.approx(4.0 * shares[hour])
    sine = np.sin(np.pi * hour / 6)
    assert shares[hour] == pytest.approx(sine, abs=0.035)  # the rule is a sine to within 3.4 %


def test_the_rule_of_thirds_and_the_fifty_ninety_rule_carry_her_nearly_as_far() -> None:
    rows = published("stream_rate_by_hour")
    at_hours = np.array([float(row["share_of_maximum"]) for row in rows])
    within = np.array([float(row["share_within_hour"]) for row in rows[1:]])

    thirds = stream_pieces(
        TIDES[:1],
        np.array([4.0]),
        (np.arange(6.0) - 6.0) * HOUR,
        np.full(6, 90.0),
        within * 2.0,
        within * 4.0,
        2.0,
        4.0,
    )

    seconds = TIDES[0] - 6 * HOUR + np.arange(0.5, 6 * 3600.0)
    drift_m = np.asarray(thirds.at(seconds)[0]).sum()
    by_trapezes = (at_hours[:-1] + at_hours[1:]).sum() / 2 * 4.0 * HOUR
    assert drift_m == pytest.approx(4.0 * 4.0 * HOUR, rel=1e-3)  # four hours at the greatest rate
    assert by_trapezes == pytest.approx(drift_m, rel=0.06)
    assert 4.0 * HOUR * 12 / np.pi == pytest.approx(drift_m, rel=0.06)  # a sine


@pytest.mark.parametrize(
    ("east", "north", "expected"),
    [
        ([1.0, -1.0, 1.0], [0.0, 0.0, 0.0], [10.0, 20.0]),  # turned round at once
        ([1.0, 0.0, -1.0], [0.0, 0.0, 0.0], [15.0]),  # halfway of the slack between
        ([1.0, 0.0, 1.0], [0.0, 0.0, 0.0], []),  # slack, and on as before
        ([1.0, 0.0, -1.0], [0.0, 1.0, 0.0], []),  # round by quarters: never more than 90 degrees at once
        ([1.0, -0.01, 0.5], [0.0, 1.0, 0.0], [10.0, 20.0]),  # just more than 90 degrees
        ([1.0, np.nan, -1.0], [0.0, np.nan, 0.0], []),  # what is not known between tells of no turn
        ([0.0, 0.0, 0.0], [0.0, 0.0, 0.0], []),
    ],
)
def test_the_stream_turns_where_it_runs_the_other_way(
    east: list[float], north: list[float], expected: list[float]
) -> None:
    stream = Stream(np.array([0.0, 10.0, 20.0]), np.array(east), np.array(north), 30.0)

    assert turns(stream).tolist() == expected  # type: ignore[union-attr]


def test_a_stream_of_a_table_turns_at_the_rows_where_its_set_changes() -> None:
    high = np.array([0.0, MEAN_TIDE_S, 2 * MEAN_TIDE_S])
    offsets, sets = np.array([-6.0, -3.0, 0.0, 3.0]) * HOUR, np.array([90.0, 90.0, 270.0, 270.0])
    stream = stream_pieces(high, np.full(3, 3.0), offsets, sets, np.full(4, 0.5), np.full(4, 1.5), 2.0, 4.0)

    told = np.asarray(turns(stream))

    assert np.isin(high, told).all()
    assert ((np.diff(told) > 5 * HOUR) & (np.diff(told) < 7 * HOUR)).all()
