"""Where she could run to, looked at every few minutes of the way."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from readiness.calc.track import Track, distance_m
from vessel.units import MINUTE, Array, Counts, Degrees, Epoch, Flags, Metres, Seconds

EVERY_S = 5 * MINUTE  # so often somebody looks round for a refuge [practice]


@dataclass(frozen=True)
class Looks:
    """The moments of each departure at which a refuge is asked for; all `[departure, look]`."""

    at: Array  # Epoch; NaN once she has arrived, and all along where her times are not known
    step: NDArray[np.int64]  # which step she is in
    part: Array  # share of that step behind her


def looks_along(node_at: Epoch, every_s: float = EVERY_S) -> Looks:
    """A look at the departure and every few minutes until she arrives, for times `[departure, node]`.

    Source: [practice]
    """
    times = np.asarray(node_at, float)
    since = times - times[:, :1]
    untimed = np.isnan(since).any(axis=-1)
    since = np.where(untimed[:, None], 0.0, since)
    count = int(since.max(initial=0.0) // every_s) + 1
    rows, look = np.arange(len(times))[:, None], every_s * np.arange(count)
    first = np.minimum(np.ceil(since / every_s).astype(np.int64), count)  # the first look at or after each node
    passed = np.bincount((rows * (count + 1) + first).ravel(), minlength=len(times) * (count + 1))
    step = passed.reshape(len(times), -1)[:, :count].cumsum(axis=-1) - 1
    step = np.minimum(step, since.shape[-1] - 2)
    entered, left = since[rows, step], since[rows, step + 1]
    there = (look <= since[:, -1:]) & ~untimed[:, None]
    part = (look - entered) / np.where(left > entered, left - entered, 1.0)
    return Looks(np.where(there, times[:, :1] + look, np.nan), step, np.where(there, part, 0.0))


def distances_to(track: Track, lat_deg: Degrees, lon_deg: Degrees) -> Metres:
    """Straight distance from every node to each place, `[place, node]`; NaN for a place not known.

    Over land or not is for the one who chose the places.

    Source: [andoyer]
    """
    lat, lon = (np.atleast_1d(np.asarray(degrees, float))[:, None] for degrees in (lat_deg, lon_deg))
    return distance_m(track.node_lat_deg, track.node_lon_deg, lat, lon)


def at_looks(node_values: Metres, looks: Looks) -> Metres:
    """Values `[..., node]` at each look, `[..., departure, look]`, by straight lines between nodes.

    A distance to a place beside the track is never under the true one, and over it by half a step at most.

    Source: [practice]
    """
    values = np.asarray(node_values, float)
    nodes, grown = values.reshape(-1, values.shape[-1]), np.diff(values, axis=-1).reshape(-1, values.shape[-1] - 1)
    found = np.empty((len(nodes), *looks.step.shape))
    for number, (entered, more) in enumerate(zip(nodes, grown, strict=True)):  # one by one: they stay in the cache
        found[number] = entered.take(looks.step) + looks.part * more.take(looks.step)
    return found.reshape(*values.shape[:-1], *looks.step.shape)


def to_nearest(away_m: Metres, usable: Flags) -> Metres:
    """Distance to the nearest usable place, `[place, ...]` by flags that broadcast to it: `[...]`.

    Infinite where none is usable; NaN where the distance of a usable place is not known.

    Source: [practice]
    """
    held, flags = np.broadcast_arrays(away_m, usable)
    nearest = np.full(held.shape[1:], np.inf)
    for away, good in zip(held, flags, strict=True):  # place by place: all at once would not stay in the cache
        np.minimum(nearest, away, out=nearest, where=good)
    return nearest


def longest_spell(flags: Flags, every_s: float = EVERY_S) -> tuple[Seconds, Counts]:
    """How long the longest unbroken run of flags `[departure, look]` lasts, and the look at which it begins.

    Each look stands for the minutes until the next one. 0 and look 0 where no flag is set.

    Source: [practice]
    """
    run: NDArray[np.int64] = np.cumsum(flags, axis=-1)
    length = run - np.maximum.accumulate(np.where(flags, 0, run), axis=-1)
    last = length.argmax(axis=-1)
    longest = length.max(axis=-1, initial=0)
    return longest * float(every_s), np.where(longest > 0, last - longest + 1, 0)
