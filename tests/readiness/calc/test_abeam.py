"""Where a place lies abeam of a track, against plane sums and geodesics."""

import numpy as np
import pytest

from readiness.calc.abeam import abeam
from readiness.calc.track import Track, cut, geodesic, rhumb_forward
from vessel.units import NAUTICAL_MILE

MILE = NAUTICAL_MILE


def eastward(miles: float = 20.0, lon_deg: float = -15.0) -> Track:
    """Along the equator, where a plane is as good as the ellipsoid."""
    lat, lon = rhumb_forward(0.0, lon_deg, 90.0, miles * MILE)
    return cut(np.array([0.0, float(lat)]), np.array([lon_deg, float(lon)]), np.array([False]), MILE)


@pytest.mark.parametrize(("along", "off"), [(7.3, 0.0), (7.3, 2.0), (12.0, -4.5), (0.2, 1.0)])
def test_a_place_beside_the_track_is_abeam_where_it_was_put(along: float, off: float) -> None:
    lat, lon = rhumb_forward(0.0, -15.0, 90.0, along * MILE)
    lat, lon = rhumb_forward(lat, lon, 0.0 if off >= 0 else 180.0, abs(off) * MILE)

    found, away = abeam(eastward(), np.array([lat]), np.array([lon]))

    assert np.asarray(found) / MILE == pytest.approx([along], abs=0.01)
    to_middle = abs(along % 1 - 0.5)  # steps are a mile long
    assert np.asarray(away).min() / MILE == pytest.approx(np.hypot(off, to_middle), abs=0.02)


@pytest.mark.parametrize(("course", "along"), [(270.0, 0.0), (90.0, 20.0)])
def test_beyond_the_ends_the_track_passes_at_its_end(course: float, along: float) -> None:
    lat, lon = rhumb_forward(0.0, -15.0, course, (3.0 if course > 180 else 23.0) * MILE)

    found, away = abeam(eastward(), np.array([lat]), np.array([lon]))

    assert np.asarray(found) / MILE == pytest.approx([along], abs=1e-6)
    assert np.asarray(away).min() / MILE == pytest.approx(3.5, abs=0.01)


def test_the_distance_from_a_steps_middle_is_the_geodesic_within_a_few_metres() -> None:
    track = cut(np.array([50.0, 50.4]), np.array([-4.0, -3.0]), np.array([False]), MILE)

    _, away = abeam(track, np.array([50.3]), np.array([-3.9]))

    middle = [
        (track.node_lat_deg[i : i + 2].mean(), track.node_lon_deg[i : i + 2].mean()) for i in range(track.step_m.size)
    ]
    exact = [geodesic(lat, lon, 50.3, -3.9)[0] for lat, lon in middle]
    assert np.asarray(away)[0] == pytest.approx(exact, abs=5.0)


def test_over_the_date_line_a_place_is_as_near_as_it_is() -> None:
    track = eastward(20.0, 179.9)

    found, away = abeam(track, np.array([0.0, 0.0]), np.array([-179.9, 179.9]))

    assert np.asarray(found) / MILE == pytest.approx([0.2 * 60.0 * 111.319 / 111.12, 0.0], abs=0.02)
    assert (np.asarray(away).min(axis=-1) < MILE).all()


def test_a_place_that_is_not_known_is_nowhere_and_a_step_of_no_length_does_no_harm() -> None:
    track = cut(np.array([0.0, 0.0, 0.0]), np.array([-15.0, -15.0, -14.9]), np.array([False, False]), MILE)

    found, away = abeam(track, np.array([np.nan, 0.0]), np.array([-15.0, -15.0]))

    assert np.asarray(found).tolist()[1] == pytest.approx(0.0, abs=1e-6)
    assert np.isnan(np.asarray(found)[0])
    assert np.isnan(np.asarray(away)[0]).all()
    assert np.isfinite(np.asarray(away)[1]).all()


def test_no_place_at_all_gives_nothing() -> None:
    found, away = abeam(eastward(), np.array([]), np.array([]))

    assert np.shape(found) == (0,)
    assert np.shape(away) == (0, 20)
