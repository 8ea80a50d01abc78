"""The way over the ground: published lines, there and back, and a leg cut into steps."""

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic
from hypothesis import given
from hypothesis import strategies as st

from readiness.calc.ellipsoid import CLARKE_1866, SPHERE, WGS84, latitude_at_arc, meridian_arc, meridional_parts
from readiness.calc.track import Track, cut, distance_m, geodesic, rhumb, rhumb_forward, wrapped
from tests.published.read import half_a_unit, published
from vessel.units import NAUTICAL_MILE

LATITUDES = st.floats(-70, 70)
LONGITUDES = st.floats(-180, 179.999)


@pytest.mark.parametrize("row", published("geodesic"), ids=lambda row: row["distance_m"])
def test_the_shortest_line_is_the_published_one(row: dict[str, str]) -> None:
    ends = (float(row[name]) for name in ("lat1_deg", "lon1_deg", "lat2_deg", "lon2_deg"))

    distance, leaving, arriving = geodesic(*ends)

    # the distances of the list are printed beyond what a double can hold of them: 10 nm is asked for
    assert distance == pytest.approx(float(row["distance_m"]), abs=max(half_a_unit(row["distance_m"]), 1e-8))
    assert leaving == pytest.approx(float(row["course1_deg"]), abs=max(half_a_unit(row["course1_deg"]), 1e-13))
    assert arriving == pytest.approx(float(row["course2_deg"]), abs=max(half_a_unit(row["course2_deg"]), 1e-13))


@pytest.mark.parametrize("row", published("meridional_parts"), ids=lambda row: row["lat_deg"])
def test_meridional_parts_are_the_printed_ones(row: dict[str, str]) -> None:
    for name, ellipsoid in (("clarke_1866", CLARKE_1866), ("wgs84", WGS84), ("sphere", SPHERE)):
        parts = meridional_parts(float(row["lat_deg"]), ellipsoid)

        assert parts == pytest.approx(float(row[name]), abs=half_a_unit(row[name]))


def test_meridional_parts_agree_with_the_old_series() -> None:
    lat = np.radians(np.linspace(-80, 80, 33))
    sine = np.sin(lat)
    series = 7915.704468 * np.log10(np.tan(np.pi / 4 + lat / 2))
    series -= 23.268932 * sine + 0.0525 * sine**3 + 0.000213 * sine**5

    assert np.abs(meridional_parts(np.degrees(lat), CLARKE_1866) - series).max() < 0.001


def test_the_meridian_is_as_long_as_the_geodesic_along_it() -> None:
    lat = np.linspace(-89, 89, 90)

    arc = meridian_arc(np.radians(lat), WGS84)

    along = [Geodesic.WGS84.Inverse(0, 0, degrees, 0)["s12"] * np.sign(degrees) for degrees in lat]
    assert np.abs(arc - along).max() < 1e-5
    assert np.degrees(latitude_at_arc(arc, WGS84)) == pytest.approx(lat, abs=1e-11)


def test_no_latitude_lies_beyond_the_pole() -> None:
    beyond = meridian_arc(np.pi / 2, WGS84) + 1.0

    assert np.isnan(latitude_at_arc(beyond, WGS84))
    assert np.isnan(rhumb_forward(89.0, 0.0, 0.0, 2e5)[0])


@given(LATITUDES, LONGITUDES, st.floats(-3, 3), st.floats(-3, 3))
def test_a_rhumb_line_there_and_back_ends_where_it_began(lat: float, lon: float, north: float, east: float) -> None:
    there = lat + north, float(wrapped(lon + east))
    distance, course = rhumb(lat, lon, *there)

    reached = rhumb_forward(lat, lon, course, distance)
    back, backward = rhumb(*there, lat, lon)

    assert distance_m(*there, *reached) < 0.001
    assert back == pytest.approx(distance, abs=1e-6)
    assert distance < 1 or (backward - course) % 360 == pytest.approx(180, abs=1e-6)


@given(LATITUDES, LONGITUDES, st.floats(-0.01, 0.01), st.floats(-0.01, 0.01))
def test_a_short_rhumb_line_is_as_long_as_the_shortest_line(lat: float, lon: float, north: float, east: float) -> None:
    there = lat + north, lon + east

    assert rhumb(lat, lon, *there)[0] == pytest.approx(geodesic(lat, lon, *there)[0], abs=0.001)


def test_a_rhumb_line_along_a_parallel_is_as_long_as_its_circle() -> None:
    distance, course = rhumb(60.0, 0.0, 60.0, 90.0)

    flattened = 6378137.0 * np.cos(np.radians(60)) / np.sqrt(1 - (WGS84.eccentricity * np.sin(np.radians(60))) ** 2)
    assert distance == pytest.approx(flattened * np.pi / 2, abs=1e-6)
    assert course == pytest.approx(90.0)


@given(LATITUDES, LONGITUDES, st.floats(-19, 19), st.floats(-19, 19))
def test_the_quick_distance_is_within_two_parts_in_a_million(lat: float, lon: float, north: float, east: float) -> None:
    there = float(np.clip(lat + north, -75, 75)), lon + east

    quick, true = distance_m(lat, lon, *there), geodesic(lat, lon, *there)[0]

    assert quick == pytest.approx(true, rel=2e-6, abs=0.001)


def test_the_quick_distance_of_many_is_that_of_each() -> None:
    lat, lon = np.array([10.0, 46.5, -33.0]), np.array([179.9, -15.0, 18.0])

    together = distance_m(lat, lon, lat[::-1], lon[::-1])

    each = [float(distance_m(*ends)) for ends in zip(lat, lon, lat[::-1], lon[::-1], strict=True)]
    assert together == pytest.approx(each)
    assert distance_m(46.5, -15.0, 46.5, -15.0) == 0.0
    assert np.isnan(distance_m(np.nan, -15.0, 46.5, -15.0))


def drawn(lat: list[float], lon: list[float], shortest: list[bool], step_m: float) -> Track:
    return cut(np.array(lat), np.array(lon), np.array(shortest), step_m)


def test_a_leg_is_cut_into_equal_steps_no_longer_than_asked() -> None:
    track = drawn([46.5, 46.5, 46.9], [-15.0, -14.7, -14.2], [False, True], NAUTICAL_MILE)

    lengths = rhumb(46.5, -15.0, 46.5, -14.7)[0], geodesic(46.5, -14.7, 46.9, -14.2)[0]
    assert track.step_m.max() <= NAUTICAL_MILE
    for segment, length in enumerate(lengths):
        steps = track.step_m[track.segment == segment]
        assert steps == pytest.approx(length / len(steps))
        assert length / (len(steps) - 1) > NAUTICAL_MILE
    assert track.node_along_m[-1] == pytest.approx(sum(lengths))
    assert track.node_along_m.size == track.node_lat_deg.size == track.step_m.size + 1
    assert track.step_along_m == pytest.approx(track.node_along_m[:-1] + track.step_m / 2)


@pytest.mark.parametrize("shortest", [True, False])
def test_every_step_is_as_long_and_runs_as_its_nodes_say(shortest: bool) -> None:
    track = drawn([46.5, 55.0], [-15.0, 10.0], [shortest], 50_000.0)

    ends = track.node_lat_deg[:-1], track.node_lon_deg[:-1], track.node_lat_deg[1:], track.node_lon_deg[1:]
    length, course = rhumb(*ends)
    assert track.step_m == pytest.approx(length, rel=1e-5)
    assert track.step_course_deg == pytest.approx(course, abs=0.01)


def test_the_date_line_is_an_ordinary_meridian() -> None:
    track = drawn([-17.0, -17.0], [179.8, -179.8], [False], NAUTICAL_MILE)

    elsewhere = drawn([-17.0, -17.0], [9.8, 10.2], [False], NAUTICAL_MILE)
    assert track.step_m == pytest.approx(elsewhere.step_m)
    assert track.step_course_deg == pytest.approx(elsewhere.step_course_deg)
    assert ((track.node_lon_deg >= -180) & (track.node_lon_deg < 180)).all()


def test_a_segment_of_no_length_is_one_step_with_the_course_of_its_neighbour() -> None:
    track = drawn([46.5, 46.5, 46.5, 46.6], [-15.0, -15.0, -15.0, -15.0], [True, False, True], NAUTICAL_MILE)

    assert track.step_m[:2] == pytest.approx([0.0, 0.0])
    assert list(track.segment[:3]) == [0, 1, 2]
    assert track.step_course_deg == pytest.approx(0.0, abs=1e-9)


def test_a_leg_of_no_length_has_no_course() -> None:
    track = drawn([46.5, 46.5], [-15.0, -15.0], [True], NAUTICAL_MILE)

    assert track.node_along_m == pytest.approx([0.0, 0.0])
    assert np.isnan(track.step_course_deg).all()


@pytest.mark.parametrize(
    ("lat", "lon", "step"),
    [([46.5], [-15.0], 1852.0), ([46.5, np.nan], [-15.0, -14.0], 1852.0), ([46.5, 46.5], [-15.0, -14.0], 0.0)],
)
def test_a_track_that_cannot_be_drawn_is_refused(lat: list[float], lon: list[float], step: float) -> None:
    with pytest.raises(ValueError, match=r"must be|needs at least"):
        drawn(lat, lon, [True], step)
