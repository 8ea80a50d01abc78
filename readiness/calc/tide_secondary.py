"""Secondary ports: the high and low waters of a reference turned into those of a port near it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from readiness.calc.tide_table import TideTable, alternates
from vessel.units import DAY, Array, Epoch


@dataclass(frozen=True, slots=True, eq=False)
class Differences:
    """How the high, or the low, waters of a port differ from the reference's.

    `late_s` `[column]` are added at the clock times `clock_s` `[column]` of the reference, seconds after midnight;
    `more_m` `[level]` at the reference's heights `reference_m` `[level]`, one or two of these (mean springs and mean
    neaps). One column holds round the clock, one level at every height. The reference's height is multiplied by
    `ratio` before. NaN where not known.
    """

    clock_s: Array
    late_s: Array
    reference_m: Array
    more_m: Array
    ratio: float = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class SecondaryPort:
    """Differences for high and for low water; the columns' clock is `clock_ahead_s` seconds ahead of UTC."""

    high: Differences
    low: Differences
    clock_ahead_s: float = 0.0


def secondary(reference: TideTable, port: SecondaryPort) -> TideTable:
    """High and low waters of a port from those of its reference, in order of time; events whose time is not known last.

    Between columns the difference in time changes evenly with the clock, round midnight too; between mean springs and
    mean neaps the difference in height changes evenly with the reference's height, and beyond either it is carried on
    along the same line, which the farther out the less can be relied on. An event is not known (NaN) wherever its
    difference is not. Where differences for high and low water are far apart, two events may change places: then high
    and low no longer follow each other (`alternates`).

    Source: [practice], [noaa-offsets]
    """
    at = np.where(reference.high, *(_times(reference, each, port.clock_ahead_s) for each in (port.high, port.low)))
    height = np.where(reference.high, *(_heights(reference.height_m, each) for each in (port.high, port.low)))
    order: NDArray[np.intp] = np.argsort(at, kind="stable")
    return TideTable(at[order], height[order], reference.high[order])


def out_of_turn(table: TideTable) -> Epoch:
    """Times of the events after which the next one, at a known time and height, is not of the other kind: `[event]`.

    Source: [practice]
    """
    known = np.isfinite(table.at[:-1]) & np.isfinite(table.at[1:])
    known &= np.isfinite(table.height_m[:-1]) & np.isfinite(table.height_m[1:])
    return table.at[:-1][known & ~alternates(table)]


def _times(reference: TideTable, differences: Differences, ahead_s: float) -> Array:
    if differences.clock_s.size == 1:
        return np.asarray(reference.at + differences.late_s[0])
    clock = np.mod(reference.at + ahead_s, DAY)
    return np.asarray(reference.at + np.interp(clock, differences.clock_s, differences.late_s, period=DAY))


def _heights(height_m: Array, differences: Differences) -> Array:
    level, more = differences.reference_m, differences.more_m
    slope = (more[-1] - more[0]) / (level[-1] - level[0]) if level.size > 1 else 0.0
    return np.asarray(differences.ratio * height_m + more[0] + slope * (height_m - level[0]))
