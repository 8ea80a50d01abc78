"""The differences of a secondary port as two small tables: in time, and in height."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from readiness.calc.tide_secondary import Differences, SecondaryPort
from readiness.rules.tide_differences import port_of
from readiness.views.coast_words import of_day
from vessel.calc.wording import NOT_KNOWN, duration, metres, number
from vessel.units import HOUR, MINUTE, Array

ALL_DAY = "at all times"


@dataclass(frozen=True, slots=True)
class TimeRow:
    """Differences in time at one clock time of the reference; "" where none is given for it."""

    clock: str
    high: str
    low: str


@dataclass(frozen=True, slots=True)
class HeightRow:
    """The difference in height where the reference's water is so high."""

    water: str
    words: str


@dataclass(frozen=True, slots=True)
class DifferenceTables:
    """`zone`: the clock of the times, "" where they hold round the clock."""

    times: tuple[TimeRow, ...]
    heights: tuple[HeightRow, ...]
    zone: str


def difference_tables(document: Mapping[str, Any] | None) -> DifferenceTables | None:
    """The tables of differences as they are kept; None where there are none, or they make no sense."""
    try:
        port = port_of(document) if document else None
    except ValueError:
        return None
    if port is None:
        return None
    by_clock = any(each.clock_s.size > 1 or each.clock_s.any() for each in (port.high, port.low))
    return DifferenceTables(
        times=_times(port, by_clock=by_clock),
        heights=(*_heights("High water", port.high), *_heights("Low water", port.low)),
        zone=zone_ahead(port.clock_ahead_s) if by_clock else "",
    )


def zone_ahead(ahead_s: float) -> str:
    """A clock that is always so far ahead of UTC: "UTC", "UTC+1", "UTC−3:30"."""
    minutes = round(abs(ahead_s) / MINUTE)
    if not minutes:
        return "UTC"
    hours, rest = divmod(minutes, round(HOUR / MINUTE))
    return f"UTC{'−' if ahead_s < 0 else '+'}{hours}" + (f":{rest:02d}" if rest else "")


def _times(port: SecondaryPort, *, by_clock: bool) -> tuple[TimeRow, ...]:
    clocks = sorted({*port.high.clock_s.tolist(), *port.low.clock_s.tolist()})
    return tuple(
        TimeRow(of_day(clock) if by_clock else ALL_DAY, _late_at(port.high, clock), _late_at(port.low, clock))
        for clock in clocks
    )


def _late_at(water: Differences, clock_s: float) -> str:
    if water.clock_s.size == 1:
        return late_words(float(water.late_s[0]))  # one difference holds round the clock
    held: Array = water.late_s[water.clock_s == clock_s]
    return late_words(float(held[0])) if held.size else ""


def late_words(late_s: float) -> str:
    """How much later than the reference, in words."""
    if not np.isfinite(late_s):
        return NOT_KNOWN
    if not round(late_s / MINUTE):
        return "same time"
    return f"{duration(abs(late_s))} {'later' if late_s > 0 else 'earlier'}"


def _heights(name: str, water: Differences) -> tuple[HeightRow, ...]:
    if water.ratio != 1.0:  # NaN too
        words = f"times {number(water.ratio, 2)}" if np.isfinite(water.ratio) else NOT_KNOWN
        return (HeightRow(name, words),)
    rows = zip(water.reference_m.tolist(), water.more_m.tolist(), strict=True)
    by_height = water.reference_m.size > 1
    return tuple(HeightRow(f"{name} of {metres(at, 2)}" if by_height else name, more_words(more)) for at, more in rows)


def more_words(more_m: float) -> str:
    """How much higher than the reference, in words."""
    if not np.isfinite(more_m):
        return NOT_KNOWN
    if not round(more_m, 2):
        return "same height"
    return f"{metres(abs(more_m), 2)} {'higher' if more_m > 0 else 'lower'}"
