"""Values on a grid or at scattered places, taken at other places.

Not known is contagious: a point whose value would lean on a missing corner is missing.
"""

from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from readiness.calc.track import distance_m
from vessel.units import Array, Degrees, Flags, Floats, Metres

AsGiven = Annotated[Floats, "unit as given"]
Places = NDArray[np.intp]

EDGE_DEG = 1e-6  # about 0.1 m: a point typed on the edge of a grid lies on it


def bilinear(values: AsGiven, grid_lat: Degrees, grid_lon: Degrees, lat: Degrees, lon: Degrees) -> AsGiven:
    """Values [..., y, x] on rising axes [y] and [x], taken at points [point]: [..., point].

    Longitudes may be counted from -180 or from 0; a grid that goes round the globe is closed. NaN outside the
    grid and where a corner with any weight is NaN. Smooths peaks between grid points: never more than the grid
    knows. Directions must come as vectors.

    Source: [practice]
    """
    field = np.asarray(values, float)
    south, north, lift, inside_y = _bracket(np.asarray(grid_lat, float), np.asarray(lat, float))
    axis, columns = _closed(np.asarray(grid_lon, float))
    reach = np.asarray(lon, float) - axis[0] + EDGE_DEG
    west, east, shift, inside_x = _bracket(axis, axis[0] + np.mod(reach, 360) - EDGE_DEG)
    lower, upper = (
        _between(field[..., row, columns[west]], field[..., row, columns[east]], shift) for row in (south, north)
    )
    return np.where(inside_y & inside_x, _between(lower, upper, lift), np.nan)


def nearest(
    values: AsGiven, place_lat: Degrees, place_lon: Degrees, lat: Degrees, lon: Degrees, reach: Metres
) -> AsGiven:
    """Values [..., place] taken at points [point] from the nearest place: [..., point].

    NaN where no place is within reach.

    Source: [practice]
    """
    known = np.asarray(values, float)
    lats, lons = np.asarray(lat, float)[:, None], np.asarray(lon, float)[:, None]
    away = np.asarray(distance_m(lats, lons, place_lat, place_lon))
    place = np.argmin(np.where(np.isnan(away), np.inf, away), axis=-1)
    near = away[np.arange(len(place)), place] <= reach
    return np.where(near, known[..., place], np.nan)


def _between(low: Array, high: Array, share: Array) -> Array:
    """On the straight line from `low` to `high`: between equals exactly their value, and an end of no weight has none."""
    return np.where(share == 0, low, np.where(share == 1, high, low + share * (high - low)))


def _closed(axis: Array) -> tuple[Array, Places]:
    """The longitudes, with the first one again at the end when the grid goes round the globe."""
    columns = np.arange(len(axis))
    if len(axis) < 2 or abs(2 * axis[-1] - axis[-2] - axis[0] - 360) > EDGE_DEG + 0.01 * (axis[1] - axis[0]):
        return axis, columns
    return np.append(axis, axis[0] + 360), np.append(columns, 0)


def _bracket(axis: Array, at: Array) -> tuple[Places, Places, Array, Flags]:
    """Indices below and above, the share of the way from one to the other, and whether inside at all."""
    inside = (at >= axis[0] - EDGE_DEG) & (at <= axis[-1] + EDGE_DEG)
    below = np.clip(np.searchsorted(axis, at, side="right") - 1, 0, max(len(axis) - 2, 0))
    above = np.minimum(below + 1, len(axis) - 1)
    span = np.where(above > below, axis[above] - axis[below], 1.0)
    share = np.where(inside, np.clip((at - axis[below]) / span, 0, 1), 0.0)
    # within the edge a hair's weight must not lean on the next, perhaps missing, corner
    share = np.where(share * span < EDGE_DEG, 0.0, np.where((1 - share) * span < EDGE_DEG, 1.0, share))
    return below, above, share, inside
