"""Altitude of the sun's centre, and the times it crosses an altitude.

Altitudes are geometric: refraction and the sun's half-diameter are in the altitudes at which it rises and sets.
"""

from collections.abc import Callable

import numpy as np

from readiness.calc.window import Condition, Windows, windows
from vessel.units import DAY, MINUTE, Array, Degrees, Epoch

RISE_AND_SET = -0.833  # deg, 34' of refraction and 16' of half-diameter [almanac]
CIVIL = -6.0  # deg
NAUTICAL = -12.0  # deg
ASTRONOMICAL = -18.0  # deg

WhereAt = Callable[[Array], tuple[Array, Array]]  # times -> latitude, longitude [deg], NaN where not known

# Size [deg], start [deg] and turn [deg a century since 1900] of what Venus (two), Jupiter, the moon and one slow wave do.
SUN_PULLED = (
    (0.00134, 243.23, 22518.7541), (0.00154, 306.57, 45037.5082), (0.00200, 42.67, 32964.3577),
    (0.00179, 350.74, 445267.1142), (0.00178, 231.19, 20.20),
)  # fmt: skip
J2000 = 946728000.0  # s, 2000-01-01T12:00Z
CENTURY = 36525 * DAY  # s
CLOCK_BEHIND = 69.0  # s, dynamical time less universal time; within 7 s for 1996 to 2035 [almanac]
TABLE_STEP = 30 * MINUTE  # s; a straight line between its rows is right to 0.00001 deg


def sun_altitude(at: Epoch, lat_deg: Degrees, lon_deg: Degrees) -> Degrees:
    """Altitude of the sun's centre, any shapes that broadcast; within 0.01 degree from 1950 to 2050.

    Source: [meeus]
    """
    declination, greenwich = sun_place(at)
    return _altitude(np.sin(np.radians(declination)), np.radians(greenwich + lon_deg), lat_deg)


def sun_altitude_along(at: Epoch, lat_deg: Degrees, lon_deg: Degrees) -> Degrees:
    """The same for many times within some weeks, `[..., step]` at places `[step]`, from a table of the sun.

    Within 0.0001 degree of `sun_altitude`; NaN where the time is not known.

    Source: [meeus]
    """
    when = np.asarray(at, float)
    first, last = (reach(when, axis=None, initial=np.nan) for reach in (np.fmin.reduce, np.fmax.reduce))
    if np.isnan(first):
        return np.full(when.shape, np.nan)
    rows = np.arange(first, last + TABLE_STEP, TABLE_STEP)
    declination, greenwich = sun_place(rows)
    lead = np.unwrap(greenwich, period=360.0) - _mean_sun(rows - rows[0])
    sine = np.interp(when, rows, np.sin(np.radians(declination)))
    angle = np.interp(when, rows, lead) + _mean_sun(when - rows[0]) + lon_deg
    return _altitude(sine, np.radians(angle), lat_deg)


def sun_place(at: Epoch) -> tuple[Array, Array]:
    """Declination and Greenwich hour angle of the sun (-180, 180], apparent, low precision.

    Source: [meeus]
    """
    since = np.asarray(at, float) - J2000
    century = (since + CLOCK_BEHIND) / CENTURY
    longitude, tilt = _apparent_longitude(century)
    declination = np.arcsin(np.sin(tilt) * np.sin(longitude))
    ascension = np.arctan2(np.cos(tilt) * np.sin(longitude), np.cos(longitude))
    hour_angle = _sidereal(since, century, tilt) - np.degrees(ascension)
    return np.degrees(declination), -((-hour_angle + 180.0) % 360.0 - 180.0)


def sun_longitude(at: Epoch) -> Degrees:
    """Apparent longitude of the sun on the ecliptic, with the pull of moon and planets: within 0.005 degree.

    Source: [meeus1979]
    """
    century = (np.asarray(at, float) - J2000 + CLOCK_BEHIND) / CENTURY
    longitude, _ = _apparent_longitude(century)
    since_1900 = century + 1.0
    waves = [size * np.sin(np.radians(start + turn * since_1900)) for size, start, turn in SUN_PULLED]
    return np.asarray(np.degrees(longitude) + sum(waves))


def greenwich_sidereal(at: Epoch) -> tuple[Degrees, Array]:
    """Apparent sidereal time at Greenwich, not wrapped, and the tilt of the ecliptic [rad].

    Source: [meeus]
    """
    since = np.asarray(at, float) - J2000
    century = (since + CLOCK_BEHIND) / CENTURY
    _, tilt = _apparent_longitude(century)
    return _sidereal(since, century, tilt), tilt


def nutation(at: Epoch) -> Degrees:
    """The main part of the nutation in longitude: what is left out is under 0.0004 degree.

    Source: [meeus]
    """
    return _nutation((np.asarray(at, float) - J2000 + CLOCK_BEHIND) / CENTURY)


def sun_above(lat_deg: float, lon_deg: float, altitude_deg: float = RISE_AND_SET) -> Condition:
    """The condition "the sun's centre is at or above this altitude here".

    Source: [almanac]
    """
    return sun_above_under_way(moored(lat_deg, lon_deg), altitude_deg)


def sun_above_under_way(where_at: WhereAt, altitude_deg: float = RISE_AND_SET) -> Condition:
    """The same where she is at each time; not known where that is not.

    Source: [almanac]
    """

    def up(at: Array) -> Array:
        altitude = np.asarray(sun_altitude(at, *where_at(at)))
        return np.where(np.isnan(altitude), np.nan, np.where(altitude >= altitude_deg, 1.0, 0.0))

    return up


def moored(lat_deg: float, lon_deg: float) -> WhereAt:
    """One place whatever the time.

    Source: [practice]
    """
    return lambda at: (np.full(np.shape(at), lat_deg), np.full(np.shape(at), lon_deg))


def under_way(node_at: Epoch, node_lat_deg: Degrees, node_lon_deg: Degrees) -> WhereAt:
    """Where she is between nodes `[node]` that she passes at rising times; NaN before the first and after the last.

    Straight lines in latitude and longitude: for steps of a few miles, the short way round.

    Source: [practice]
    """
    longitudes = np.unwrap(node_lon_deg, period=360.0)

    def where_at(at: Array) -> tuple[Array, Array]:
        lat, lon = (np.interp(at, node_at, one, np.nan, np.nan) for one in (node_lat_deg, longitudes))
        return np.asarray(lat), np.asarray(lon)

    return where_at


def sun_events(lat_deg: float, lon_deg: float, start: float, end: float, altitude_deg: float = RISE_AND_SET) -> Windows:
    """Windows in which the sun is above an altitude: they open at sunrise or dawn, close at sunset or dusk.

    Within some seconds of an almanac below 65 degrees of latitude. A day shorter than 4 minutes may be missed.

    Source: [almanac]
    """
    return windows(sun_above(lat_deg, lon_deg, altitude_deg), start, end, resolution_s=4 * MINUTE)


def sun_transits(lon_deg: float, start: float, end: float) -> Epoch:
    """Times at which the sun crosses the meridian.

    Source: [almanac]
    """

    def past_noon(at: Array) -> Array:
        return np.asarray(np.sin(np.radians(sun_place(at)[1] + lon_deg)) >= 0, float)

    passed = windows(past_noon, start, end, resolution_s=60 * MINUTE)
    return passed.opens_at[passed.opens_known]


def _mean_sun(elapsed_s: Array) -> Array:
    """Degrees the mean sun turns in a time."""
    return np.asarray(elapsed_s * (360.0 / DAY))


def _altitude(sine_of_declination: Array, hour_angle: Array, lat_deg: Degrees) -> Array:
    """Altitude [deg] from the sine of the declination and the local hour angle [rad]."""
    lat = np.radians(lat_deg)
    cosine = np.sqrt(1 - sine_of_declination**2)
    rise = np.sin(lat) * sine_of_declination + np.cos(lat) * cosine * np.cos(hour_angle)
    return np.asarray(np.degrees(np.arcsin(np.minimum(np.maximum(rise, -1.0), 1.0))))


def _sidereal(since: Array, century: Array, tilt: Array) -> Array:
    """Apparent sidereal time at Greenwich [deg]."""
    mean = 280.46061837 + 360.98564736629 * since / DAY
    return np.asarray(mean + _nutation(century) * np.cos(tilt))


def _nutation(century: Array) -> Array:
    return np.asarray(-0.00478 * np.sin(_moons_node(century)))


def _moons_node(century: Array) -> Array:
    """Longitude [rad] of the node of the moon's orbit, near enough for the nutation."""
    return np.asarray(np.radians(125.04 - 1934.136 * century))


def _apparent_longitude(century: Array) -> tuple[Array, Array]:
    """Apparent longitude of the sun and tilt of the ecliptic [rad]."""
    mean = 280.46646 + century * (36000.76983 + century * 0.0003032)
    anomaly = np.radians(357.52911 + century * (35999.05029 - century * 0.0001537))
    centre = (
        (1.914602 - century * (0.004817 + century * 0.000014)) * np.sin(anomaly)
        + (0.019993 - century * 0.000101) * np.sin(2 * anomaly)
        + 0.000289 * np.sin(3 * anomaly)
    )
    node = _moons_node(century)
    longitude = mean + centre - 0.00569 - 0.00478 * np.sin(node)
    tilt = 23.0 + (26.0 + (21.448 - century * 46.815) / 60.0) / 60.0 + 0.00256 * np.cos(node)
    return np.radians(longitude), np.asarray(np.radians(tilt))
