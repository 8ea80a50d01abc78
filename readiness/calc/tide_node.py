"""Node factors: by how much, and how far ahead, the slow swing of the moon's orbit moves each family of constituents.

A family is a group of constituents that the orbit moves in the same way: N2 and 2N2 go with M2, Q1 with O1.
Constituents that depend on the sun alone belong to no family.
"""

from collections.abc import Callable

import numpy as np

from readiness.calc.tide_orbit import Orbit
from vessel.units import Array, Degrees, Ratio


def _m2(orbit: Orbit) -> Array:
    return _cos(orbit.inclination / 2) ** 4 / 0.9154


def _o1(orbit: Orbit) -> Array:
    return _sin(orbit.inclination) * _cos(orbit.inclination / 2) ** 2 / 0.3800


def _k1(orbit: Orbit) -> Array:
    twice = _sin(2 * orbit.inclination)
    return np.sqrt(0.8965 * twice**2 + 0.6001 * twice * _cos(orbit.nu) + 0.1006)


def _k2(orbit: Orbit) -> Array:
    square = _sin(orbit.inclination) ** 2
    return np.sqrt(19.0444 * square**2 + 2.7702 * square * _cos(2 * orbit.nu) + 0.0981)


def _l2(orbit: Orbit) -> Array:
    tangent = _tan(orbit.inclination / 2) ** 2
    return _m2(orbit) * np.sqrt(1 - 12 * tangent * _cos(2 * orbit.perigee) + 36 * tangent**2)


def _l2_lead(orbit: Orbit) -> Array:
    square = 1 / _tan(orbit.inclination / 2) ** 2 / 6
    return np.degrees(np.arctan2(_sin(2 * orbit.perigee), square - _cos(2 * orbit.perigee)))


def _m1(orbit: Orbit) -> Array:
    return _o1(orbit) * np.sqrt(2.310 + 1.435 * _cos(2 * orbit.perigee))


def _m1_lead(orbit: Orbit) -> Array:
    return np.degrees(np.arctan2(0.483 * _sin(orbit.perigee), _cos(orbit.perigee)))


def _m1c(orbit: Orbit) -> Array:
    """The part of M1 from the fourth power of the moon's parallax."""
    square = _sin(orbit.inclination / 2) ** 2
    return (1 - 10 * square + 15 * square**2) * (1 - square) / 0.5873


FACTORS: dict[str, Callable[[Orbit], Array]] = {
    "MM": lambda orbit: (2 / 3 - _sin(orbit.inclination) ** 2) / 0.5021,
    "MF": lambda orbit: _sin(orbit.inclination) ** 2 / 0.1578,
    "O1": _o1,
    "K1": _k1,
    "J1": lambda orbit: _sin(2 * orbit.inclination) / 0.7214,
    "OO1": lambda orbit: _sin(orbit.inclination) * _sin(orbit.inclination / 2) ** 2 / 0.0164,
    "M1": _m1,
    "M1C": _m1c,
    "M2": _m2,
    "K2": _k2,
    "L2": _l2,
}
LEADS: dict[str, Callable[[Orbit], Array]] = {
    "MM": lambda orbit: 0.0 * orbit.xi,
    "MF": lambda orbit: -2 * orbit.xi,
    "O1": lambda orbit: 2 * orbit.xi - orbit.nu,
    "K1": lambda orbit: -orbit.nu_k1,
    "J1": lambda orbit: -orbit.nu,
    "OO1": lambda orbit: -2 * orbit.xi - orbit.nu,
    "M1": lambda orbit: orbit.xi - orbit.nu + _m1_lead(orbit),
    "M1C": lambda orbit: orbit.xi - orbit.nu,
    "M2": lambda orbit: 2 * orbit.xi - 2 * orbit.nu,
    "K2": lambda orbit: -orbit.nu_k2,
    "L2": lambda orbit: 2 * orbit.xi - 2 * orbit.nu - _l2_lead(orbit),
}
FAMILIES = tuple(FACTORS)


def node_factors(orbit: Orbit) -> Ratio:
    """Factor f of every family in the order of FAMILIES, `[time, family]`; all are above zero.

    Source: [schureman]
    """
    return np.stack([FACTORS[family](orbit) for family in FAMILIES], axis=-1)


def node_leads(orbit: Orbit) -> Degrees:
    """Angle u of every family in the order of FAMILIES, `[time, family]`, to be added to the argument.

    Source: [schureman]
    """
    return np.stack([LEADS[family](orbit) for family in FAMILIES], axis=-1)


def _sin(angle: Array) -> Array:
    return np.sin(np.radians(angle))


def _cos(angle: Array) -> Array:
    return np.cos(np.radians(angle))


def _tan(angle: Array) -> Array:
    return np.tan(np.radians(angle))
