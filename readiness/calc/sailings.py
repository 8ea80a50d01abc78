"""The sailings by hand, as worked on paper beside a chart: a check on the program that needs no program.

Both take a minute of latitude for a nautical mile, and so are up to 0.5 % off the true distance.
"""

import numpy as np

from readiness.calc.ellipsoid import WGS84, Ellipsoid, meridional_parts
from readiness.calc.track import wrapped
from vessel.units import NAUTICAL_MILE, Degrees, Metres


def mercator_sailing(
    lat1_deg: Degrees, lon1_deg: Degrees, lat2_deg: Degrees, lon2_deg: Degrees, ellipsoid: Ellipsoid = WGS84
) -> tuple[Metres, Degrees]:
    """Distance and course [0, 360) by meridional parts; not for courses near east or west, or an end at a pole.

    Source: [bowditch]
    """
    east_min = wrapped(np.subtract(lon2_deg, lon1_deg)) * 60
    parts = np.subtract(meridional_parts(lat2_deg, ellipsoid), meridional_parts(lat1_deg, ellipsoid))
    course = np.arctan2(east_min, parts)
    north_m = np.subtract(lat2_deg, lat1_deg) * 60 * NAUTICAL_MILE
    return np.asarray(north_m / np.cos(course)), np.degrees(course) % 360.0


def mid_latitude(lat1_deg: Degrees, lon1_deg: Degrees, lat2_deg: Degrees, lon2_deg: Degrees) -> tuple[Metres, Degrees]:
    """Distance and course [0, 360) on a sphere, meridians as far apart as half-way; not across the equator.

    Source: [bowditch]
    """
    north_m = np.subtract(lat2_deg, lat1_deg) * 60 * NAUTICAL_MILE
    middle = np.radians(np.add(lat1_deg, lat2_deg) / 2)
    east_m = wrapped(np.subtract(lon2_deg, lon1_deg)) * 60 * NAUTICAL_MILE * np.cos(middle)
    return np.hypot(north_m, east_m), np.degrees(np.arctan2(east_m, north_m)) % 360.0


def mid_latitude_forward(
    lat_deg: Degrees, lon_deg: Degrees, course_deg: Degrees, distance_m: Metres
) -> tuple[Degrees, Degrees]:
    """Latitude and longitude reached, the reverse of `mid_latitude`.

    Source: [bowditch]
    """
    course, miles = np.radians(course_deg), np.asarray(distance_m, float) / NAUTICAL_MILE
    reached = lat_deg + miles * np.cos(course) / 60
    middle = np.radians(np.add(lat_deg, reached) / 2)
    return reached, wrapped(lon_deg + miles * np.sin(course) / np.cos(middle) / 60)
