"""Where sun and moon stand on average, and how the moon's orbit lies: the astronomy under every tide sum.

Angles in degrees, time in UTC seconds since 1970; the difference between UTC and the time scale of the tables
(under 1.5 minutes in the years allowed) shifts a tide by under 0.001 degrees of node and is left out.
"""

from dataclasses import dataclass

import numpy as np

from vessel.units import DAY, Array, Degrees, Epoch

_EPOCH_1900 = -25567.5 * DAY  # 1899-12-31T12:00Z, "1900 January 0.5"
_TEN_THOUSAND = 1e4  # days: the higher terms are given in this unit
FIRST_YEAR_ALLOWED = -5364662400.0  # 1800-01-01T00:00Z
LAST_YEAR_ALLOWED = 7258118400.0  # 2200-01-01T00:00Z

# Degrees: at 1900, a day, in (ten thousand days) squared and cubed.
# Rows: moon, sun, lunar perigee, solar perigee, lunar node.
# The moon's place of [schureman] runs 0.02 degrees ahead of this later one, which the printed predictions follow.
_LONGITUDES = np.array(
    [
        [270.434164, 13.1763965268, -8.50e-5, 3.9e-8],
        [279.696678, 0.9856473354, 2.267e-5, 0.0],
        [334.329556, 0.1114040803, -7.739e-4, -2.6e-7],
        [281.220844, 0.0000470684, 3.39e-5, 7.0e-8],
        [259.183275, -0.0529539222, 1.557e-4, 5.0e-8],
    ]
)
_OBLIQUITY = np.radians(23.452)  # of the ecliptic, held at its value of 1900 as the published factors hold it
_MOON_TILT = np.radians(5.145)  # of the moon's orbit to the ecliptic
_NODE_PLUS = np.cos((_OBLIQUITY - _MOON_TILT) / 2) / np.cos((_OBLIQUITY + _MOON_TILT) / 2)
_NODE_MINUS = np.sin((_OBLIQUITY - _MOON_TILT) / 2) / np.sin((_OBLIQUITY + _MOON_TILT) / 2)


@dataclass(frozen=True, slots=True, eq=False)
class Orbit:
    """Inclination of the moon's orbit to the equator and the angles that follow from it, degrees, `[time]`.

    `xi`: longitude of the crossing with the equator in the orbit; `nu`: its right ascension; `nu_k1`, `nu_k2`:
    the same weighed with the sun's share for K1 and K2 (`nu_k2` is the doubled angle); `perigee`: of the moon,
    counted from the crossing.
    """

    inclination: Array
    xi: Array
    nu: Array
    nu_k1: Array
    nu_k2: Array
    perigee: Array


def mean_longitudes(at: Epoch) -> Degrees:
    """Hour angle of the mean sun at Greenwich and mean longitudes of moon, sun and both perigees, `[time, 5]`.

    Rows of the last axis: T (180 at midnight UTC), s, h, p, p1. NaN outside the years 1800 to 2199.

    Source: [esae1961]
    """
    at = _within_the_years(at)
    hour_angle = 180.0 + 360.0 * np.mod(at, DAY) / DAY
    return np.stack([hour_angle, *(_longitude(row, at) for row in _LONGITUDES[:4])], axis=-1)


def moons_orbit(at: Epoch) -> Orbit:
    """The moon's orbit against the equator, `[time]`; NaN outside the years 1800 to 2199.

    Source: [schureman]
    """
    at = _within_the_years(at)
    return orbit_for(node=_longitude(_LONGITUDES[4], at), perigee=_longitude(_LONGITUDES[2], at))


def orbit_for(node: Degrees, perigee: Degrees) -> Orbit:
    """The moon's orbit for given longitudes of its node and its perigee, same shape as these.

    Source: [schureman]
    """
    half = np.radians((np.asarray(node, float) + 180.0) % 360.0 - 180.0) / 2
    plus = np.arctan2(_NODE_PLUS * np.sin(half), np.cos(half))
    minus = np.arctan2(_NODE_MINUS * np.sin(half), np.cos(half))
    nu, xi = plus - minus, 2 * half - plus - minus
    cos_inclination = np.cos(_OBLIQUITY) * np.cos(_MOON_TILT) - np.sin(_OBLIQUITY) * np.sin(_MOON_TILT) * np.cos(
        2 * half
    )
    inclination = np.arccos(cos_inclination)
    twice, square = np.sin(2 * inclination), np.sin(inclination) ** 2
    return Orbit(
        inclination=np.degrees(inclination),
        xi=np.degrees(xi),
        nu=np.degrees(nu),
        nu_k1=np.degrees(np.arctan2(twice * np.sin(nu), twice * np.cos(nu) + 0.3347)),
        nu_k2=np.degrees(np.arctan2(square * np.sin(2 * nu), square * np.cos(2 * nu) + 0.0727)),
        perigee=np.asarray(perigee, float) - np.degrees(xi),
    )


def mean_speeds() -> Array:
    """Hourly speeds of T, s, h, p, p1 in degrees an hour, `[5]`, at the epoch 1900.

    Source: [esae1961]
    """
    return np.array([15.0, *(row[1] / 24 for row in _LONGITUDES[:4])])


def _longitude(row: Array, at: Array) -> Array:
    days = (at - _EPOCH_1900) / DAY
    ages = days / _TEN_THOUSAND
    longitude: Array = row[0] + row[1] * days + ages**2 * (row[2] + row[3] * ages)
    return np.mod(longitude, 360.0)


def _within_the_years(at: Epoch) -> Array:
    at = np.asarray(at, float)
    return np.where((at >= FIRST_YEAR_ALLOWED) & (at < LAST_YEAR_ALLOWED), at, np.nan)
