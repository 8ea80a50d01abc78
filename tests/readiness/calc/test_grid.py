"""Values taken from a grid or from places: exact where they must be, missing where they lean on nothing."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import RegularGridInterpolator

from readiness.calc.grid import bilinear, nearest
from vessel.units import NAUTICAL_MILE

LAT = np.array([50.0, 50.5, 51.0])
LON = np.array([-5.0, -4.5, -4.0, -3.5])
PLANE = LAT[:, None] * 10 + LON


def at(lat: float, lon: float, values: object = PLANE, axis: object = LON) -> float:
    return float(np.asarray(bilinear(np.asarray(values, float), LAT, np.asarray(axis), [lat], [lon]))[0])  # type: ignore[arg-type]


@given(st.floats(50, 51), st.floats(-5, -3.5))
def test_a_plane_is_taken_exactly_and_as_scipy_takes_it(lat: float, lon: float) -> None:
    uneven = np.sin(PLANE)

    assert at(lat, lon) == pytest.approx(10 * lat + lon, abs=1e-5)
    other = RegularGridInterpolator((LAT, LON), uneven)([[lat, lon]])[0]
    assert at(lat, lon, uneven) == pytest.approx(other, abs=1e-5)


@pytest.mark.parametrize(
    ("lat", "lon", "known"),
    [
        (50, -5, True),
        (51, -3.5, True),
        (49.9999, -5, False),
        (51.0001, -4, False),
        (50, -5.0001, False),
        (50, -3.4, False),
    ],
)
def test_the_edge_is_inside_and_beyond_it_nothing_is_known(lat: float, lon: float, known: bool) -> None:
    assert np.isnan(at(lat, lon)) != known


def test_a_missing_corner_spoils_only_the_points_that_lean_on_it() -> None:
    holed = PLANE.copy()
    holed[1, 1] = np.nan

    assert np.isnan(at(50.25, -4.75, holed))
    assert np.isnan(at(50.5, -4.75, holed))
    assert np.isnan(at(50.5, -4.5, holed))
    assert at(50.0, -4.75, holed) == pytest.approx(495.25)
    assert at(51.0, -4.5, holed) == pytest.approx(505.5)


def test_longitudes_may_be_counted_from_0_or_from_minus_180() -> None:
    east_of_greenwich = LON + 360

    assert at(50.2, -4.1, axis=east_of_greenwich) == pytest.approx(at(50.2, -4.1))
    assert at(50.2, 355.9) == pytest.approx(at(50.2, -4.1))


def test_a_grid_across_the_date_line_is_one_grid() -> None:
    axis = np.array([179.0, 180.0, 181.0, 182.0])
    values = np.broadcast_to(np.arange(4.0), (3, 4))

    assert at(50.3, -179.5, values, axis) == pytest.approx(1.5)
    assert at(50.3, 179.25, values, axis) == pytest.approx(0.25)
    assert np.isnan(at(50.3, -177.9, values, axis))


def test_a_grid_round_the_globe_is_closed_between_its_last_and_first_column() -> None:
    axis = np.arange(0.0, 360.0, 90.0)
    values = np.broadcast_to([0.0, 1.0, 2.0, 3.0], (3, 4))

    assert at(50, 315, values, axis) == pytest.approx(1.5)
    assert at(50, -0.0, values, axis) == pytest.approx(0.0)
    assert np.isnan(at(50, 300, values[:, :3], axis[:3]))


def test_leading_axes_are_kept_and_a_place_not_known_is_not_known() -> None:
    values = np.stack([PLANE, PLANE + 1])[None]

    taken = np.asarray(bilinear(values, LAT, LON, np.array([50.0, np.nan]), np.array([-5.0, -5.0])))

    assert taken.shape == (1, 2, 2)
    np.testing.assert_allclose(taken[0], [[495, np.nan], [496, np.nan]])


def test_places_answer_from_the_nearest_one_within_reach_and_no_further() -> None:
    values = np.array([[1.0, 2.0], [3.0, np.nan]])
    mile = 1 / 60

    taken = np.asarray(
        nearest(
            values, np.array([50.0, 51.0]), np.array([-4.0, -4.0]),
            np.array([50.0, 50 + 19.9 * mile, 50 + 20.1 * mile, 51.0]), np.array([-4.0, -4.0, -4.0, 356.0]),
            20 * NAUTICAL_MILE,
        )
    )  # fmt: skip

    np.testing.assert_array_equal(taken, [[1, 1, np.nan, 2], [3, 3, np.nan, np.nan]])


@given(st.floats(50, 51), st.floats(-5, -3.5), st.floats(-75, 75))
def test_a_field_that_is_the_same_everywhere_comes_out_exactly_as_it_went_in(
    lat: float, lon: float, value: float
) -> None:
    assert at(lat, lon, np.full(PLANE.shape, value)) == value
