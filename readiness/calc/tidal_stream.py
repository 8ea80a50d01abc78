"""The tidal stream as pieces of constant set and rate, and the course to steer in it.

Set is the direction the water goes toward, in degrees true.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vessel.units import Array, Counts, Degrees, Epoch, Metres, MetresPerSecond, Seconds

MEAN_TIDE_S = 44714.0  # s between high waters on the mean, 12 h 25 min 14 s [practice]


@dataclass(frozen=True)
class Stream:
    """A stream in pieces: each lasts until the next begins, the last one until `ends_at`; not known outside."""

    changes_at: Array  # Epoch[piece], sorted
    east_mps: Array  # [piece], toward
    north_mps: Array  # [piece], toward
    ends_at: float

    def at(self, at: Epoch) -> tuple[Array, Array]:
        """East and north components at any times; NaN before the first piece and from `ends_at` on."""
        when = np.asarray(at, float)
        piece = np.searchsorted(self.changes_at, when, side="right") - 1
        held = (piece >= 0) & (when < self.ends_at)
        return (
            np.where(held, self.east_mps[piece], np.nan),
            np.where(held, self.north_mps[piece], np.nan),
        )


def turns(stream: Stream) -> Epoch:
    """When the stream turns: between a piece and the next one that runs more than 90° off it; halfway of slack between.

    `[turn]`, sorted. A piece whose rate is not known tells of no turn. True to the step of the table it is made from.

    Source: [practice]
    """
    ends = np.append(stream.changes_at[1:], stream.ends_at)
    runs = np.flatnonzero(np.hypot(stream.east_mps, stream.north_mps) > 0)  # NaN does not
    before, after = runs[:-1], runs[1:]
    along = stream.east_mps[before] * stream.east_mps[after] + stream.north_mps[before] * stream.north_mps[after]
    unknown = np.cumsum(np.isnan(stream.east_mps + stream.north_mps))
    turned = (along < 0) & (unknown[after] == unknown[before])
    at: Array = (ends[before[turned]] + stream.changes_at[after[turned]]) / 2
    return at


def steady(set_deg: float, rate_mps: float, start: float, end: float) -> Stream:
    """One set and rate from `start` until `end`.

    Source: [practice]
    """
    east, north = components(set_deg, rate_mps)
    return Stream(np.array([float(start)]), np.atleast_1d(east), np.atleast_1d(north), float(end))


def stream_pieces(
    high_water_at: Epoch,
    mean_range_m: Metres,
    from_high_water_s: Seconds,
    set_deg: Degrees,
    rate_neaps_mps: MetresPerSecond,
    rate_springs_mps: MetresPerSecond,
    neaps_range_m: Metres,
    springs_range_m: Metres,
    *,
    rates_held_beyond: bool = False,
) -> Stream:
    """The stream of a table that is referred to high water, `[hw]` tides by `[row]` offsets, both sorted.

    A row runs from its offset until the next row, always counted from the nearest high water, whose range also
    sets the rate. Half-way between two high waters the next tide takes over; until its first row is reached the
    last row holds. Rates are linear in the range, beyond neaps and springs too unless `rates_held_beyond`, and
    never negative. Known from the first row of the first tide to half a tide after the last high water.

    Source: [practice]
    """
    tides, offsets = np.atleast_1d(np.asarray(high_water_at, float)), np.asarray(from_high_water_s, float)
    bounds = _nearest_bounds(tides)
    starts, tide, row = _pieces(tides, offsets, bounds)
    springs = (np.asarray(mean_range_m)[tide] - neaps_range_m) / np.subtract(springs_range_m, neaps_range_m)
    springs = np.clip(springs, 0.0, 1.0) if rates_held_beyond else springs
    neaps_rate, springs_rate = np.asarray(rate_neaps_mps)[row], np.asarray(rate_springs_mps)[row]
    rate = np.maximum(neaps_rate + springs * (springs_rate - neaps_rate), 0.0)
    return Stream(starts, *components(np.asarray(set_deg)[row], rate), ends_at=float(bounds[-1]))


def components(set_deg: Degrees, rate_mps: MetresPerSecond) -> tuple[Array, Array]:
    """East and north parts of a stream.

    Source: [practice]
    """
    angle = np.radians(set_deg)
    return np.asarray(rate_mps * np.sin(angle)), np.asarray(rate_mps * np.cos(angle))


def along_and_across(
    stream_east_mps: MetresPerSecond, stream_north_mps: MetresPerSecond, course_deg: Degrees
) -> tuple[Array, Array]:
    """The stream along the course (fair positive) and across it (to starboard positive).

    Source: [practice]
    """
    angle = np.radians(course_deg)
    sine, cosine = np.sin(angle), np.cos(angle)
    along = stream_east_mps * sine + stream_north_mps * cosine
    across = stream_east_mps * cosine - stream_north_mps * sine
    return np.asarray(along), np.asarray(across)


def course_to_steer(
    track_deg: Degrees, speed_mps: MetresPerSecond, set_deg: Degrees, rate_mps: MetresPerSecond
) -> tuple[Array, Array]:
    """Course to steer [0, 360) to make good a track in a stream, and the speed over the ground.

    NaN where she cannot hold the track or would be set back along it.

    Source: [bowditch]
    """
    along, across = along_and_across(*components(set_deg, rate_mps), track_deg)
    with np.errstate(invalid="ignore", divide="ignore"):
        over_ground = along + np.sqrt(np.square(speed_mps) - across**2)
        steer = (track_deg - np.degrees(np.arcsin(across / speed_mps))) % 360.0
    held = over_ground > 0
    return np.where(held, steer, np.nan), np.where(held, over_ground, np.nan)


def stream_most_against(
    streams: Sequence[Stream | None], stream_of_step: Counts, wave_from_deg: Degrees, start: Epoch, end: Epoch
) -> tuple[Array, Array]:
    """East and north of the stream that runs hardest toward where the waves come from, of all met in a time.

    Times and directions `[departure..., step]`, `start` to `end` with both; `stream_of_step[step]` as in the sweep:
    -1 and 0 m/s where there is none. NaN where any part of the time is outside a stream, where a stream or the
    direction is not known, and where `end` is before `start`.

    Source: [practice]
    """
    start, end, wave_from = np.broadcast_arrays(
        np.asarray(start, float), np.asarray(end, float), np.asarray(wave_from_deg, float)
    )
    east, north = np.zeros((2, *start.shape))
    for number, stream in enumerate(streams):
        steps = np.flatnonzero(stream_of_step == number)
        met = (values[..., steps] for values in (wave_from, start, end))
        east[..., steps], north[..., steps] = (np.nan, np.nan) if stream is None else _most_against(stream, *met)
    return east, north


def _most_against(stream: Stream, wave_from: Array, start: Array, end: Array) -> tuple[Array, Array]:
    angle = np.radians(wave_from)
    sine, cosine = np.sin(angle), np.cos(angle)
    held = (start >= stream.changes_at[0]) & (end < stream.ends_at) & (end >= start) & np.isfinite(angle)
    first = np.where(held, np.searchsorted(stream.changes_at, start, side="right") - 1, 0)
    last = np.where(held, np.searchsorted(stream.changes_at, end, side="right") - 1, 0)
    worst, most = first, np.full(first.shape, -np.inf)
    for further in range(int((last - first).max(initial=0)) + 1):
        piece = np.minimum(first + further, last)
        toward = stream.east_mps[piece] * sine + stream.north_mps[piece] * cosine
        worse = (toward > most) | np.isnan(toward)
        worst, most = np.where(worse, piece, worst), np.where(worse, toward, most)
    known = held & ~np.isnan(most)
    return np.where(known, stream.east_mps[worst], np.nan), np.where(known, stream.north_mps[worst], np.nan)


def _nearest_bounds(tides: Array) -> Array:
    """The moments at which the nearest high water changes over, one more than tides.

    The outer two lie half the neighbouring time between high waters away; half a mean tide with one alone.
    """
    apart = np.diff(tides) if tides.size > 1 else np.array([MEAN_TIDE_S])
    return np.concatenate([tides[:1] - apart[0] / 2, tides[:-1] + np.diff(tides) / 2, tides[-1:] + apart[-1] / 2])


def _pieces(tides: Array, offsets: Array, bounds: Array) -> tuple[Array, NDArray[np.int64], NDArray[np.int64]]:
    """When each piece starts and which tide and row it belongs to, in order of time."""
    found: list[tuple[float, int, int]] = []
    for tide, high_water in enumerate(tides):
        starts = np.maximum(high_water + offsets, bounds[tide])
        reached = np.flatnonzero(starts == bounds[tide])
        if found and not reached.size:
            found.append((bounds[tide], tide, found[-1][2]))
        first = reached[-1] if reached.size else 0
        rows = range(first, offsets.size)
        found.extend((starts[row], tide, row) for row in rows if starts[row] < bounds[tide + 1])
    if not found:
        raise ValueError("No row of the stream table falls within half a tide of a high water.")
    columns = tuple(zip(*found, strict=True))
    return np.array(columns[0]), np.array(columns[1]), np.array(columns[2])
