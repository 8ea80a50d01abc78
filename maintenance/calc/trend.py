"""Is it getting worse, how fast, and when does it reach its limit: trends that one odd reading cannot bend."""

from typing import Annotated, NamedTuple

import numpy as np

from vessel.units import Array, Hours, Litres, LitresPerHour, Ratio

Z_95 = 1.959963984540054  # two-sided 95 % point of the normal distribution
FEWEST_FOR_INTERVAL = 4
NEWEST_INTERVALS = 5  # [own]

Plain = Annotated[float, "unit of the series"]
PerTime = Annotated[float, "unit of the series per unit of time"]


class Slope(NamedTuple):
    """Median slope, its 95 % interval (NaN below four points), the line's value at time 0, points used."""

    slope: PerTime
    low: PerTime
    high: PerTime
    intercept: Plain
    points: int


class Crossing(NamedTuple):
    """When a limit is reached: likely, and earliest and latest by the interval; inf: never, NaN: not known."""

    likely: Annotated[float, "unit of time"]
    earliest: Annotated[float, "unit of time"]
    latest: Annotated[float, "unit of time"]


def theil_sen(times: Array, values: Array) -> Annotated[Slope, "unit of the series per unit of time"]:
    """Median of the slopes of all pairs, with Sen's 95 % interval. Shapes [reading]; readings not known are left out.

    The interval rests on the normal approximation with ties in the values accounted for; below four readings it is
    not known. Fewer than two different times: all not known.

    Source: [sen1968]
    """
    times, values = np.asarray(times, float), np.asarray(values, float)
    known = np.isfinite(times) & np.isfinite(values)
    times, values = times[known], values[known]
    slopes = np.sort(_pair_slopes(times, values))
    if not slopes.size:
        return Slope(np.nan, np.nan, np.nan, np.nan, times.size)
    slope = float(np.median(slopes))
    low, high = _interval(slopes, values)
    return Slope(slope, low, high, float(np.median(values) - slope * np.median(times)), times.size)


def _pair_slopes(times: Array, values: Array) -> Array:
    first, second = np.triu_indices(times.size, 1)
    gap = times[second] - times[first]
    apart = gap != 0
    slopes: Array = (values[second] - values[first])[apart] / gap[apart]
    return slopes


def _interval(slopes: Array, values: Array) -> tuple[float, float]:
    """The ordered slopes at the two ranks around the middle, rounded; beyond the ends the interval is open."""
    count = values.size
    if count < FEWEST_FOR_INTERVAL:
        return np.nan, np.nan
    ties = np.unique(values, return_counts=True)[1]
    spread = (count * (count - 1) * (2 * count + 5) - float(np.sum(ties * (ties - 1) * (2 * ties + 5)))) / 18
    reach = Z_95 * np.sqrt(spread)
    low_rank, high_rank = round((slopes.size - reach) / 2), round((slopes.size + reach) / 2) + 1
    if low_rank < 1 or high_rank > slopes.size:
        return -np.inf, np.inf
    return float(slopes[low_rank - 1]), float(slopes[high_rank - 1])


def rates(engine_hours: Hours, added: Litres) -> LitresPerHour:
    """Litres lost per running hour in each interval between top-ups. Shapes [reading] in, [reading - 1] out.

    Each amount was added at its hour to make good what was lost since the one before. NaN where the hours do not grow.

    Source: [practice]
    """
    hours, litres = np.asarray(engine_hours, float), np.asarray(added, float)
    gap = np.diff(hours)
    return litres[1:] / np.where(gap > 0, gap, np.nan)


def rate_to_reckon_with(per_interval: LitresPerHour) -> Annotated[float, "l/h"]:
    """The larger of the newest rate and the median of the newest five. NaN when any of them is not known, or none is.

    Source: [practice]
    """
    newest = np.asarray(per_interval, float)[-NEWEST_INTERVALS:]
    return float(np.maximum(newest[-1], np.median(newest))) if newest.size else np.nan


def growth(per_interval: LitresPerHour) -> Ratio:
    """The newest rate against the median of those before it: 1 steady, 2 doubled; inf when they were all nought.

    NaN with fewer than two intervals or one not known.

    Source: [practice]
    """
    each = np.asarray(per_interval, float)
    if each.size < 2 or not np.all(np.isfinite(each)):
        return np.nan
    earlier, newest = float(np.median(each[:-1])), float(each[-1])
    if earlier == 0:
        return 1.0 if newest == 0 else np.inf
    return newest / earlier


def crossing(trend: Slope, limit: Plain, now: Annotated[float, "unit of time"], rising: bool = True) -> Crossing:
    """When the line reaches the limit from `now` on: with the likely slope, and with both ends of its interval.

    All three lines pass through the likely value now. `rising` false: the limit lies below. At the limit already: now.

    Source: [own]
    """
    value = trend.intercept + trend.slope * now
    room = (limit - value) if rising else (value - limit)
    sign = 1 if rising else -1
    times = [_time_to(room, sign * slope, now) for slope in (trend.slope, trend.low, trend.high)]
    ends = sorted(times[1:]) if np.all(np.isfinite(times[1:]) | np.isposinf(times[1:])) else [np.nan, np.nan]
    return Crossing(times[0], *ends)


def _time_to(room: float, slope: float, now: float) -> float:
    if np.isnan(room) or np.isnan(slope):
        return np.nan
    if room <= 0:
        return now
    return np.inf if slope <= 0 else now + room / slope
