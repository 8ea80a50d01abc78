"""The moon: where it stands, how much of it is lit, when it rises, sets and changes phase.

The main terms of the theory of the moon, to about 0.005 degree. It rises and sets when its upper limb stands on the
horizon in the usual refraction.
"""

from dataclasses import dataclass

import numpy as np

from readiness.calc.daylight import (
    CENTURY,
    CLOCK_BEHIND,
    J2000,
    WhereAt,
    greenwich_sidereal,
    moored,
    nutation,
    sun_longitude,
)
from readiness.calc.window import Condition, Windows, windows
from vessel.units import DAY, MINUTE, Array, Degrees, Epoch, Ratio

EARTH_M = 6378140.0  # m, equatorial radius to which the parallax is referred [meeus]
MEAN_DISTANCE_M = 385000560.0  # m [meeus]
SUN_DISTANCE_M = 149597870000.0  # m; its change of 1.7 % moves the lit share by less than 0.0001
HALF_DIAMETER = 0.2725  # share of the horizontal parallax [meeus]
REFRACTION = 34 / 60  # deg at the horizon [almanac]
PHASE_STEP = 2 * DAY  # s; no quarter of a month is so short
PHASES = ("new moon", "first quarter", "full moon", "last quarter")

# Multiples of elongation D, the sun's anomaly M, the moon's anomaly N and argument of latitude F; longitude by the
# sine [1e-6 deg], distance by the cosine [m] [meeus]
LONGITUDE_AND_DISTANCE = np.array([
    (0, 0, 1, 0, 6288774, -20905355), (2, 0, -1, 0, 1274027, -3699111), (2, 0, 0, 0, 658314, -2955968),
    (0, 0, 2, 0, 213618, -569925), (0, 1, 0, 0, -185116, 48888), (0, 0, 0, 2, -114332, -3149),
    (2, 0, -2, 0, 58793, 246158), (2, -1, -1, 0, 57066, -152138), (2, 0, 1, 0, 53322, -170733),
    (2, -1, 0, 0, 45758, -204586), (0, 1, -1, 0, -40923, -129620), (1, 0, 0, 0, -34720, 108743),
    (0, 1, 1, 0, -30383, 104755), (2, 0, 0, -2, 15327, 10321), (0, 0, 1, 2, -12528, 0),
    (0, 0, 1, -2, 10980, 79661), (4, 0, -1, 0, 10675, -34782), (0, 0, 3, 0, 10034, -23210),
    (4, 0, -2, 0, 8548, -21636), (2, 1, -1, 0, -7888, 24208), (2, 1, 0, 0, -6766, 30824),
    (1, 0, -1, 0, -5163, -8379), (1, 1, 0, 0, 4987, -16675), (2, -1, 1, 0, 4036, -12831),
    (2, 0, 2, 0, 3994, -10445), (4, 0, 0, 0, 3861, -11650), (2, 0, -3, 0, 3665, 14403),
    (0, 1, -2, 0, -2689, -7003), (2, 0, -1, 2, -2602, 0), (2, -1, -2, 0, 2390, 10056),
    (1, 0, 1, 0, -2348, 6322), (2, -2, 0, 0, 2236, -9884), (0, 1, 2, 0, -2120, 5751),
    (0, 2, 0, 0, -2069, 0), (2, -2, -1, 0, 2048, -4950), (2, 0, 1, -2, -1773, 4130),
    (2, 0, 0, 2, -1595, 0), (4, -1, -1, 0, 1215, -3958), (0, 0, 2, 2, -1110, 0),
], float)  # fmt: skip
# The same multiples; latitude by the sine [1e-6 deg] [meeus]
LATITUDE = np.array([
    (0, 0, 0, 1, 5128122), (0, 0, 1, 1, 280602), (0, 0, 1, -1, 277693), (2, 0, 0, -1, 173237),
    (2, 0, -1, 1, 55413), (2, 0, -1, -1, 46271), (2, 0, 0, 1, 32573), (0, 0, 2, 1, 17198),
    (2, 0, 1, -1, 9266), (0, 0, 2, -1, 8822), (2, -1, 0, -1, 8216), (2, 0, -2, -1, 4324),
    (2, 0, 1, 1, 4200), (2, 1, 0, -1, -3359), (2, -1, -1, 1, 2463), (2, -1, 0, 1, 2211),
    (2, -1, -1, -1, 2065), (0, 1, -1, -1, -1870), (4, 0, -1, -1, 1828), (0, 1, 0, 1, -1794),
    (0, 0, 0, 3, -1749), (0, 1, -1, 1, -1565), (1, 0, 0, 1, -1491), (0, 1, 1, 1, -1475),
    (0, 1, 1, -1, -1410), (0, 1, 0, -1, -1344), (1, 0, 0, -1, -1335), (0, 0, 3, 1, 1107),
    (4, 0, 0, -1, 1021),
], float)  # fmt: skip


@dataclass(frozen=True)
class Moon:
    """The moon seen from the middle of the earth, apparent, of date; all as the times."""

    longitude_deg: Array
    latitude_deg: Array
    distance_m: Array

    @property
    def parallax_deg(self) -> Array:
        """Horizontal parallax: by how much it stands lower seen from the surface than from the middle."""
        return np.asarray(np.degrees(np.arcsin(EARTH_M / self.distance_m)))


def moon_place(at: Epoch) -> Moon:
    """Longitude and latitude on the ecliptic and distance, within 0.009 degree and 70 km from 1996 to 2035.

    Source: [meeus]
    """
    century = (np.asarray(at, float) - J2000 + CLOCK_BEHIND) / CENTURY
    mean, arguments = _arguments(century)
    angle, size = _waves(LONGITUDE_AND_DISTANCE, arguments, century)
    longitude = (size * np.sin(angle)) @ LONGITUDE_AND_DISTANCE[:, 4]
    distance = (size * np.cos(angle)) @ LONGITUDE_AND_DISTANCE[:, 5]
    angle, size = _waves(LATITUDE, arguments, century)
    latitude = (size * np.sin(angle)) @ LATITUDE[:, 4]
    more_longitude, more_latitude = _of_the_planets(century, mean, arguments)
    return Moon(
        longitude_deg=mean + (longitude + more_longitude) / 1e6 + nutation(at),
        latitude_deg=(latitude + more_latitude) / 1e6,
        distance_m=MEAN_DISTANCE_M + distance,
    )


def moon_altitude(at: Epoch, lat_deg: Degrees, lon_deg: Degrees) -> Degrees:
    """Altitude of the moon's middle seen from the surface, no refraction; any shapes that broadcast.

    Within 0.012 degree from 1996 to 2035.

    Source: [meeus]
    """
    altitude, moon = _from_the_middle(at, lat_deg, lon_deg)
    angle = np.radians(altitude)
    return np.degrees(np.arctan2(np.sin(angle) - EARTH_M / moon.distance_m, np.cos(angle)))


def moon_above(lat_deg: float, lon_deg: float) -> Condition:
    """The condition "some of the moon's disc is above the horizon here".

    Source: [almanac]
    """
    return moon_above_under_way(moored(lat_deg, lon_deg))


def moon_above_under_way(where_at: WhereAt) -> Condition:
    """The same where she is at each time; not known where that is not.

    Source: [almanac]
    """

    def up(at: Array) -> Array:
        altitude, moon = _from_the_middle(at, *where_at(at))
        limb = altitude - moon.parallax_deg * (1 - HALF_DIAMETER) + REFRACTION
        return np.where(np.isnan(limb), np.nan, np.where(limb >= 0, 1.0, 0.0))

    return up


def moon_events(lat_deg: float, lon_deg: float, start: float, end: float) -> Windows:
    """Windows in which the moon is up: they open at moonrise and close at moonset; some days have only one of them.

    Within some seconds of an almanac below 60 degrees of latitude. A stay above or below the horizon of less than 4
    minutes may be missed.

    Source: [almanac]
    """
    return windows(moon_above(lat_deg, lon_deg), start, end, resolution_s=4 * MINUTE)


def lit_share(at: Epoch) -> Ratio:
    """Share of the moon's disc that is lit, 0 at new moon to 1 at full.

    Source: [meeus]
    """
    moon = moon_place(at)
    apart = np.radians(moon.longitude_deg - sun_longitude(at))
    elongation = np.arccos(np.cos(np.radians(moon.latitude_deg)) * np.cos(apart))
    phase_angle = np.arctan2(SUN_DISTANCE_M * np.sin(elongation), moon.distance_m - SUN_DISTANCE_M * np.cos(elongation))
    return np.asarray((1 + np.cos(phase_angle)) / 2)


def phases(start: float, end: float) -> tuple[Epoch, tuple[str, ...]]:
    """Times of the phases in (start, end], in order, and which each is; within a minute from 1996 to 2035.

    Source: [meeus]
    """

    def quarter(at: Array) -> Array:
        apart = (moon_place(at).longitude_deg - sun_longitude(at)) % 360.0
        return np.asarray(np.floor(apart / 90.0))

    rows = np.linspace(start, end, 2 + int((end - start) / PHASE_STEP))
    before, after = quarter(rows[:-1]), quarter(rows[1:])
    turned = np.flatnonzero(before != after)
    low, high = rows[turned], rows[turned + 1]
    while high.size and (high - low).max() > 1.0:
        middle = (low + high) / 2
        same = quarter(middle) == before[turned]
        low, high = np.where(same, middle, low), np.where(same, high, middle)
    return high, tuple(PHASES[int(which)] for which in after[turned])


def _arguments(century: Array) -> tuple[Array, Array]:
    """Mean longitude of the moon [deg], and D, M, N and F [rad] in the last axis."""
    mean = 218.3164477 + century * (481267.88123421 - century * 0.0015786)
    rows = np.array([
        (297.8501921, 445267.1114034, -0.0018819),
        (357.5291092, 35999.0502909, -0.0001536),
        (134.9633964, 477198.8675055, 0.0087414),
        (93.2720950, 483202.0175233, -0.0036539),
    ])  # fmt: skip
    t = century[..., None]
    return mean, np.radians((rows[:, 0] + t * (rows[:, 1] + t * rows[:, 2])) % 360.0)


def _waves(table: Array, arguments: Array, century: Array) -> tuple[Array, Array]:
    """Angle [rad] of each row of a table, and by what its size shrinks with the sun's distance, `[..., row]`."""
    waning = 1 - century * (0.002516 + century * 0.0000074)
    return arguments @ table[:, :4].T, waning[..., None] ** np.abs(table[:, 1])


def _of_the_planets(century: Array, mean_deg: Array, arguments: Array) -> tuple[Array, Array]:
    """What Venus, Jupiter and the flattening of the earth add to longitude and latitude [1e-6 deg]."""
    mean, anomaly, latitude = np.radians(mean_deg), arguments[..., 2], arguments[..., 3]
    venus, jupiter = np.radians(119.75 + 131.849 * century), np.radians(53.09 + 479264.290 * century)
    third = np.radians(313.45 + 481266.484 * century)
    of_longitude = 3958 * np.sin(venus) + 1962 * np.sin(mean - latitude) + 318 * np.sin(jupiter)
    of_latitude = (
        -2235 * np.sin(mean) + 382 * np.sin(third) + 175 * np.sin(venus - latitude)
        + 175 * np.sin(venus + latitude) + 127 * np.sin(mean - anomaly) - 115 * np.sin(mean + anomaly)
    )  # fmt: skip
    return of_longitude, of_latitude


def _from_the_middle(at: Epoch, lat_deg: Degrees, lon_deg: Degrees) -> tuple[Array, Moon]:
    """Altitude [deg] as if seen from the middle of the earth, and the moon itself."""
    when = np.asarray(at, float)
    moon, lat = moon_place(when), np.radians(lat_deg)
    sidereal, tilt = greenwich_sidereal(when)
    longitude, latitude = np.radians(moon.longitude_deg), np.radians(moon.latitude_deg)
    east = np.cos(latitude) * np.sin(longitude) * np.cos(tilt) - np.sin(latitude) * np.sin(tilt)
    north = np.cos(latitude) * np.sin(longitude) * np.sin(tilt) + np.sin(latitude) * np.cos(tilt)
    hour_angle = np.radians(sidereal + lon_deg) - np.arctan2(east, np.cos(latitude) * np.cos(longitude))
    rise = np.sin(lat) * north + np.cos(lat) * np.sqrt(1 - north**2) * np.cos(hour_angle)
    return np.asarray(np.degrees(np.arcsin(np.clip(rise, -1.0, 1.0)))), moon
