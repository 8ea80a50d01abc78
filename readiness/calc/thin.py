"""A line of many points thinned to the few that matter."""

import numpy as np

from readiness.calc.ellipsoid import WGS84, parallel_radius
from readiness.calc.track import wrapped
from vessel.units import Array, Flags


def kept_points(lat_deg: Array, lon_deg: Array, within_m: float) -> Flags:
    """Which points `[point]` of a line are kept so that no other lies farther than so many metres from it.

    Douglas and Peucker on a plane that is true at the first point: for lines of some hundred miles, not at a pole.
    The ends are always kept; ValueError for a position that is not known.

    Source: [douglas-peucker]
    """
    lat, lon = np.asarray(lat_deg, float), np.asarray(lon_deg, float)
    if not np.isfinite([*lat, *lon]).all():
        raise ValueError("A line can be thinned only where every position is known.")
    radius = float(parallel_radius(np.radians(lat[:1]), WGS84)[0]) if lat.size else 0.0
    along = np.concatenate([[0.0], np.cumsum(wrapped(np.diff(lon)))]) if lon.size else lon
    x, y = np.radians(along) * radius, np.radians(lat) * WGS84.equator_m
    kept = np.zeros(lat.size, bool)
    kept[:1] = kept[-1:] = True
    spans = [(0, lat.size - 1)] if lat.size > 2 else []
    while spans:
        first, last = spans.pop()
        off = _off_the_line(x[first : last + 1], y[first : last + 1])
        farthest = int(off.argmax()) if off.size > 2 else 0
        if 0 < farthest < off.size - 1 and off[farthest] > within_m:
            middle = first + farthest
            kept[middle] = True
            spans += [(first, middle), (middle, last)]
    return kept


def _off_the_line(x: Array, y: Array) -> Array:
    """Distance of each point from the straight piece between the first and the last."""
    go_x, go_y = x[-1] - x[0], y[-1] - y[0]
    length = go_x**2 + go_y**2
    share = np.clip(((x - x[0]) * go_x + (y - y[0]) * go_y) / length, 0.0, 1.0) if length > 0 else 0.0
    return np.asarray(np.hypot(x - x[0] - share * go_x, y - y[0] - share * go_y))
