"""The constituents of the tide by name: what argument each follows and which family of node factors moves it."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np

from readiness.calc.tide_node import FAMILIES, node_factors, node_leads
from readiness.calc.tide_orbit import mean_longitudes, mean_speeds, moons_orbit
from vessel.units import DAY, HOUR, Array, Degrees, DegreesPerHour, Epoch, Ratio

Factors = Literal["day", "year"]

# name: T, s, h, p, p1, degrees to add, family ("" = the sun alone)
_SIMPLE: dict[str, tuple[int, int, int, int, int, int, str]] = {
    "SA": (0, 0, 1, 0, 0, 0, ""),
    "SSA": (0, 0, 2, 0, 0, 0, ""),
    "MM": (0, 1, 0, -1, 0, 0, "MM"),
    "MSF": (0, 2, -2, 0, 0, 0, "MM"),
    "MF": (0, 2, 0, 0, 0, 0, "MF"),
    "2Q1": (1, -4, 1, 2, 0, 90, "O1"),
    "SIG1": (1, -4, 3, 0, 0, 90, "O1"),
    "Q1": (1, -3, 1, 1, 0, 90, "O1"),
    "RHO": (1, -3, 3, -1, 0, 90, "O1"),
    "O1": (1, -2, 1, 0, 0, 90, "O1"),
    "M1": (1, -1, 1, 0, 0, -90, "M1"),
    "M1C": (1, -1, 1, 0, 0, 0, "O1"),  # as the Dutch list names it; no published factor, so that of O1
    "CHI1": (1, -1, 3, -1, 0, -90, "J1"),
    "PI1": (1, 0, -2, 0, 1, 90, ""),
    "P1": (1, 0, -1, 0, 0, 90, ""),
    "S1": (1, 0, 0, 0, 0, 0, ""),
    "K1": (1, 0, 1, 0, 0, -90, "K1"),
    "PSI1": (1, 0, 2, 0, -1, -90, ""),
    "PHI1": (1, 0, 3, 0, 0, -90, ""),
    "THE1": (1, 1, -1, 1, 0, -90, "J1"),
    "J1": (1, 1, 1, -1, 0, -90, "J1"),
    "OO1": (1, 2, 1, 0, 0, -90, "OO1"),
    "2N2": (2, -4, 2, 2, 0, 0, "M2"),
    "MU2": (2, -4, 4, 0, 0, 0, "M2"),
    "N2": (2, -3, 2, 1, 0, 0, "M2"),
    "NU2": (2, -3, 4, -1, 0, 0, "M2"),
    "M2": (2, -2, 2, 0, 0, 0, "M2"),
    "LAM2": (2, -1, 0, 1, 0, 180, "M2"),
    "L2": (2, -1, 2, -1, 0, 180, "L2"),
    "T2": (2, 0, -1, 0, 1, 0, ""),
    "S2": (2, 0, 0, 0, 0, 0, ""),
    "R2": (2, 0, 1, 0, -1, 180, ""),
    "K2": (2, 0, 2, 0, 0, 0, "K2"),
}

# Shallow-water and meteorological compounds: the simple ones they are made of.
_COMPOUND: dict[str, str] = {
    "SM": "S2 -M2",
    "OQ2": "O1 Q1",
    "2MS2": "M2*2 -S2",
    "3MKS2": "M2*3 -K2 -S2",
    "3MS2": "M2*3 -S2*2",
    "MNS2": "M2 N2 -S2",
    "2ML2S2": "M2*2 L2 -S2*2",
    "NLK2": "N2 L2 -K2",
    "MSK2": "M2 S2 -K2",
    "MPS2": "M2 P1 -S1",
    "MSP2": "M2 S1 -P1",
    "MKS2": "M2 K2 -S2",
    "2MN2": "M2*2 -N2",
    "MSN2": "M2 S2 -N2",
    "2SM2": "S2*2 -M2",
    "SKM2": "S2 K2 -M2",
    "2SN2": "S2*2 -N2",
    "M3": "M2*1.5",
    "MO3": "M2 O1",
    "NO3": "N2 O1",
    "2MK3": "M2*2 -K1",
    "2MP3": "M2*2 -P1",
    "MK3": "M2 K1",
    "SO3": "S2 O1",
    "SP3": "S2 P1",
    "SK3": "S2 K1",
    "4MS4": "M2*4 -S2*2",
    "2MNS4": "M2*2 N2 -S2",
    "3MS4": "M2*3 -S2",
    "2MLS4": "M2*2 L2 -S2",
    "2MSK4": "M2*2 S2 -K2",
    "3MN4": "M2*3 -N2",
    "2MSN4": "M2*2 S2 -N2",
    "N4": "N2*2",
    "MN4": "M2 N2",
    "M4": "M2*2",
    "SN4": "S2 N2",
    "MS4": "M2 S2",
    "MK4": "M2 K2",
    "S4": "S2*2",
    "SK4": "S2 K2",
    "MNO5": "M2 N2 O1",
    "2MO5": "M2*2 O1",
    "3MK5": "M2*3 -K1",
    "3MO5": "M2*3 -O1",
    "2MP5": "M2*2 P1",
    "2MK5": "M2*2 K1",
    "MSK5": "M2 S2 K1",
    "3KM5": "K1*3 M2",
    "3MNS6": "M2*3 N2 -S2",
    "4MS6": "M2*4 -S2",
    "3MSK6": "M2*3 S2 -K2",
    "3MSN6": "M2*3 S2 -N2",
    "2NM6": "N2*2 M2",
    "2MN6": "M2*2 N2",
    "2MNU6": "M2*2 NU2",
    "M6": "M2*3",
    "MSN6": "M2 S2 N2",
    "MKNU6": "M2 K2 NU2",
    "2MS6": "M2*2 S2",
    "2MK6": "M2*2 K2",
    "2SM6": "S2*2 M2",
    "MSK6": "M2 S2 K2",
    "S6": "S2*3",
    "2MNO7": "M2*2 N2 O1",
    "2MSO7": "M2*2 S2 O1",
    "M7": "M2*3 M1",
    "2(MN)8": "M2*2 N2*2",
    "3MN8": "M2*3 N2",
    "M8": "M2*4",
    "2MSN8": "M2*2 S2 N2",
    "2MNK8": "M2*2 N2 K2",
    "3MS8": "M2*3 S2",
    "3MK8": "M2*3 K2",
    "2(MS)8": "M2*2 S2*2",
    "2MSK8": "M2*2 S2 K2",
    "3MNK9": "M2*3 N2 K1",
    "4MK9": "M2*4 K1",
    "3MSK9": "M2*3 S2 K1",
    "4MN10": "M2*4 N2",
    "M10": "M2*5",
    "3MSN10": "M2*3 S2 N2",
    "4MS10": "M2*4 S2",
    "2(MS)N10": "M2*2 S2*2 N2",
    "3M2S10": "M2*3 S2*2",
    "4MSK11": "M2*4 S2 K1",
    "M12": "M2*6",
    "4MSN12": "M2*4 S2 N2",
    "5MS12": "M2*5 S2",
    "4M2S12": "M2*4 S2*2",
}
_OTHER_NAMES = {
    "RHO1": "RHO",
    "LABDA2": "LAM2",
    "LAMBDA2": "LAM2",
    "LDA2": "LAM2",
    "SIGMA1": "SIG1",
}


@dataclass(frozen=True, slots=True, eq=False)
class Terms:
    """Constituents ready for summing: V = arguments . (T, s, h, p, p1) + added, `[constituent]` on the last axis.

    `leads` and `factors` say how often each family of node factors enters: u adds up, f multiplies. For a name
    that is not in the tables every one of these is zero and `plain_speed` carries it: f = 1, u = 0 and
    V = speed x hours since 1970-01-01T00:00Z. `speed` is NaN where neither the tables nor the caller know one.
    """

    arguments: Array  # [5, constituent]
    added: Array
    leads: Array  # [family, constituent]
    factors: Array
    plain_speed: Array
    speed: Array


def terms(names: Sequence[str], speeds: DegreesPerHour) -> Terms:
    """Look up constituents by name; `speeds` `[constituent]` count only for names that are not in the tables.

    Source: [schureman]
    """
    rows = [_row(name) for name in names]
    known = np.array([row is not None for row in rows], bool)
    table = np.array([_NOTHING if row is None else row for row in rows], float).reshape(len(rows), _WIDTH).T
    given = np.broadcast_to(np.asarray(speeds, float), known.shape)
    plain = np.where(known, 0.0, given)
    leads, factors = table[6 : 6 + len(FAMILIES)], table[6 + len(FAMILIES) :]
    return Terms(table[:5], table[5], leads, factors, plain, np.where(known, mean_speeds() @ table[:5], given))


def one_name(name: str) -> str:
    """The name the tables use for a constituent that goes by several; any other name as it is."""
    return _OTHER_NAMES.get(name, name)


def table_speed(name: str) -> DegreesPerHour:
    """Speed of a constituent by the tables; NaN for a name that is not in them.

    Source: [schureman]
    """
    row = _row(name)
    return float("nan") if row is None else float(mean_speeds() @ np.array(row[:5]))


def phases(these: Terms, at: Epoch, factors: Factors = "day") -> tuple[Degrees, Ratio]:
    """Phase V + u in degrees and log of the factor f, both `[time, constituent]`, for times `[time]`.

    With factors "day" f and u are those of the moment itself; with "year" those of the middle of the calendar
    year of each time, as the agencies that print tables hold them. NaN outside the years 1800 to 2199.

    Source: [schureman]
    """
    lead, log_factor = node_terms(these, at, factors)
    return arguments(these, at) + lead, log_factor


def arguments(these: Terms, at: Epoch) -> Degrees:
    """The quick part of the phase, V in degrees, `[time, constituent]`.

    Source: [schureman]
    """
    at = np.asarray(at, float)
    plain = np.where(these.plain_speed == 0, 0.0, np.multiply.outer(at, these.plain_speed)) / HOUR
    return np.asarray(mean_longitudes(at)) @ these.arguments + these.added + plain


def node_terms(these: Terms, at: Epoch, factors: Factors = "day") -> tuple[Degrees, Ratio]:
    """The slow part, from the swing of the moon's orbit: u in degrees and log f, `[time, constituent]`.

    Source: [schureman]
    """
    at = np.asarray(at, float)
    orbit = moons_orbit(at if factors == "day" else middle_of_year(at))
    lead = np.asarray(node_leads(orbit))
    if factors == "year":  # M1 then runs at its mean speed, which has the perigee in it
        now, new_year = np.asarray(mean_longitudes(at)), np.asarray(mean_longitudes(start_of_year(at)))
        lead[..., _M1] += now[..., _PERIGEE] - new_year[..., _PERIGEE]
    return lead @ these.leads, np.log(node_factors(orbit)) @ these.factors


def middle_of_year(at: Epoch) -> Epoch:
    """The middle of the calendar year (UTC) in which each time lies, same shape; NaN stays NaN.

    Source: [practice]
    """
    start = start_of_year(at)
    return (start + start_of_year(start + 366.5 * DAY)) / 2


def start_of_year(at: Epoch) -> Epoch:
    """1 January 00 UTC of the calendar year in which each time lies, same shape; NaN stays NaN.

    Source: [practice]
    """
    at = np.asarray(at, float)
    known = np.isfinite(at)
    year = np.where(known, at, 0.0).astype("datetime64[s]").astype("datetime64[Y]")
    return np.where(known, year.astype("datetime64[s]").astype(float), np.nan)


_M1 = FAMILIES.index("M1")
_PERIGEE = 3  # place of p in the mean longitudes
_WIDTH = 6 + 2 * len(FAMILIES)
_NOTHING = (0.0,) * _WIDTH


@lru_cache(maxsize=1024)
def _row(name: str) -> tuple[float, ...] | None:
    name = one_name(name)
    if name in _SIMPLE:
        return _simple_row(name)
    if name in _COMPOUND:
        return _compound_row(_COMPOUND[name])
    return None


def _simple_row(name: str) -> tuple[float, ...]:
    *argument, family = _SIMPLE[name]
    enters = [float(family == each) for each in FAMILIES]
    return (*(float(number) for number in argument[:6] if not isinstance(number, str)), *enters, *enters)


def _compound_row(recipe: str) -> tuple[float, ...]:
    """Arguments and leads add up with their sign; factors multiply whatever the sign."""
    total = np.zeros(_WIDTH)
    for part in recipe.split():
        name, _, times = part.lstrip("-").partition("*")
        count = float(times or 1)
        row = np.array(_simple_row(name))
        sign = -1 if part.startswith("-") else 1
        total += count * np.concatenate([sign * row[: 6 + len(FAMILIES)], row[6 + len(FAMILIES) :]])
    return tuple(total.tolist())
