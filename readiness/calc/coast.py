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
FIRST_LOOK = 1_000  # so many sides tell how far off the nearest shore can be at most
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
    if not lat.size:
        return found
    sides = _about(land, float(lon[0])).within(lon.min(), y.min(), np.inf, y.max())  # a ray to the east meets no others
    for part in _parts(lat.size, sides.x1.size):
        here_y, here_x = y[part, None], lon[part, None]
        spans = (sides.y1 > here_y) != (sides.y2 > here_y)
        with np.errstate(divide="ignore", invalid="ignore"):
            meets = sides.x1 + (here_y - sides.y1) / (sides.y2 - sides.y1) * (sides.x2 - sides.x1)
        east = spans & (meets > here_x)
        for row, crossed in zip(range(part.start, part.stop), east, strict=True):
            found[row] = bool((np.bincount(sides.polygon[crossed]) % 2).any())
    return found


def nearest_shore(lat_deg: Array, lon_deg: Array, land: Land) -> tuple[Array, Array]:
    """Distance in metres from points `[point]` to the nearest shore and the bearing in degrees [0, 360) of it; on land
    0 and NaN.

    The place is found on the Mercator chart, where a mile grows by 1 % in some 30 miles to the pole in middle
    latitudes: of two shores nearly alike the farther may be taken, never a nearer one than there is. NaN without
    land.

    Source: [bowditch]
    """
    lat, lon = np.asarray(lat_deg, float), _along(lon_deg)
    if not land.polygon.size or not lat.size:
        return np.full(lat.shape, np.nan), np.full(lat.shape, np.nan)
    y, sides = mercator_y(lat), _about(land, float(lon[0]))
    reach = float(_feet(lon, y, sides.thinned())[2].max())  # no shore farther off than this is the nearest of any point
    sides = sides.within(lon.min() - reach, y.min() - reach, lon.max() + reach, y.max() + reach)
    foot_x, foot_y, _ = _feet(lon, y, sides)
    off = np.asarray(distance_m(lat, lon, latitude_at(foot_y), foot_x))
    bearing = np.degrees(np.arctan2(foot_x - lon, foot_y - y)) % 360.0
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
    sides = _about(land, float(lon[0])).within(lon.min(), y.min(), lon.max(), y.max())
    if sides.x1.size:
        for part in _parts(steps, sides.x1.size):
            ends = slice(part.start + 1, part.stop + 1)
            first[part] = _first_crossing((lon[part], y[part]), (lon[ends], y[ends]), sides)
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


@dataclass(frozen=True)
class _Sides:
    """Sides near a longitude, on the chart, `[side]`."""

    x1: Array
    y1: Array
    x2: Array
    y2: Array
    polygon: NDArray[np.int64]

    def within(self, west: float, south: float, east: float, north: float) -> "_Sides":
        """Those that may reach into a box."""
        kept = (np.maximum(self.x1, self.x2) >= west) & (np.minimum(self.x1, self.x2) <= east)
        kept &= (np.maximum(self.y1, self.y2) >= south) & (np.minimum(self.y1, self.y2) <= north)
        return self._of(kept)

    def thinned(self) -> "_Sides":
        """A thousand of them or so, from all over."""
        return self._of(slice(None, None, max(1, self.x1.size // FIRST_LOOK)))

    def _of(self, kept: Flags | slice) -> "_Sides":
        return _Sides(self.x1[kept], self.y1[kept], self.x2[kept], self.y2[kept], self.polygon[kept])


def _about(land: Land, lon_deg: float) -> _Sides:
    x1, x2 = land.sides_about(lon_deg)
    return _Sides(x1, land.y1, x2, land.y2, land.polygon)


def _feet(x: Array, y: Array, sides: _Sides) -> tuple[Array, Array, Array]:
    """The point of the sides nearest to each point on the chart, and how far off it is there."""
    foot_x, foot_y = np.empty(x.size), np.empty(x.size)
    go_x, go_y = sides.x2 - sides.x1, sides.y2 - sides.y1
    square = np.where((go_x != 0) | (go_y != 0), go_x**2 + go_y**2, 1.0)
    for part in _parts(x.size, sides.x1.size):
        off_x, off_y = x[part, None] - sides.x1, y[part, None] - sides.y1
        share = np.clip((off_x * go_x + off_y * go_y) / square, 0.0, 1.0)
        nearest = ((off_x - share * go_x) ** 2 + (off_y - share * go_y) ** 2).argmin(axis=-1)
        taken = np.take_along_axis(share, nearest[:, None], axis=-1)[:, 0]
        foot_x[part] = sides.x1[nearest] + taken * go_x[nearest]
        foot_y[part] = sides.y1[nearest] + taken * go_y[nearest]
    return foot_x, foot_y, np.hypot(foot_x - x, foot_y - y)


def _first_crossing(start: tuple[Array, Array], end: tuple[Array, Array], sides: _Sides) -> Array:
    """Share of each step `[step]` at which it first meets one of the sides `[side]`; infinite where it meets none."""
    go_x, go_y = (end[0] - start[0])[:, None], (end[1] - start[1])[:, None]
    side_x, side_y = sides.x2 - sides.x1, sides.y2 - sides.y1
    off_x, off_y = sides.x1 - start[0][:, None], sides.y1 - start[1][:, None]
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
