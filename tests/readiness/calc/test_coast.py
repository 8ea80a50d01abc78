"""Land as polygons: distance and bearing of the nearest shore, crossings, clipping, the date line and the poles."""

import math
from itertools import pairwise

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic
from hypothesis import given, settings
from hypothesis import strategies as st

from readiness.calc import coast
from readiness.calc.coast import Land, clipped, land_of, latitude_at, meets_land, mercator_y, nearest_shore, on_land
from readiness.calc.ellipsoid import meridional_parts
from vessel.units import Array

NOTHING = land_of([])
at = np.atleast_1d


def box(west: float, south: float, east: float, north: float) -> coast.Ring:
    """A ring round a rectangle."""
    return np.array([(west, south), (east, south), (east, north), (west, north), (west, south)])


ISLAND = land_of([[box(-15.0, 46.0, -14.0, 46.5)]])
LAGOON = land_of([[box(-15.0, 46.0, -14.0, 46.5), box(-14.8, 46.1, -14.2, 46.4)]])
ON_THE_DATE_LINE = land_of([[box(179.5, 10.0, 180.0, 10.5)], [box(-180.0, 10.0, -179.5, 10.5)]])
ACROSS_THE_DATE_LINE = land_of([[box(179.5, 10.0, -179.5, 10.5)]])


def metres_between(lat1: float, lon1: float, lat2: float, lon2: float) -> float:
    return float(Geodesic.WGS84.Inverse(lat1, lon1, lat2, lon2)["s12"])


@pytest.mark.parametrize(
    ("lat", "lon", "foot", "bearing"),
    [
        (45.9, -14.5, (46.0, -14.5), 0.0),
        (46.6, -14.5, (46.5, -14.5), 180.0),
        (46.2, -15.1, (46.2, -15.0), 90.0),
        (46.2, -13.9, (46.2, -14.0), 270.0),
        (45.95, -15.05, (46.0, -15.0), None),
    ],
)
def test_the_nearest_shore_of_a_square_island(
    lat: float, lon: float, foot: tuple[float, float], bearing: float | None
) -> None:
    off, toward = nearest_shore(at(lat), at(lon), ISLAND)

    assert off[0] == pytest.approx(metres_between(lat, lon, *foot), rel=3e-6)
    if bearing is not None:
        assert toward[0] == pytest.approx(bearing, abs=1e-9)


def test_five_minutes_south_of_a_shore_are_five_nautical_miles_off_it_within_a_part_in_a_thousand() -> None:
    off, _ = nearest_shore(at(46.0 - 5 / 60), at(-14.5), ISLAND)

    assert off[0] == pytest.approx(5 * 1852, rel=1e-3)


def test_on_land_the_shore_is_no_distance_and_no_bearing_away() -> None:
    off, toward = nearest_shore(at([46.2, 45.9]), at([-14.5, -14.5]), ISLAND)

    assert off[0] == 0
    assert np.isnan(toward[0])
    assert off[1] > 0


def test_without_land_nothing_is_known() -> None:
    off, toward = nearest_shore(at([46.2]), at([-14.5]), NOTHING)

    assert np.isnan(off).all()
    assert np.isnan(toward).all()
    assert not on_land(at([46.2]), at([-14.5]), NOTHING).any()
    assert not meets_land(at([46.2, 46.3]), at([-14.5, -14.5]), NOTHING)[0].any()


@settings(max_examples=40, deadline=None)
@given(st.floats(45.6, 46.9), st.floats(-15.5, -13.5))
def test_no_point_of_the_shore_is_nearer_than_the_one_found(lat: float, lon: float) -> None:
    share = np.linspace(0, 1, 200)
    ring = box(-15.0, 46.0, -14.0, 46.5)
    dense = np.concatenate([a + share[:, None] * (b - a) for a, b in pairwise(ring)])

    off, _ = nearest_shore(at(lat), at(lon), ISLAND)

    if not on_land(at(lat), at(lon), ISLAND)[0]:
        nearest = min(metres_between(lat, lon, y, x) for x, y in dense)
        assert off[0] <= nearest * (1 + 5e-3) + 1e-6  # a corner is met to within rounding
        assert off[0] >= nearest * (1 - 5e-3) - 200


@pytest.mark.parametrize(
    ("lat", "lon", "ashore"), [(46.2, -14.5, True), (46.05, -14.5, True), (45.9, -14.5, False), (46.2, -16.0, False)]
)
def test_inside_and_outside_an_island(lat: float, lon: float, ashore: bool) -> None:
    assert on_land(at(lat), at(lon), ISLAND)[0] == ashore


def test_a_lagoon_is_water_and_its_rim_is_land() -> None:
    assert on_land(at([46.2, 46.05]), at([-14.5, -14.5]), LAGOON).tolist() == [False, True]
    assert nearest_shore(at(46.2), at(-14.5), LAGOON)[1][0] == pytest.approx(180.0)


def test_a_line_meets_land_where_it_first_reaches_it() -> None:
    met, lat, lon = meets_land(at([45.5, 47.0]), at([-14.5, -14.5]), ISLAND)

    assert met.tolist() == [True]
    assert lat[0] == pytest.approx(46.0, abs=1e-9)
    assert lon[0] == pytest.approx(-14.5, abs=1e-12)


@pytest.mark.parametrize(
    ("lat", "lon", "meets"),
    [
        ([45.9, 45.9], [-16.0, -13.0], False),
        ([46.0, 46.0], [-16.0, -13.0], True),
        ([45.9, 46.1], [-14.5, -14.5], True),
        ([46.2, 46.3], [-14.5, -14.5], True),
        ([45.5, 45.9], [-14.5, -14.5], False),
        ([45.5, 46.0], [-15.5, -15.0], True),
        ([45.5, 45.5], [-15.5, -15.5], False),
    ],
)
def test_past_it_along_its_edge_into_it_within_it_and_onto_its_corner(
    lat: list[float],
    lon: list[float],
    meets: bool,
) -> None:
    assert meets_land(at(lat), at(lon), ISLAND)[0].tolist() == [meets]


def test_of_several_steps_only_those_that_meet_land_do() -> None:
    met, lat, _ = meets_land(at([45.5, 45.8, 46.2, 46.8, 47.0]), at([-14.5] * 5), ISLAND)

    assert met.tolist() == [False, True, True, False]
    assert np.isnan(lat).tolist() == [True, False, False, True]


@pytest.mark.parametrize("land", [ON_THE_DATE_LINE, ACROSS_THE_DATE_LINE], ids=["cut in two", "in one piece"])
@pytest.mark.parametrize("lon", [179.9, -179.9, 179.9 - 360])
def test_the_date_line_is_an_ordinary_meridian(land: Land, lon: float) -> None:
    off, toward = nearest_shore(at(9.9), at(lon), land)
    met, lat, at_lon = meets_land(at([9.5, 10.2]), at([lon, lon]), land)

    assert off[0] == pytest.approx(metres_between(9.9, lon, 10.0, lon), rel=3e-6)
    assert toward[0] == pytest.approx(0.0, abs=1e-9)
    assert on_land(at(10.2), at(lon), land)[0]
    assert met[0]
    assert lat[0] == pytest.approx(10.0, abs=1e-9)
    assert abs(at_lon[0]) == pytest.approx(179.9)


def test_a_line_over_the_date_line_meets_the_island_beyond_it() -> None:
    met, _, lon = meets_land(at([10.2, 10.2]), at([178.0, -178.0]), ACROSS_THE_DATE_LINE)

    assert met[0]
    assert lon[0] == pytest.approx(179.5, abs=1e-6)


def test_land_on_the_other_side_of_the_globe_is_not_here() -> None:
    assert not on_land(at(46.2), at(165.5), ISLAND)[0]
    assert nearest_shore(at(46.2), at(165.5), ISLAND)[0][0] > 5_000_000


@pytest.mark.parametrize(
    ("ring", "why"),
    [
        (box(-10, 80, 10, 85.1), "beyond 85° of latitude"),
        (box(-10, -90, 10, -80), "beyond 85° of latitude"),
        (np.array([(0, 80), (120, 80), (-120, 80), (0, 80)]), "round a pole"),
        (np.array([(0, 10), (math.nan, 10), (1, 11), (0, 10)]), "not known"),
    ],
)
def test_a_ring_no_mercator_chart_holds_is_refused(ring: coast.Ring, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        land_of([[ring]])


def test_a_ring_that_touches_85_degrees_is_taken() -> None:
    assert land_of([[box(-10, 80, 10, 85.0)]]).polygon.size == 4


@pytest.mark.parametrize("lat", [-85.0, -46.5, 0.0, 1e-6, 30.0, 60.0, 85.0])
def test_the_chart_is_turned_round_exactly(lat: float) -> None:
    assert latitude_at(mercator_y(lat)) == pytest.approx(lat, abs=1e-12)
    assert mercator_y(lat) * 60 == pytest.approx(meridional_parts(lat))


def area(x: Array, y: Array) -> float:
    return abs(float(np.dot(x, np.roll(y, 1)) - np.dot(y, np.roll(x, 1)))) / 2


@pytest.mark.parametrize(
    ("square", "left"),
    [
        ((0.0, 0.0, 1.0, 1.0), 0.25),
        ((-1.0, -1.0, 2.0, 2.0), 1.0),
        ((0.5, 0.5, 0.75, 0.75), 0.0625),
        ((2.0, 2.0, 3.0, 3.0), 0.0),
        ((-1.0, 0.25, 2.0, 0.75), 0.25),
    ],
)
def test_a_ring_is_cut_to_the_box(square: tuple[float, float, float, float], left: float) -> None:
    ring = box(*square)[:-1]

    x, y = clipped(
        ring[:, 0], ring[:, 1], (0.5, 0.5, 1.0, 1.0) if left == 0.25 and square[0] == 0 else (0.0, 0.0, 1.0, 1.0)
    )

    expected = {(-1.0, 0.25, 2.0, 0.75): 0.5}.get(square, left)
    assert area(x, y) == pytest.approx(expected)
    assert ((x >= 0) & (x <= 1) & (y >= 0) & (y <= 1)).all()


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.floats(-2, 3), st.floats(-2, 3)), min_size=3, max_size=12))
def test_whatever_is_cut_lies_in_the_box(points: list[tuple[float, float]]) -> None:
    ring = np.array(points)

    x, y = clipped(ring[:, 0], ring[:, 1], (0.0, 0.0, 1.0, 1.0))

    assert ((x >= -1e-9) & (x <= 1 + 1e-9) & (y >= -1e-9) & (y <= 1 + 1e-9)).all()


def test_a_large_coast_is_looked_at_in_parts_with_the_same_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    lat, lon = np.linspace(45.5, 47, 31), np.linspace(-15.5, -13.5, 31)
    whole = (
        nearest_shore(at(lat), at(lon), LAGOON),
        on_land(at(lat), at(lon), LAGOON),
        meets_land(at(lat), at(lon), LAGOON),
    )

    monkeypatch.setattr(coast, "AT_ONCE", 8)
    monkeypatch.setattr(coast, "FIRST_LOOK", 1)
    parted = (
        nearest_shore(at(lat), at(lon), LAGOON),
        on_land(at(lat), at(lon), LAGOON),
        meets_land(at(lat), at(lon), LAGOON),
    )

    for one, other in zip((*whole[0], whole[1], *whole[2]), (*parted[0], parted[1], *parted[2]), strict=True):
        np.testing.assert_array_equal(one, other)
