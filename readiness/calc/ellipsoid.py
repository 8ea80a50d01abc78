"""The figure of the earth: lengths along meridians and parallels, and the latitudes of a Mercator chart."""

from dataclasses import dataclass

import numpy as np

from vessel.units import Array, Degrees, Floats, Ratio


@dataclass(frozen=True)
class Ellipsoid:
    """An ellipsoid of revolution: equatorial radius and flattening."""

    equator_m: float
    flattening: Ratio

    @property
    def eccentricity(self) -> float:
        """First eccentricity."""
        return float(np.sqrt(self.flattening * (2 - self.flattening)))

    @property
    def third_flattening(self) -> float:
        """(a - b) / (a + b), the small quantity the series run in."""
        return float(self.flattening / (2 - self.flattening))


WGS84 = Ellipsoid(6378137.0, 1 / 298.257223563)  # [wgs84]
CLARKE_1866 = Ellipsoid(6378206.4, 1 / 294.9786982)  # [bowditch], memory
SPHERE = Ellipsoid(WGS84.equator_m, 0.0)


def meridional_parts(lat_deg: Degrees, ellipsoid: Ellipsoid = WGS84) -> Floats:
    """Length of the chart's meridian from the equator, in minutes of the equator; infinite at a pole.

    Source: [bowditch]
    """
    return np.degrees(isometric_latitude(np.radians(lat_deg), ellipsoid)) * 60


def isometric_latitude(phi_rad: Floats, ellipsoid: Ellipsoid) -> Array:
    """Isometric latitude [rad] of a geographic latitude [rad]: what a Mercator chart draws to scale.

    Source: [bowditch]
    """
    sine, e = np.sin(phi_rad), ellipsoid.eccentricity
    return np.asarray(np.arcsinh(np.tan(phi_rad)) - e * np.arctanh(e * sine))


def parallel_radius(phi_rad: Floats, ellipsoid: Ellipsoid) -> Array:
    """Radius [m] of the circle of a latitude [rad]; also metres of meridian to a radian of isometric latitude.

    Source: [wgs84]
    """
    bend = np.sqrt(1 - (ellipsoid.eccentricity * np.sin(phi_rad)) ** 2)
    return np.asarray(ellipsoid.equator_m * np.cos(phi_rad) / bend)


def meridian_arc(phi_rad: Floats, ellipsoid: Ellipsoid) -> Array:
    """Metres along the meridian from the equator to a latitude [rad], to 0.01 mm.

    Source: [helmert]
    """
    n = ellipsoid.third_flattening
    weights = (-3 / 2 * n + 9 / 16 * n**3, 15 / 16 * n**2 - 15 / 32 * n**4, -35 / 48 * n**3, 315 / 512 * n**4)
    return _rectifying_radius(ellipsoid) * _with_sines(phi_rad, weights)


def latitude_at_arc(arc_m: Floats, ellipsoid: Ellipsoid) -> Array:
    """Latitude [rad] at a distance along the meridian from the equator; NaN beyond a pole.

    Source: [helmert]
    """
    n = ellipsoid.third_flattening
    mu = np.asarray(arc_m, float) / _rectifying_radius(ellipsoid)
    weights = (
        3 / 2 * n - 27 / 32 * n**3,
        21 / 16 * n**2 - 55 / 32 * n**4,
        151 / 96 * n**3,
        1097 / 512 * n**4,
    )
    return np.where(np.abs(mu) <= np.pi / 2, _with_sines(mu, weights), np.nan)


def _rectifying_radius(ellipsoid: Ellipsoid) -> float:
    n = ellipsoid.third_flattening
    return ellipsoid.equator_m / (1 + n) * (1 + n**2 / 4 + n**4 / 64)


def _with_sines(angle: Floats, weights: tuple[float, ...]) -> Array:
    total = np.array(angle, float)
    for k, weight in enumerate(weights, start=1):
        total += weight * np.sin(2 * k * np.asarray(angle))
    return total
