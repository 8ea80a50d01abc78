"""Where along a track a place lies abeam, and how far off it lies from each step."""

import numpy as np

from readiness.calc.refuge import distances_to
from readiness.calc.track import Track
from vessel.units import Array, Degrees, Metres


def abeam(track: Track, lat_deg: Degrees, lon_deg: Degrees) -> tuple[Metres, Metres]:
    """Distance from departure at which the track passes each place nearest `[place]`, and the distance of each place
    from the middle of each step `[place, step]`.

    By plane triangles on each step, so for steps of a few miles at most. NaN for a place that is not known.

    Source: [practice]
    """
    to_node = np.asarray(distances_to(track, lat_deg, lon_deg))
    before, after, length = to_node[:, :-1], to_node[:, 1:], track.step_m
    ahead = np.divide(before**2 - after**2 + length**2, 2 * length, out=np.zeros_like(before), where=length > 0)
    foot = np.clip(ahead, 0.0, length)
    off_squared = before**2 - 2 * ahead * foot + foot**2
    unknown = np.isnan(off_squared).any(axis=-1)
    nearest = np.where(np.isnan(off_squared), np.inf, off_squared).argmin(axis=-1)
    along = track.node_along_m[nearest] + foot[np.arange(nearest.size), nearest]
    return np.where(unknown, np.nan, along), _middle(before, after, length)


def _middle(before: Array, after: Array, length: Array) -> Array:
    """The line from a corner to the middle of the opposite side, by the lengths of all three sides."""
    return np.sqrt(np.maximum((before**2 + after**2) / 2 - length**2 / 4, 0.0))
