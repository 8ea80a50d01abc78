"""The forecast as sampled along the track: its value where and when she is there, and the worst of it meanwhile.

Straight lines along the track and in time, never beyond what was sampled; what is missing stays missing.
Directions of wind and waves are those they come from, in degrees true; components are those they go toward.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from vessel.units import Array, Degrees, Epoch, Metres, MetresPerSecond

NEAR_ENOUGH_M = 1.0  # m; a step this little beyond the last sampled point is taken to be at it
NO_DIRECTION = 1e-6  # a resultant this small, of unit vectors, points nowhere

Worst = Literal["max", "min"]


@dataclass(frozen=True)
class Sampled:
    """One forecast on the corridor of a route; a missing value is NaN."""

    at: Array  # Epoch[time], rising
    along_m: Array  # [point], rising, from departure
    values: Mapping[str, Array]  # name -> [..., time, point]; leading axes are members of an ensemble


@dataclass(frozen=True)
class _Moment:
    """Times as row numbers: the share `part` of the way from `row` to the one after it; NaN outside the rows."""

    row: NDArray[np.int64]
    part: Array


def at_place(sampled: Sampled, values: Array, along_m: Metres, at: Epoch) -> Array:
    """Values `[..., time, point]` at places `[step]` and times `[departure..., step]`, straight lines between.

    Returns `[..., departure..., step]`. NaN outside the sampled times and places, and where a value that has a
    share in the answer is missing.

    Source: [practice]
    """
    when = np.broadcast_to(at, np.broadcast_shapes(np.shape(at), np.shape(along_m)))
    return _at_moment(on_steps(sampled, values, along_m), _moment(sampled.at, when))


def at_time(sampled: Sampled, values: Array, at: Epoch) -> Array:
    """Values `[..., time]` of one place at times of any shape, straight lines between; NaN as in `at_place`.

    Returns `[..., at...]`.

    Source: [practice]
    """
    moment = _moment(sampled.at, np.asarray(at, float))
    low = values.take(moment.row, axis=-1)
    high = values.take(np.minimum(moment.row + 1, sampled.at.size - 1), axis=-1)
    _draw_between(low, high, moment.part)
    return high


def worst_between(
    sampled: Sampled, values: Array, along_m: Metres, start: Epoch, end: Epoch, worst: Worst = "max"
) -> Array:
    """The exact greatest or least value at each step from `start` to `end`, both `[departure..., step]`.

    Shapes as in `at_place`. NaN if any part of the time is outside the sampled times or touches a missing value,
    and where `end` is before `start`.

    Source: [practice]
    """
    extreme = np.maximum if worst == "max" else np.minimum
    shape = np.broadcast_shapes(np.shape(start), np.shape(end), np.shape(along_m))
    start, end = np.broadcast_to(start, shape), np.broadcast_to(end, shape)
    columns = on_steps(sampled, values, along_m)
    found, at_end = (_at_moment(columns, _moment(sampled.at, when)) for when in (start, end))
    extreme(found, at_end, out=found)
    first = np.searchsorted(sampled.at, start, side="right")
    after = np.searchsorted(sampled.at, end, side="left")
    found = _with_rows_between(columns, found, first, after, extreme)
    found[..., ~(end >= start)] = np.nan
    return found


def on_steps(sampled: Sampled, values: Array, along_m: Metres) -> Array:
    """Values `[..., time, point]` at places `[step]`, straight lines between points: `[..., time, step]`.

    Source: [practice]
    """
    along = np.asarray(along_m, float)
    first, last = sampled.along_m[0], sampled.along_m[-1]
    near = (along >= first - NEAR_ENOUGH_M) & (along <= last + NEAR_ENOUGH_M)
    place = _moment(sampled.along_m, np.where(near, np.clip(along, first, last), np.nan))
    left = np.take(values, place.row, axis=-1)
    right = np.take(values, np.minimum(place.row + 1, sampled.along_m.size - 1), axis=-1)
    _draw_between(left, right, place.part)
    return right


def components(speed: MetresPerSecond, from_deg: Degrees) -> tuple[Array, Array]:
    """East and north parts of what comes from a direction.

    Source: [practice]
    """
    angle = np.radians(from_deg)
    return np.asarray(-speed * np.sin(angle)), np.asarray(-speed * np.cos(angle))


def speed_and_from(east: MetresPerSecond, north: MetresPerSecond) -> tuple[Array, Array]:
    """Size of a vector and the direction [0, 360) it comes from; no direction (NaN) for a size of 0.

    Source: [practice]
    """
    size = np.hypot(east, north)
    direction = np.degrees(np.arctan2(-np.asarray(east), -np.asarray(north))) % 360.0
    return np.asarray(size), np.where(size > NO_DIRECTION, direction, np.nan)


def apparent_wind(
    true_wind_mps: MetresPerSecond, true_angle_deg: Degrees, speed_mps: MetresPerSecond
) -> tuple[MetresPerSecond, Degrees]:
    """Wind felt aboard and its angle off the bow, of a wind at an angle off the bow and her speed ahead.

    Angles are those the wind comes from, to starboard positive, in (-180, 180].

    Source: [practice]
    """
    angle = np.radians(true_angle_deg)
    ahead, abeam = true_wind_mps * np.cos(angle) + speed_mps, true_wind_mps * np.sin(angle)
    return np.hypot(ahead, abeam), np.degrees(np.arctan2(abeam, ahead))


def _moment(rows_at: Array, at: Array) -> _Moment:
    row = np.clip(np.searchsorted(rows_at, at, side="right") - 1, 0, rows_at.size - 1)
    gaps = np.append(np.diff(rows_at), np.inf)
    part = (at - rows_at[row]) / gaps[row]
    inside = (at >= rows_at[0]) & (at <= rows_at[-1])
    return _Moment(row, np.where(inside, part, np.nan))


def _draw_between(low: Array, high: Array, part: Array) -> None:
    """Turn `high` into the values on the straight line from `low`: in place, for these arrays are large.

    A missing `high` that has no share does not matter; a `part` that is not known gives NaN.
    """
    exact = np.broadcast_to(part == 0, high.shape)
    high -= low
    high *= part
    high += low
    high[exact] = low[exact]


def _at_moment(columns: Array, moment: _Moment) -> Array:
    """Values `[..., time, step]` at moments `[departure..., step]`; table after table, each small enough to be quick."""
    *leading, times, steps = columns.shape
    tables = columns.reshape(-1, times * steps)
    low = moment.row * steps + np.arange(steps)
    high = np.where(moment.row < times - 1, low + steps, low)
    found = np.empty((len(tables), *moment.row.shape))
    for table, values in zip(tables, found, strict=True):
        table.take(high, out=values, mode="clip")
        _draw_between(table.take(low), values, moment.part)
    return found.reshape(*leading, *moment.row.shape)


def _with_rows_between(
    columns: Array, ends: Array, first: NDArray[np.int64], after: NDArray[np.int64], extreme: np.ufunc
) -> Array:
    """The extreme of `ends` and of the rows from `first` up to but not including `after`.

    Any stretch of rows is covered by two that overlap, each as long as the greatest power of two that fits.
    """
    starts, ends_before = first.ravel(), after.ravel()
    steps = np.broadcast_to(np.arange(columns.shape[-1]), first.shape).ravel()
    count = np.maximum(ends_before - starts, 0)
    found, length, table = ends.reshape(*ends.shape[: ends.ndim - first.ndim], -1), 1, columns
    while length <= count.max(initial=0):
        here = np.flatnonzero((count >= length) & (count < 2 * length))
        low, high, step = starts[here], ends_before[here] - length, steps[here]
        rows = extreme(table[..., low, step], table[..., high, step])
        found[..., here] = extreme(found[..., here], rows)
        longer = max(table.shape[-2] - length, 0)
        table = extreme(table[..., :longer, :], table[..., table.shape[-2] - longer :, :])
        length *= 2
    return found.reshape(ends.shape)
