"""The differences of a secondary port as a document: one shape for each of the three forms they are published in.

    {"form": "single", "high_s": 300, "low_s": 600, "high_m": -0.1, "low_m": 0.05}
    {"form": "ratios", "high_s": 4260, "low_s": 6780, "high_ratio": 0.55, "low_ratio": 0.53}
    {"form": "columns", "clock_ahead_s": 0, "high": {"clock_s": [0, 21600, 43200, 64800], "late_s": [2100, 1380, 2100,
     1380], "reference_m": [4.2, 3.4], "more_m": [1.1, 0.8]}, "low": {...}}

Seconds later and metres higher than the reference. Without a form it is "single". What is missing or null is not known.
"""

from collections.abc import Mapping
from typing import Any

import msgspec
import numpy as np

from readiness.calc.tide_secondary import Differences, SecondaryPort
from readiness.rules.record import Grid, Real, Record, decode_hook
from vessel.units import DAY, HOUR

LARGEST_S = 14 * HOUR
LARGEST_M = 20.0
LARGEST_RATIO = 10.0
_ANY = np.zeros(1)


class Single(Record, frozen=True, tag_field="form", tag="single"):
    """One difference each in time and height, for high and for low water."""

    high_s: Real
    low_s: Real
    high_m: Real
    low_m: Real


class Ratios(Record, frozen=True, tag_field="form", tag="ratios"):
    """One difference in time and one ratio of heights above the datum, for high and for low water."""

    high_s: Real
    low_s: Real
    high_ratio: Real
    low_ratio: Real


class Water(Record, frozen=True):
    """Differences of high, or of low, waters by clock time of the reference and by its height."""

    clock_s: Grid
    late_s: Grid
    reference_m: Grid
    more_m: Grid


class Columns(Record, frozen=True, tag_field="form", tag="columns"):
    """Differences by columns; the clock of their times is so many seconds ahead of UTC all year."""

    clock_ahead_s: Real
    high: Water
    low: Water


def port_of(document: Mapping[str, Any]) -> SecondaryPort:
    """The differences ready for the sum. Raises ValueError with one sentence for what cannot be meant."""
    if not isinstance(document, Mapping):
        raise ValueError("The differences are in no shape that is known: they are a list of names and figures.")
    form = document.get("form", "single")
    single = {"single": Single, "ratios": Ratios}.get(str(form))
    blank = dict.fromkeys(single.__struct_fields__) if single else {}
    try:
        record = msgspec.convert({**blank, **document, "form": form}, Single | Ratios | Columns, dec_hook=decode_hook)
    except (msgspec.ValidationError, ValueError, TypeError) as reason:
        plain = "".join(letter if letter.isprintable() else "?" for letter in str(reason)[:300])
        raise ValueError(f"The differences are in no shape that is known: {plain}.") from reason
    return _of_columns(record) if isinstance(record, Columns) else _of_one(record)


def words_of(document: Mapping[str, Any]) -> str:
    """How the differences work, as a skipper is told."""
    return {
        "ratios": "by one difference in time and a ratio of heights",
        "columns": "by differences in time that change with the clock, and in height that change in a straight line "
        "with the reference's height, carried on beyond springs and neaps",
    }.get(str(document.get("form")), "by one difference each in time and in height")


def _of_one(record: Single | Ratios) -> SecondaryPort:
    if isinstance(record, Single):
        high, low = (record.high_s, record.high_m, 1.0), (record.low_s, record.low_m, 1.0)
    else:
        high, low = (record.high_s, 0.0, record.high_ratio), (record.low_s, 0.0, record.low_ratio)
    return SecondaryPort(_plain("high water", *high), _plain("low water", *low))


def _plain(name: str, late_s: float, more_m: float, ratio: float) -> Differences:
    late, more = np.array([late_s]), np.array([more_m])
    _within(name, late, more)
    if not (np.isnan(ratio) or 0 < ratio <= LARGEST_RATIO):
        raise ValueError(f"A ratio of {ratio:g} for {name} is no tide's; it lies between 0 and {LARGEST_RATIO:g}.")
    return Differences(_ANY, late, _ANY, more, ratio)


def _of_columns(record: Columns) -> SecondaryPort:
    if not abs(record.clock_ahead_s) <= LARGEST_S:
        raise ValueError("The clock of the columns is not stated: say how far it is ahead of UTC, at most 14 hours.")
    return SecondaryPort(
        _of_water("high water", record.high), _of_water("low water", record.low), float(record.clock_ahead_s)
    )


def _of_water(name: str, water: Water) -> Differences:
    clock, late, level, more = (
        np.atleast_1d(each) for each in (water.clock_s, water.late_s, water.reference_m, water.more_m)
    )
    if any(each.ndim != 1 for each in (clock, late, level, more)):
        raise ValueError(f"The columns of {name} are plain rows of numbers.")
    if not 0 < clock.size == late.size <= 48 or not 0 < level.size == more.size <= 2:
        raise ValueError(
            f"For {name} there is one difference in time for each clock time, and one in height for each of one or two"
            " heights of the reference."
        )
    if not (((clock >= 0) & (clock < DAY)).all() and np.unique(clock).size == clock.size):
        raise ValueError(f"The clock times of {name} are different times between 00:00 and 23:59.")
    if not np.isfinite(level).all() or np.unique(level).size < level.size:
        raise ValueError(f"The reference's heights at springs and at neaps for {name} are two different numbers.")
    _within(name, late, more)
    return Differences(clock, late, level, more)


def _within(name: str, late: Any, more: Any) -> None:
    if (np.abs(late) > LARGEST_S).any():
        raise ValueError(f"A difference in time of more than 14 hours for {name} belongs to another tide.")
    if (np.abs(more) > LARGEST_M).any():
        raise ValueError(
            f"A difference in height of more than {LARGEST_M:g} m for {name} is no tide's; is the unit right?"
        )
