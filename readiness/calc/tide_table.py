"""High and low waters as a table, and the curve between them."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from vessel.units import HOUR, Array, Epoch, Flags, Metres, Seconds

Plain = NDArray[Any]

LONGEST_GAP = 12 * HOUR
"""Longest time from a high to the next low water that is believed where the tide is semidiurnal or mixed.

Half a tide takes 6.2 h; with one event lost two of a kind follow each other, which shows by itself; with two lost the
kinds alternate again and only the length tells. At eight stations over 19 years the longest gap was 9.0 h (but for a
single 17 h), and the shortest left by two lost events 15.3 h: 12 h lies between.
"""
LONGEST_DIURNAL_GAP = 24 * HOUR
"""The same where there is mostly one high water a day: the longest gap seen was 17 h, two events lost leave about 37 h,
though less about the time when the tide nearly vanishes. Never taken from the table itself: a thinned table would then
vouch for itself."""

_TWELFTHS = np.array([0, 1, 3, 6, 9, 11, 12]) / 12


@dataclass(frozen=True, slots=True, eq=False)
class TideTable:
    """High and low waters in order of time; a height that is not known is NaN."""

    at: Array  # [event], UTC seconds since 1970
    height_m: Array  # [event]
    high: NDArray[np.bool_]  # [event], True at a high water


def cosine_height(table: TideTable, at: Epoch, longest_gap: Seconds = LONGEST_GAP) -> Metres:
    """Height by a cosine between the two events either side, same shape as `at`; exact at the events.

    NaN before the first and after the last event, and between two events that do not belong together: both high or
    both low, the high one not above the low one, not in order of time, or further apart than `longest_gap`. Stops
    being true for double high waters, stands and bores, and takes no account of weather.

    Source: [practice]
    """
    at = np.asarray(at, float)
    return _between(table, at, longest_gap, lambda share: (1 - np.cos(np.pi * share)) / 2)


def twelfths_height(table: TideTable, at: Epoch, longest_gap: Seconds = LONGEST_GAP) -> Metres:
    """Height by the rule of twelfths (1-2-3-3-2-1), straight between the sixths; NaN as `cosine_height`.

    A check for the cosine, not for use: up to 0.026 of the range away from it, 0.017 at the sixths.

    Source: [twelfths]
    """
    at = np.asarray(at, float)
    return _between(table, at, longest_gap, lambda share: np.interp(share, np.arange(7) / 6, _TWELFTHS))


def nearest_high_water(table: TideTable, at: Epoch, longest_gap: Seconds = LONGEST_GAP) -> Epoch:
    """Time of the high water nearest to each `at`, same shape; the earlier of two equally near.

    NaN where it cannot be told: before the first or after the last high water of the table, or where a low water
    between the two high waters is missing or too far from either. So a table should reach one tide further than
    the times asked for.

    Source: [practice]
    """
    place = _nearest_high(table, np.asarray(at, float), longest_gap)
    return np.where(place >= 0, _taken(table.at, place), np.nan)[()]


def mean_range(table: TideTable, at: Epoch, longest_gap: Seconds = LONGEST_GAP) -> Metres:
    """Mean of the ranges before and after the high water nearest to each `at`, same shape.

    NaN where that high water cannot be told or one of the low waters beside it is not in the table.

    Source: [practice]
    """
    place = _nearest_high(table, np.asarray(at, float), longest_gap)
    sound = _sound(table, longest_gap)
    beside = (place >= 1) & (place < table.at.size - 1)
    beside &= _taken(sound, place - 1) & _taken(sound, place)
    before, after = _taken(table.height_m, place - 1), _taken(table.height_m, place + 1)
    return np.where(beside, _taken(table.height_m, place) - (before + after) / 2, np.nan)[()]


def alternates(table: TideTable) -> Flags:
    """For each event but the last: whether the next one is of the other kind, later, and on the right side in height.

    Source: [practice]
    """
    rise = np.diff(table.height_m)
    side = np.where(table.high[:-1], rise < 0, rise > 0)
    answer: NDArray[np.bool_] = (table.high[:-1] != table.high[1:]) & (np.diff(table.at) > 0) & side
    return answer


def within(table: TideTable, start: float, end: float) -> TideTable:
    """The events from `start` to `end`, both included, either of which may be infinite; UTC seconds.

    Source: [practice]
    """
    kept = (table.at >= start) & (table.at <= end)
    return TideTable(table.at[kept], table.height_m[kept], table.high[kept])


def _sound(table: TideTable, longest_gap: Seconds) -> NDArray[np.bool_]:
    return np.asarray(_gaps(table) <= longest_gap)


@lru_cache(maxsize=64)  # asked at every halving of a search
def _gaps(table: TideTable) -> Array:
    """Seconds from each event to the next, NaN where the two do not belong together."""
    return np.where(alternates(table), np.diff(table.at), np.nan)


def _between(table: TideTable, at: Array, longest_gap: Seconds, curve: Callable[[Plain], Plain]) -> Array:
    """Height at `at`, the share of the rise or fall being `curve` of the share of its time."""
    if table.at.size == 0:
        return np.full(at.shape, np.nan)[()]
    place = np.searchsorted(table.at, at, side="right") - 1
    first = np.clip(place, 0, max(table.at.size - 2, 0))
    height = np.full(at.shape, np.nan)
    if table.at.size > 1:
        start, length = table.at[first], np.diff(table.at)[first]
        inside = (at >= start) & (at <= start + length) & _sound(table, longest_gap)[first]
        with np.errstate(invalid="ignore", divide="ignore"):
            share = np.clip((at - start) / length, 0.0, 1.0)
        low, rise = table.height_m[first], np.diff(table.height_m)[first]
        height = np.where(inside, low + rise * curve(share), np.nan)
    event = _taken(table.at, place) == at
    return np.where(event, _taken(table.height_m, place), height)[()]


def _nearest_high(table: TideTable, at: Array, longest_gap: Seconds) -> NDArray[np.intp]:
    """Place in the table of the nearest high water, -1 where it cannot be told."""
    highs = np.flatnonzero(table.high)
    unknown = np.full(at.shape, -1, np.intp)
    if highs.size < 2:
        return unknown
    after = np.clip(np.searchsorted(table.at[highs], at, side="left"), 1, highs.size - 1)
    left, right = highs[after - 1], highs[after]
    sound = _sound(table, longest_gap)
    whole = (right - left == 2) & sound[left] & sound[right - 1]
    inside = (at >= table.at[left]) & (at <= table.at[right])
    nearest = np.where(at - table.at[left] <= table.at[right] - at, left, right)
    exact = (table.at[nearest] == at) & inside
    return np.where((inside & whole) | exact, nearest, unknown)


def _taken(values: Plain, place: NDArray[np.intp]) -> Plain:
    """Values at places that may lie outside the table (the caller masks those)."""
    if values.size == 0:
        return np.zeros(place.shape, values.dtype)
    return values[np.clip(place, 0, values.size - 1)]
