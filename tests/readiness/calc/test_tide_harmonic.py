from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from utide._ut_constants import ut_constants
from utide.harmonics import FUV

from readiness.calc.tide import Harmonics, harmonic_height
from readiness.calc.tide_agency import shares_of
from readiness.calc.tide_constituent import Factors, middle_of_year, phases, terms
from readiness.calc.tide_harmonic import BLOCK, height_rate_curvature
from tests.factories.tide import (
    demo_harmonics,
    epoch,
    even,
    height_at,
    outside_column,
    outside_files,
    outside_harmonics,
    published_harmonics,
    published_rows,
    rate_at,
)
from vessel.units import DAY, FOOT, HOUR, MINUTE, Array

START = epoch("2026-03-01T00:00Z")
STATION = published_harmonics("vlissingen")
FEET = 0.001  # printed to


def published_series(name: str, column: str) -> tuple[Array, Array]:
    rows = published_rows(name)
    return np.array([epoch(row["utc"]) for row in rows]), np.array([float(row[column]) for row in rows])


def test_six_minute_heights_come_out_as_printed_with_factors_of_the_year() -> None:
    at, feet = published_series("tide_heights_san_francisco.csv", "height_ft")

    height = height_at(published_harmonics("san_francisco"), at, "year")

    assert np.abs(height / FOOT - feet).max() < 1.5 * FEET


def test_six_minute_heights_with_factors_of_the_day_stay_near_the_printed_ones() -> None:
    at, feet = published_series("tide_heights_san_francisco.csv", "height_ft")

    height = height_at(published_harmonics("san_francisco"), at, "day")

    assert np.abs(height / FOOT - feet).max() < 0.08


def test_a_tide_of_94_constituents_comes_out_as_printed_with_the_agencys_shares() -> None:
    at, cm = published_series("tide_heights_vlissingen.csv", "height_cm")
    station = replace(STATION, node_share=shares_of("Rijkswaterstaat", STATION.constituents))

    height = height_at(station, at, "year")

    assert np.abs(height * 100 - cm).max() < 1.5
    assert (height * 100 - cm).std() < 0.5


def test_a_tide_of_94_constituents_stays_within_a_hand_with_the_plain_factors() -> None:
    at, cm = published_series("tide_heights_vlissingen.csv", "height_cm")

    height = height_at(replace(STATION, node_share=None), at, "year")

    assert np.abs(height * 100 - cm).max() < 2.5
    assert (height * 100 - cm).std() < 1.1


def test_a_share_of_none_takes_the_swing_out_and_a_share_of_all_leaves_it_in() -> None:
    one = Harmonics(("M2",), np.array([1.0]), np.zeros(1), np.full(1, np.nan), 0.0)
    at = even(START, 3000, 10 * MINUTE)
    factor = np.exp(np.asarray(phases(terms(["M2"], np.array([np.nan])), at)[1]))[:, 0]

    none, half, whole = (height_at(replace(one, node_share=np.array([share])), at) for share in (0.0, 0.5, 1.0))

    np.testing.assert_array_equal(whole, height_at(one, at))
    np.testing.assert_allclose(none * factor, whole, atol=2e-5)
    np.testing.assert_allclose(half, (none + whole) / 2, atol=1e-12)


def test_factors_held_at_a_moment_are_those_of_the_year_whose_middle_it_is() -> None:
    at = even(START, 3000, MINUTE)
    held = float(np.asarray(middle_of_year(START)))

    np.testing.assert_allclose(height_at(STATION, at, held), height_at(STATION, at, "year"), atol=1e-12)
    np.testing.assert_allclose(
        height_at(STATION, at[::7][:31], held), height_at(STATION, at, held)[::7][:31], atol=1e-5
    )


@pytest.mark.parametrize(
    ("table", "factors", "limit_ft"),
    [(table, *mode) for table in outside_files("9*_6min_*.csv") for mode in (("year", 0.0015), ("day", 0.08))],
    ids=lambda value: getattr(value, "name", str(value)),
)
def test_all_six_minute_heights_present_come_out_as_printed(table, factors: Factors, limit_ft: float) -> None:  # type: ignore[no-untyped-def] # noqa: ANN001
    at, feet = outside_column(table, "utc"), outside_column(table, "height_ft")

    apart = np.abs(height_at(outside_harmonics(table), at, factors) / FOOT - feet)

    print(f"{table.name} {factors}: at most {apart.max():.4f} ft")
    assert apart.max() < limit_ft


@pytest.mark.parametrize("factors", ["day", "year"])
def test_one_time_gives_the_same_as_its_place_in_a_grid_and_in_a_heap(factors: Factors) -> None:
    grid = even(START + 17 * MINUTE, 3000, MINUTE)
    heap = np.random.default_rng(1).permutation(grid).reshape(60, 50)

    on_grid = height_at(STATION, grid, factors)
    in_heap = height_at(STATION, heap, factors)
    single: list[object] = [harmonic_height(STATION, float(at), factors) for at in grid[::500]]

    assert in_heap.shape == heap.shape
    assert all(isinstance(height, float) for height in single)
    np.testing.assert_allclose(on_grid[::500], np.array(single, float), atol=5e-5)
    np.testing.assert_allclose(np.sort(in_heap.ravel()), np.sort(on_grid), atol=5e-5)


@pytest.mark.parametrize("minutes", [1, 6, 7, 10, 60, 720])
@pytest.mark.parametrize("start", [0.0, 1.0, 5 * HOUR + 59 * MINUTE])
def test_an_even_grid_agrees_with_single_times_whatever_its_step_and_start(minutes: int, start: float) -> None:
    at = even(START + start, 100, minutes * MINUTE)

    height = height_at(STATION, at)

    np.testing.assert_allclose(height, height_at(STATION, at.reshape(2, 50)).ravel(), atol=5e-5)


def test_the_tide_is_continuous_where_node_factors_change() -> None:
    edges = even(START, 3000, BLOCK)

    before, after = (height_at(STATION, edges + shift) for shift in (-1e-3, 0.0))

    assert np.abs(after - before).max() < 1e-4


def test_height_is_within_a_tenth_of_a_millimetre_of_factors_taken_at_each_moment() -> None:
    at = even(START, 67200, HOUR + 13.0)
    phase, log_factor = phases(terms(STATION.constituents, STATION.speed_deg_per_h), at)
    wave = STATION.amplitude_m * np.exp(log_factor) * np.cos(np.radians(np.asarray(phase) - STATION.phase_utc_deg))

    apart = height_at(STATION, at) - (wave.sum(axis=1) + STATION.mean_level_m)

    assert np.abs(apart).max() < 1e-4


def test_rate_and_curvature_are_the_slopes_of_height_and_rate() -> None:
    at = even(START + HOUR, 200, 2 * HOUR)  # clear of the hours at which node factors change

    height, rate, curvature = height_rate_curvature(STATION, at)
    ahead, behind = height_rate_curvature(STATION, at + 1.0), height_rate_curvature(STATION, at - 1.0)

    np.testing.assert_allclose(rate, (ahead[0] - behind[0]) / 2, atol=1e-8)
    np.testing.assert_allclose(curvature, (ahead[1] - behind[1]) / 2, atol=1e-10)
    np.testing.assert_allclose(rate, rate_at(STATION, at.reshape(2, 100)).ravel(), atol=1e-15)
    np.testing.assert_allclose(
        height + STATION.mean_level_m, height_at(STATION, at.reshape(2, 100)).ravel(), atol=1e-12
    )


def test_rate_on_a_grid_is_the_rate_of_single_times() -> None:
    at = even(START, 500, 6 * MINUTE)

    np.testing.assert_allclose(rate_at(STATION, at), rate_at(STATION, at.reshape(2, 250)).ravel(), atol=1e-8)


@pytest.mark.parametrize("field", ["amplitude_m", "phase_utc_deg"])
def test_one_constant_not_known_makes_the_height_not_known(field: str) -> None:
    values = getattr(STATION, field).copy()
    values[STATION.constituents.index("M2")] = np.nan
    holed = replace(STATION, **{field: values})

    assert np.isnan(harmonic_height(holed, START))
    assert np.isnan(harmonic_height(holed, even(START, 100, MINUTE))).all()


def test_a_level_or_a_time_not_known_makes_the_height_not_known() -> None:
    at = even(START, 100, MINUTE)
    holed = np.where(np.arange(100) == 50, np.nan, at)

    assert np.isnan(harmonic_height(replace(STATION, mean_level_m=np.nan), at)).all()
    assert np.isnan(harmonic_height(STATION, float("nan")))
    assert np.flatnonzero(np.isnan(harmonic_height(STATION, holed))).tolist() == [50]


def test_a_name_in_no_table_without_a_speed_makes_the_height_not_known() -> None:
    station = Harmonics(("M2", "SEICHE"), np.array([1.0, 0.1]), np.zeros(2), np.full(2, np.nan), 0.0)

    assert np.isnan(harmonic_height(station, START))


def test_a_constituent_of_no_amplitude_adds_nothing_whatever_else_is_missing() -> None:
    bare = Harmonics(("M2",), np.array([1.0]), np.zeros(1), np.full(1, np.nan), 0.0)
    padded = Harmonics(("M2", "SEICHE"), np.array([1.0, 0.0]), np.array([0.0, np.nan]), np.full(2, np.nan), 0.0)

    assert harmonic_height(padded, START) == harmonic_height(bare, START)


def test_times_outside_the_years_allowed_are_not_known() -> None:
    edge = epoch("2200-01-01T00:00Z")
    grid = even(edge - 50 * MINUTE, 100, MINUTE)

    height = height_at(STATION, grid)

    assert np.isfinite(height[:50]).all()
    assert np.isnan(height[50:]).all()


def test_no_times_give_no_heights() -> None:
    assert height_at(STATION, np.array([])).shape == (0,)


def test_plain_waves_add_up_to_the_made_up_tide() -> None:
    hours = even(0.0, 999, 1.44)
    by_hand = 2.60 + 1.45 * np.cos(2 * np.pi * hours / 12.4206) + 0.50 * np.cos(2 * np.pi * hours / 12.0)

    height = harmonic_height(demo_harmonics(), epoch("2027-04-22T06:30Z") + hours * HOUR)

    np.testing.assert_allclose(height, by_hand, atol=1e-6)


@given(st.floats(-5e9, 7e9), st.floats(0, 2 * DAY))
def test_no_height_exceeds_the_sum_of_what_its_constituents_can_do(at: float, more: float) -> None:
    largest = 2 * STATION.amplitude_m.sum()

    assert np.abs(height_at(STATION, np.array([at, at + more]))).max() < largest


@pytest.mark.parametrize(
    "name", ["M2", "S2", "N2", "K2", "K1", "O1", "P1", "Q1", "J1", "MU2", "NU2", "M4", "MS4", "MK3"]
)
def test_phase_agrees_with_another_library_that_works_from_other_tables(name: str) -> None:
    """UTide takes nodal corrections from satellite lines, so it agrees to a degree or two and a few per cent."""
    at = epoch("2026-04-08T15:00Z")
    index = list(ut_constants.const.name).index(name)
    days = at / DAY + 719529.0 - 366.0  # its count of days, of which 1 is 1 January of the year 1
    factor, lead, argument = FUV(np.array([days]), days, np.array([index]), 50.0, [False, False, False, False])

    phase, log_factor = phases(terms([name], np.array([np.nan])), np.array([at]))

    apart = (np.asarray(phase)[0, 0] - 360 * float((lead + argument).item()) + 180) % 360 - 180
    assert abs(apart) < 2.0
    if name not in ("Q1", "J1"):  # to these it adds lines that no manual of node factors has
        assert np.exp(np.asarray(log_factor))[0, 0] == pytest.approx(float(factor.item()), abs=0.04)
