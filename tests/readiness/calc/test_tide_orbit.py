import numpy as np
import pytest

from readiness.calc.tide_orbit import mean_longitudes, mean_speeds, moons_orbit, orbit_for
from tests.factories.tide import epoch
from vessel.units import DAY


@pytest.mark.parametrize(("node", "inclination"), [(0.0, 28.60), (180.0, 18.31)])
def test_moons_orbit_is_inclined_as_published_at_both_ends_of_its_swing(node: float, inclination: float) -> None:
    assert orbit_for(node, 0.0).inclination == pytest.approx(inclination, abs=0.005)


def test_crossing_lies_at_the_node_when_the_node_lies_in_the_equinox() -> None:
    orbit = orbit_for(np.array([0.0, 180.0]), 0.0)

    np.testing.assert_allclose(orbit.xi, 0.0, atol=1e-9)
    np.testing.assert_allclose(orbit.nu, 0.0, atol=1e-9)


@pytest.mark.parametrize("node", [-30.0, 10.0, 95.0, 179.9])
def test_angles_of_the_orbit_close_the_spherical_triangle(node: float) -> None:
    """Sine rule in the triangle of equator, ecliptic and orbit: another way to nu."""
    orbit = orbit_for(node, 0.0)

    by_sines = np.sin(np.radians(5.145)) * np.sin(np.radians(node)) / np.sin(np.radians(orbit.inclination))

    assert np.sin(np.radians(orbit.nu)) == pytest.approx(by_sines, abs=1e-12)


def test_longitudes_move_at_the_mean_speeds() -> None:
    day = epoch("2026-06-01T00:00Z") + np.array([0.0, DAY])

    moved = np.diff(mean_longitudes(day), axis=0)[0] % 360

    np.testing.assert_allclose(moved, mean_speeds() * 24 % 360, atol=1e-4)


def test_mean_sun_stands_at_180_degrees_at_midnight() -> None:
    assert np.asarray(mean_longitudes(epoch("2026-06-01T00:00Z")))[0] == 180.0
    assert np.asarray(mean_longitudes(epoch("2026-06-01T18:00Z")))[0] == 450.0


@pytest.mark.parametrize(
    ("moment", "known"),
    [
        ("1799-12-31T23:59:59Z", False),
        ("1800-01-01T00:00Z", True),
        ("2199-12-31T23:59:59Z", True),
        ("2200-01-01T00:00Z", False),
    ],
)
def test_nothing_is_said_outside_the_years_allowed(moment: str, known: bool) -> None:
    assert np.isfinite(moons_orbit(epoch(moment)).inclination) == known
    assert np.isfinite(mean_longitudes(epoch(moment))).all() == known
