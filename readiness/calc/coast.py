"""Land as polygons: how far off the nearest shore lies and which way, and where a line meets land.

Sides are straight on a Mercator chart, so that a rhumb line that clears land in the picture clears it in the sum.
A coastline is no chart: it knows no depths, no rocks and nothing the tide covers.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from readiness.calc.ellipsoid import WGS84, isometric_latitude
from readiness.calc.track import distance_m, wrapped
from vessel.units import Array, Degrees, Flags

NORTHMOST_DEG = 85.0  # beyond it a Mercator chart is of no use [practice]
AT_ONCE = 2_000_000  # pairs of point and side looked at together, so that memory stays small

Ring = Array  # [vertex, 2] longitude and latitude in degrees, the last vertex the first
Box = tuple[float, float, float, float]  # west, south, east, north on the paper


@dataclass(frozen=True)
class Land:
    """Sides of all polygons, `[side]`: longitudes run on past 180 where a polygon lies across the date line."""

    lon1_deg: Array
    lon2_deg: Array
    y1: Array  # degrees of the equator on a Mercator chart
    y2: Array
    polygon: NDArray[np.int64]
    middle_deg: Array  # [polygon] longitude half-way between its west and east

    def sides_about(self, lon_deg: float) -> tuple[Array, Array]:
        """Longitudes of the sides, each polygon on the turn of the globe that is nearest to a longitude."""
        turns = 360.0 * np.round((lon_deg - self.middle_deg) / 360.0)
        shift = turns[self.polygon] if self.polygon.size else np.zeros(0)
        return self.lon1_deg + shift, self.lon2_deg + shift


def land_of(polygons: Sequence[Sequence[Ring]]) -> Land:
    """The sides of polygons, each its outer ring and then its holes, vertices in degrees.

    A side of more than half the globe is taken the short way. ValueError for a ring round a pole, beyond 85
    degrees of latitude, or with a position that is not known.

    Source: [rfc7946]
    """
    rings = [_unwrapped(polygon) for polygon in polygons]
    sides = [ring for polygon in rings for ring in polygon]
    number = [index for index, polygon in enumerate(rings) for ring in polygon for _ in range(len(ring) - 1)]
    starts, ends = (
        np.concatenate([*(ring[part] for ring in sides), np.zeros((0, 2))]) for part in (slice(-1), slice(1, None))
    )
    middles = [float(polygon[0][:, 0].min() + polygon[0][:, 0].max()) / 2 for polygon in rings]
    return Land(
        lon1_deg=starts[:, 0],
        lon2_deg=ends[:, 0],
        y1=mercator_y(starts[:, 1]),
        y2=mercator_y(ends[:, 1]),
        polygon=np.array(number, np.int64),
        middle_deg=np.array(middles),
    )


def mercator_y(lat_deg: Degrees) -> Array:
    """Height above the equator on a Mercator chart, in degrees of the equator.

    Source: [bowditch]
    """
    return np.asarray(np.degrees(isometric_latitude(np.radians(lat_deg), WGS84)))


def latitude_at(y_deg: Degrees) -> Array:
    """The latitude in degrees drawn at a height on a Mercator chart; turns `mercator_y` round to a millionth of a second.

    Source: [bowditch]
    """
    wanted, e = np.radians(y_deg), WGS84.eccentricity
    phi = np.arctan(np.sinh(wanted))
    for _ in range(6):  # each turn wins two and a half figures
        phi = np.arctan(np.sinh(wanted + e * np.arctanh(e * np.sin(phi))))
    return np.asarray(np.degrees(phi))


def on_land(lat_deg: Array, lon_deg: Array, land: Land) -> Flags:
    """Whether points `[point]` lie inside a polygon and in none of its holes.

    Source: [practice]
    """
    lat, lon = np.asarray(lat_deg, float), _along(lon_deg)
    y, found = mercator_y(lat), np.zeros(lat.shape, bool)
    if not land.polygon.size:
        return found
    x1, x2 = land.sides_about(float(lon[0]))
    for part in _parts(lat.size, x1.size):
        here_y, here_x = y[part, None], lon[part, None]
        spans = (land.y1 > here_y) != (land.y2 > here_y)
        with np.errstate(divide="ignore", invalid="ignore"):
            meets = x1 + (here_y - land.y1) / (land.y2 - land.y1) * (x2 - x1)
        east = spans & (meets > here_x)
        for row, crossed in zip(range(part.start, part.stop), east, strict=True):
            found[row] = bool((np.bincount(land.polygon[crossed]) % 2).any())
    return found


def nearest_shore(lat_deg: Array, lon_deg: Array, land: Land) -> tuple[Array, Array]:
    """Distance in metres from points `[point]` to the nearest shore and the bearing in degrees [0, 360) of it; on land 0 and NaN.

    The place is found on the Mercator chart, where a mile grows by 1 % in some 30 miles to the pole in middle
    latitudes: of two shores nearly alike the farther may be taken, never a nearer one than there is. NaN without
    land.

    Source: [bowditch]
    """
    lat, lon = np.asarray(lat_deg, float), _along(lon_deg)
    if not land.polygon.size:
        return np.full(lat.shape, np.nan), np.full(lat.shape, np.nan)
    x1, x2 = land.sides_about(float(lon[0]))
    y, foot = mercator_y(lat), np.empty((2, lat.size))
    side_x, side_y = x2 - x1, land.y2 - land.y1
    square = np.where((side_x != 0) | (side_y != 0), side_x**2 + side_y**2, 1.0)
    for part in _parts(lat.size, x1.size):
        off_x, off_y = lon[part, None] - x1, y[part, None] - land.y1
        share = np.clip((off_x * side_x + off_y * side_y) / square, 0.0, 1.0)
        nearest = ((off_x - share * side_x) ** 2 + (off_y - share * side_y) ** 2).argmin(axis=-1)
        taken = np.take_along_axis(share, nearest[:, None], axis=-1)[:, 0]
        foot[:, part] = x1[nearest] + taken * side_x[nearest], land.y1[nearest] + taken * side_y[nearest]
    off = np.asarray(distance_m(lat, lon, latitude_at(foot[1]), foot[0]))
    bearing = np.degrees(np.arctan2(foot[0] - lon, foot[1] - y)) % 360.0
    ashore = on_land(lat, lon, land)
    return np.where(ashore, 0.0, off), np.where(ashore, np.nan, bearing)


def edge_distance(lat_deg: Array, lon_deg: Array, area: Box) -> Array:
    """Distance in metres from points `[point]` to the edge of an area (west, south, east, north in degrees).

    0 outside it. Due north, south, east and west are looked at: never more than it is by half a part in a hundred
    for areas below a thousand miles.

    Source: [andoyer]
    """
    west, south, east, north = area
    lat, lon = np.asarray(lat_deg, float), np.asarray(lon_deg, float)
    lon = west + (lon - west) % 360.0
    inside = (lat >= south) & (lat <= north) & (lon <= east)
    ways = [np.asarray(distance_m(lat, lon, np.full(lat.shape, edge), lon)) for edge in (south, north)]
    if east - west < 360.0:
        ways += [np.asarray(distance_m(lat, lon, lat, np.full(lat.shape, edge))) for edge in (west, east)]
    return np.where(inside, np.min(ways, axis=0), 0.0)


def meets_land(lat_deg: Array, lon_deg: Array, land: Land) -> tuple[Flags, Array, Array]:
    """Whether each step between nodes `[node]` meets land, and the latitude and longitude where it first does.

    `[step]`; NaN where it does not. A step that begins on land meets it there; touching a corner counts. Steps are
    rhumb lines: cut a geodesic into short ones before.

    Source: [practice]
    """
    lat, lon = np.asarray(lat_deg, float), _along(lon_deg)
    y, steps = mercator_y(lat), lat.size - 1
    first = np.full(steps, np.inf)
    if land.polygon.size:
        x1, x2 = land.sides_about(float(lon[0]))
        for part in _parts(steps, x1.size):
            ends = slice(part.start + 1, part.stop + 1)
            first[part] = _first_crossing((lon[part], y[part]), (lon[ends], y[ends]), (x1, land.y1), (x2, land.y2))
        first = np.where(on_land(lat[:-1], lon[:-1], land), 0.0, first)
    met = np.isfinite(first)
    share = np.where(met, first, np.nan)
    at_y = y[:-1] + share * np.diff(y)
    return met, latitude_at(at_y), wrapped(lon[:-1] + share * np.diff(lon))


def clipped(x_deg: Array, y_deg: Array, box: Box) -> tuple[Array, Array]:
    """The part of a closed ring inside a box (west, south, east, north), all on one chart; empty where none.

    Parts that hang together only along the edge of the box stay one ring, as a fill needs it.

    Source: [sutherland-hodgman]
    """
    west, south, east, north = box
    ring = (np.asarray(x_deg, float), np.asarray(y_deg, float))
    for axis, edge, sign in ((0, west, 1), (0, east, -1), (1, south, 1), (1, north, -1)):
        if ring[0].size:
            ring = _cut_at(ring, axis, edge, sign * (ring[axis] - edge) >= 0)
    return ring


def _cut_at(ring: tuple[Array, Array], axis: int, edge: float, inside: Flags) -> tuple[Array, Array]:
    out: list[tuple[float, float]] = []
    before = np.roll(np.arange(inside.size), 1)
    for here, last in enumerate(before):
        if inside[here] != inside[last]:
            part = (edge - ring[axis][last]) / (ring[axis][here] - ring[axis][last])
            across = [ring[k][last] + part * (ring[k][here] - ring[k][last]) for k in (0, 1)]
            across[axis] = edge
            out.append((float(across[0]), float(across[1])))
        if inside[here]:
            out.append((float(ring[0][here]), float(ring[1][here])))
    found = np.array(out).reshape(-1, 2)
    return found[:, 0], found[:, 1]


def _first_crossing(
    start: tuple[Array, Array], end: tuple[Array, Array], side1: tuple[Array, Array], side2: tuple[Array, Array]
) -> Array:
    """Share of each step `[step]` at which it first meets one of the sides `[side]`; infinite where it meets none."""
    go_x, go_y = (end[0] - start[0])[:, None], (end[1] - start[1])[:, None]
    side_x, side_y = side2[0] - side1[0], side2[1] - side1[1]
    off_x, off_y = side1[0] - start[0][:, None], side1[1] - start[1][:, None]
    turn = go_x * side_y - go_y * side_x
    with np.errstate(divide="ignore", invalid="ignore"):
        along, across = (off_x * side_y - off_y * side_x) / turn, (off_x * go_y - off_y * go_x) / turn
    meets = (turn != 0) & (along >= 0) & (along <= 1) & (across >= 0) & (across <= 1)
    return np.asarray(np.where(meets, along, np.inf).min(axis=-1))


def _unwrapped(polygon: Sequence[Ring]) -> list[Ring]:
    """Rings with longitudes that run on, holes on the same turn of the globe as their outer ring."""
    rings: list[Ring] = []
    for ring in polygon:
        lon, lat = np.asarray(ring, float).T
        if not np.isfinite(ring).all():
            raise ValueError("a position is not known")
        if (np.abs(lat) > NORTHMOST_DEG).any():
            raise ValueError(f"it reaches beyond {NORTHMOST_DEG:.0f}° of latitude, where no Mercator chart goes")
        east = np.concatenate([[0.0], np.cumsum(wrapped(np.diff(lon)))])
        if abs(east[-1]) > 180.0:
            raise ValueError("it goes round a pole")
        about = float(rings[0][:, 0].min() + rings[0][:, 0].max()) / 2 if rings else 0.0
        rings.append(np.column_stack([about + float(wrapped(lon[0] - about)) + east, lat]))
    return rings


def _along(lon_deg: Array) -> Array:
    """Longitudes that run on from point to point."""
    lon = np.asarray(lon_deg, float)
    return np.asarray(lon[0] + np.concatenate([[0.0], np.cumsum(wrapped(np.diff(lon)))]))


def _parts(points: int, sides: int) -> Iterator[slice]:
    size = max(1, AT_ONCE // max(sides, 1))
    return (slice(start, min(start + size, points)) for start in range(0, points, size))
