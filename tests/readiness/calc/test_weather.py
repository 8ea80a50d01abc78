"""The sampled forecast: straight lines, nothing beyond what was sampled, and the exact worst of a time."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.calc.weather import (
    Sampled,
    apparent_wind,
    at_place,
    at_time,
    components,
    on_steps,
    speed_and_from,
    worst_between,
)
from tests.published.read import half_a_unit, published
from vessel.units import HOUR, KNOT, Array

AT = np.array([0.0, 3.0, 6.0, 9.0, 12.0]) * HOUR
ALONG = np.array([0.0, 1000.0, 3000.0])
WIND = np.arange(15.0).reshape(5, 3) ** 1.5


def sampled(**values: Array) -> Sampled:
    return Sampled(AT, ALONG, values)


FORECAST = sampled(wind=WIND)


def with_hole(time: int, point: int) -> Array:
    holed = WIND.copy()
    holed[time, point] = np.nan
    return holed


def test_at_a_sampled_time_and_place_the_value_is_the_sampled_one() -> None:
    values = at_place(FORECAST, WIND, ALONG, np.broadcast_to(AT[:, None], (5, 3)))

    assert values == pytest.approx(WIND)


def test_one_place_at_some_times_equals_that_place_among_all() -> None:
    at = np.array([[0.0, 4.5 * HOUR], [12.0 * HOUR, 13.0 * HOUR]])
    grids = np.stack([WIND, with_hole(2, 1)])

    here = at_time(FORECAST, on_steps(FORECAST, grids, np.array([500.0]))[..., 0], at)

    assert here.shape == (2, 2, 2)
    assert np.array_equal(here, at_place(FORECAST, grids, np.array([500.0]), at[..., None])[..., 0], equal_nan=True)


def test_between_the_values_follow_straight_lines_both_ways() -> None:
    value = at_place(FORECAST, WIND, np.array([500.0]), np.array([[4.5 * HOUR]]))

    assert value[0, 0] == pytest.approx(WIND[1:3, :2].mean())


@given(st.lists(st.floats(0, 3000), min_size=3, max_size=3), st.lists(st.floats(0, 12), min_size=3, max_size=3))
def test_values_equal_two_passes_of_plain_interpolation(along: list[float], hours: list[float]) -> None:
    values = at_place(FORECAST, WIND, np.array(along), np.array(hours) * HOUR)

    for step, (place, hour) in enumerate(zip(along, hours, strict=True)):
        rows = [np.interp(place, ALONG, row) for row in WIND]
        assert values[step] == pytest.approx(np.interp(hour * HOUR, AT, rows))


@pytest.mark.parametrize(
    ("along", "hour"), [(-1.1, 6.0), (3001.1, 6.0), (500.0, -0.001), (500.0, 12.001), (500.0, np.nan), (np.nan, 6.0)]
)
def test_nothing_is_known_beyond_what_was_sampled(along: float, hour: float) -> None:
    assert np.isnan(at_place(FORECAST, WIND, np.array([along]), np.array([hour * HOUR])))[0]
    assert np.isnan(worst_between(FORECAST, WIND, np.array([along]), np.array([hour * HOUR]), np.array([hour * HOUR])))[
        0
    ]


@pytest.mark.parametrize(("along", "point"), [(-1.0, 0), (3001.0, 2)])
def test_a_step_a_metre_beyond_the_last_point_is_at_it(along: float, point: int) -> None:
    assert at_place(FORECAST, WIND, np.array([along]), AT[2:3])[0] == WIND[2, point]


@pytest.mark.parametrize(
    ("along", "hour", "missing"),
    [(1000.0, 6.0, True), (999.0, 6.0, True), (1001.0, 6.0, True), (0.0, 6.0, False), (3000.0, 6.0, False),
     (1000.0, 3.0, False), (1000.0, 3.1, True), (1000.0, 9.0, False), (1000.0, 8.9, True)],
)  # fmt: skip
def test_a_missing_value_matters_only_where_it_has_a_share(along: float, hour: float, missing: bool) -> None:
    value = at_place(FORECAST, with_hole(2, 1), np.array([along]), np.array([hour * HOUR]))

    assert np.isnan(value[0]) == missing


def dense(values: Array, along: float, start: float, end: float) -> Array:
    """Values at a great many times of a stretch, with every sampled time in it."""
    times = np.union1d(np.linspace(start, end, 401), AT[(start < AT) & (end > AT)])
    return at_place(FORECAST, values, np.full(times.size, along), times)


@given(st.lists(st.floats(0, 30), min_size=15, max_size=15), st.floats(0, 3000), st.floats(0, 12), st.floats(0, 12))
def test_the_worst_of_a_time_equals_dense_sampling(values: list[float], along: float, one: float, other: float) -> None:
    table, (start, end) = np.array(values).reshape(5, 3), (hour * HOUR for hour in sorted((one, other)))
    stretch = np.array([along]), np.array([[start]]), np.array([[end]])

    greatest = worst_between(FORECAST, table, *stretch)
    least = worst_between(FORECAST, table, *stretch, worst="min")

    assert greatest[0, 0] == pytest.approx(dense(table, along, start, end).max(), abs=1e-9)
    assert least[0, 0] == pytest.approx(dense(table, along, start, end).min(), abs=1e-9)


@pytest.mark.parametrize("rows", [1, 2, 3, 4, 5, 6, 7, 8, 9, 17])
def test_every_stretch_of_rows_has_its_own_worst(rows: int) -> None:
    rng = np.random.default_rng(rows)
    long = Sampled(np.arange(float(rows)), np.array([0.0]), {})
    table = rng.uniform(size=(rows, 1))
    starts, ends = np.nonzero(np.triu(np.ones((rows, rows))))

    worst = worst_between(long, table, np.zeros(1), starts[:, None].astype(float), ends[:, None].astype(float))

    assert worst[:, 0] == pytest.approx([table[a : b + 1].max() for a, b in zip(starts, ends, strict=True)])


@pytest.mark.parametrize(
    ("start", "end", "missing"),
    [(0.0, 3.0, False), (0.0, 3.1, True), (9.0, 12.0, False), (8.9, 12.0, True), (0.0, 12.0, True), (5.0, 7.0, True)],
)
def test_the_worst_is_not_known_where_any_part_of_it_is_not(start: float, end: float, missing: bool) -> None:
    worst = worst_between(
        FORECAST, with_hole(2, 1), np.array([1000.0]), np.array([start * HOUR]), np.array([end * HOUR])
    )

    assert np.isnan(worst[0]) == missing


@pytest.mark.parametrize(("start", "end"), [(6.0, 12.1), (-0.1, 6.0), (np.nan, 6.0), (6.0, np.nan), (7.0, 6.0)])
def test_a_time_the_forecast_does_not_reach_has_no_worst(start: float, end: float) -> None:
    worst = worst_between(FORECAST, WIND, np.array([1000.0]), np.array([start * HOUR]), np.array([end * HOUR]))

    assert np.isnan(worst[0])


def test_members_are_answered_apart_and_alike() -> None:
    members = np.stack([WIND, 2 * WIND, with_hole(2, 1)])
    at = np.array([[1.0, 2.0], [5.0, 7.0], [8.0, 9.5], [4.0, 4.0]]) * HOUR

    values = at_place(FORECAST, members, np.array([200.0, 1700.0]), at)
    worst = worst_between(FORECAST, members, np.array([200.0, 1700.0]), at, at + HOUR)

    assert values.shape == worst.shape == (3, 4, 2)
    for member, table in enumerate(members):
        alone = at_place(FORECAST, table, np.array([200.0, 1700.0]), at)
        assert values[member] == pytest.approx(alone, nan_ok=True)
        alone = worst_between(FORECAST, table, np.array([200.0, 1700.0]), at, at + HOUR)
        assert worst[member] == pytest.approx(alone, nan_ok=True)
    assert values[1] == pytest.approx(2 * values[0])


def test_one_sampled_place_speaks_for_that_place_only() -> None:
    single = Sampled(AT, np.array([0.0]), {})

    values = on_steps(single, WIND[:, :1], np.array([0.0, 500.0]))

    assert values[:, 0] == pytest.approx(WIND[:, 0])
    assert np.isnan(values[:, 1]).all()


def test_winds_from_either_side_of_north_meet_in_the_north() -> None:
    east, north = components(np.array([10.0, 10.0]), np.array([350.0, 10.0]))

    speed, direction = speed_and_from(east.mean(), north.mean())

    assert (direction + 180) % 360 == pytest.approx(180)
    assert speed == pytest.approx(10 * np.cos(np.radians(10)))


@given(st.floats(0.01, 40), st.floats(0, 359.99))
def test_speed_and_direction_survive_the_way_through_components(speed: float, from_deg: float) -> None:
    found = speed_and_from(*components(speed, from_deg))

    assert found[0] == pytest.approx(speed)
    assert np.cos(np.radians(found[1] - from_deg)) == pytest.approx(1.0)


def test_a_calm_has_no_direction_and_a_westerly_goes_east() -> None:
    assert np.isnan(speed_and_from(0.0, 0.0)[1])
    assert components(5.0, 270.0)[0] == pytest.approx(5.0)


@pytest.mark.parametrize("row", published("apparent_wind"), ids=lambda row: row["apparent_kn"])
def test_the_wind_felt_aboard_is_the_published_one(row: dict[str, str]) -> None:
    speed, angle = apparent_wind(float(row["wind_kn"]) * KNOT, float(row["angle_deg"]), float(row["speed_kn"]) * KNOT)

    assert speed / KNOT == pytest.approx(float(row["apparent_kn"]), abs=half_a_unit(row["apparent_kn"]))
    assert angle == pytest.approx(float(row["apparent_deg"]), abs=half_a_unit(row["apparent_deg"]))


def test_the_faster_she_goes_the_further_ahead_the_wind_draws() -> None:
    angles = [float(apparent_wind(8.0, -100.0, speed)[1]) for speed in (0.0, 2.0, 4.0)]

    assert angles[0] == pytest.approx(-100.0)
    assert all(before < after < 0 for before, after in pairwise(angles))
