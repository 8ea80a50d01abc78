"""The constituents of the tide by name: what argument each follows and which family of node factors moves it."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np

from readiness.calc.tide_constituent_table import COMPOUND, OTHER_NAMES, SIMPLE
from readiness.calc.tide_node import FAMILIES, node_factors, node_leads
from readiness.calc.tide_orbit import mean_longitudes, mean_speeds, moons_orbit
from vessel.units import DAY, HOUR, Array, Degrees, DegreesPerHour, Epoch, Ratio

Factors = Literal["day", "year"] | float
"""Node factors of the moment, of the middle of its calendar year (UTC), or held as they are at one moment (UTC s)."""


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
    return _terms(tuple(names), np.broadcast_to(np.asarray(speeds, float), (len(names),)).tobytes())


def one_name(name: str) -> str:
    """The name the tables use for a constituent that goes by several; any other name as it is."""
    return OTHER_NAMES.get(name, name)


def table_speed(name: str) -> DegreesPerHour:
    """Speed of a constituent by the tables; NaN for a name that is not in them.

    Source: [schureman]
    """
    row = _row(name)
    return float("nan") if row is None else float(mean_speeds() @ np.array(row[:5]))


def phases(these: Terms, at: Epoch, factors: Factors = "day") -> tuple[Degrees, Ratio]:
    """Phase V + u in degrees and log of the factor f, both `[time, constituent]`, for times `[time]`.

    With factors "day" f and u are those of the moment itself; with "year" those of the middle of the calendar
    year of each time, as the agencies that print tables hold them; with a moment those of that moment. NaN
    outside the years 1800 to 2199.

    Source: [schureman]
    """
    lead, log_factor = node_terms(these, at, factors)
    return arguments(these, at) + lead, log_factor


def arguments(these: Terms, at: Epoch) -> Degrees:
    """The quick part of the phase, V in degrees, `[time, constituent]`.

    Source: [schureman]
    """
    at = np.asarray(at, float)
    return arguments_of(these, mean_longitudes(at), at)


def arguments_of(these: Terms, longitudes: Degrees, at: Epoch) -> Degrees:
    """V in degrees, `[time, constituent]`, where the mean longitudes `[time, 5]` of these times are known already.

    Source: [schureman]
    """
    at = np.asarray(at, float)
    plain = np.where(these.plain_speed == 0, 0.0, np.multiply.outer(at, these.plain_speed)) / HOUR
    return np.asarray(longitudes) @ these.arguments + these.added + plain


def weakened(log_factor: Ratio, share: Ratio) -> Ratio:
    """Factor f of which only a share of the swing about 1 is left, 1 + share (f - 1), same shape; from log f.

    Friction in shallow water leaves a strong tide less of the swing than the orbit gives it.

    Source: [practice]
    """
    return 1.0 + share * np.expm1(log_factor)


def node_terms(these: Terms, at: Epoch, factors: Factors = "day") -> tuple[Degrees, Ratio]:
    """The slow part, from the swing of the moon's orbit: u in degrees and log f, `[time, constituent]`.

    Source: [schureman]
    """
    lead, log_factor = node_families(at, factors)
    return lead @ these.leads, log_factor @ these.factors


def node_families(at: Epoch, factors: Factors = "day") -> tuple[Degrees, Ratio]:
    """The slow part for each family, whatever the station: u in degrees and log f, `[time, family]`.

    Source: [schureman]
    """
    at = np.asarray(at, float)
    held = _held(at, factors)
    orbit = moons_orbit(held)
    lead = np.asarray(node_leads(orbit))
    if factors != "day":  # M1 then runs at its mean speed, which has the perigee in it
        now, new_year = np.asarray(mean_longitudes(at)), np.asarray(mean_longitudes(start_of_year(held)))
        lead[..., _M1] += now[..., _PERIGEE] - new_year[..., _PERIGEE]
    return lead, np.log(node_factors(orbit))


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


def _held(at: Array, factors: Factors) -> Array:
    if isinstance(factors, str):
        return at if factors == "day" else np.asarray(middle_of_year(at))
    return np.full_like(at, factors)


_M1 = FAMILIES.index("M1")
_PERIGEE = 3  # place of p in the mean longitudes
_WIDTH = 6 + 2 * len(FAMILIES)
_NOTHING = (0.0,) * _WIDTH


@lru_cache(maxsize=64)
def _terms(names: tuple[str, ...], speeds: bytes) -> Terms:  # as bytes, since NaN never equals itself
    rows = [_row(name) for name in names]
    known = np.array([row is not None for row in rows], bool)
    table = np.array([_NOTHING if row is None else row for row in rows], float).reshape(len(rows), _WIDTH).T
    given = np.frombuffer(speeds)
    plain = np.where(known, 0.0, given)
    leads, factors = table[6 : 6 + len(FAMILIES)], table[6 + len(FAMILIES) :]
    return Terms(table[:5], table[5], leads, factors, plain, np.where(known, mean_speeds() @ table[:5], given))


@lru_cache(maxsize=1024)
def _row(name: str) -> tuple[float, ...] | None:
    name = one_name(name)
    if name in SIMPLE:
        return _simple_row(name)
    if name in COMPOUND:
        return _compound_row(COMPOUND[name])
    return None


def _simple_row(name: str) -> tuple[float, ...]:
    *argument, family = SIMPLE[name]
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
