"""Coastlines as GeoJSON: polygons of land, with the area in which all land is drawn.

The file is a stranger: limits on bytes, polygons and points; whatever is refused is named by its path. Only polygons
are taken; other geometries are counted and left out.

Source of the format: [rfc7946].
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated

import msgspec
import numpy as np
from numpy.typing import NDArray

from readiness.calc.coast import NORTHMOST_DEG, land_of
from vessel.calc.wording import one_line
from vessel.errors import BadInput
from vessel.feeds.limited import Reader

MOST_BYTES = 20_000_000
MOST_POLYGONS = 20_000
MOST_POINTS = 200_000
LEAST_OF_A_RING = 4  # three corners and the first again
NOTHING = "Nothing was taken in."
KNOWN_SYSTEMS = ("CRS84", "4326")

Position = Annotated[list[float], msgspec.Meta(min_length=2, max_length=4)]
Rings = list[list[Position]]


class Polygon(msgspec.Struct, tag_field="type", tag="Polygon"):
    """One polygon."""

    coordinates: Rings


class MultiPolygon(msgspec.Struct, tag_field="type", tag="MultiPolygon"):
    """Several polygons."""

    coordinates: list[Rings]


class Point(msgspec.Struct, tag_field="type", tag="Point"):
    """Left out."""


class MultiPoint(msgspec.Struct, tag_field="type", tag="MultiPoint"):
    """Left out."""


class LineString(msgspec.Struct, tag_field="type", tag="LineString"):
    """Left out: a line has no inside."""


class MultiLineString(msgspec.Struct, tag_field="type", tag="MultiLineString"):
    """Left out."""


Geometry = Polygon | MultiPolygon | Point | MultiPoint | LineString | MultiLineString


class GeometryCollection(msgspec.Struct, tag_field="type", tag="GeometryCollection"):
    """Geometries together."""

    geometries: list[Geometry]


class Feature(msgspec.Struct, tag_field="type", tag="Feature"):
    """A geometry with properties, which do not matter here."""

    geometry: Geometry | GeometryCollection | None
    bbox: list[float] | None = None
    crs: msgspec.Raw = msgspec.Raw(b"")


class FeatureCollection(msgspec.Struct, tag_field="type", tag="FeatureCollection"):
    """Features together."""

    features: list[Feature]
    bbox: list[float] | None = None
    crs: msgspec.Raw = msgspec.Raw(b"")


Whole = FeatureCollection | Feature | GeometryCollection | Geometry


@dataclass(frozen=True, slots=True)
class Area:
    """Degrees on WGS 84; `east` runs on past 180 when the area lies across the date line."""

    south: float
    west: float
    north: float
    east: float


@dataclass(frozen=True, slots=True)
class CoastFile:
    """What the file holds: polygons, each its outer ring `[vertex, 2]` and its holes, longitude before latitude."""

    polygons: tuple[tuple[NDArray[np.float64], ...], ...]
    area: Area
    points: int
    warnings: tuple[str, ...] = ()
    ignored: tuple[str, ...] = ()


def read_coastline(data: bytes) -> CoastFile:
    """Read a GeoJSON file of land. Raises BadInput with one sentence that names the path."""
    if len(data) > MOST_BYTES:
        raise BadInput(f"This file is longer than {MOST_BYTES // 1_000_000} MB. {NOTHING}")
    whole = _decoded(data.removeprefix(b"\xef\xbb\xbf"))
    _check_system(getattr(whole, "crs", b""))
    ignored: Counter[str] = Counter()
    polygons: list[tuple[NDArray[np.float64], ...]] = []
    points = 0
    for path, rings in _polygons(whole, ignored):
        points += sum(map(len, rings))
        if len(polygons) >= MOST_POLYGONS or points > MOST_POINTS:
            most = f"{MOST_POLYGONS:,} polygons or {MOST_POINTS:,} points"
            raise BadInput(f"{path}: the file holds more than {most}. Cut it to your coast. {NOTHING}")
        polygons.append(_checked(path, rings))
    if not polygons:
        raise BadInput(f"The file holds no polygon of land. {NOTHING}")
    area, warnings = _area(getattr(whole, "bbox", None), polygons)
    told = tuple(f"{name}: {count}" for name, count in sorted(ignored.items()))
    return CoastFile(tuple(polygons), area, points, warnings, told)


def _decoded(data: bytes) -> Whole:
    try:
        whole: Whole = msgspec.json.decode(data, type=Whole)
    except msgspec.ValidationError as error:
        reason, _, path = str(error).partition(" - at `")
        where = path.rstrip("`").removeprefix("$.").removeprefix("$") or "The file"
        raise BadInput(f"{where}: this is not GeoJSON ({one_line(reason[:120])}). {NOTHING}") from error
    except (msgspec.DecodeError, UnicodeDecodeError) as error:
        raise BadInput(f"This is not sound JSON ({one_line(str(error)[:120])}). {NOTHING}") from error
    except RecursionError as error:
        raise BadInput(f"The file is nested too deep. {NOTHING}") from error
    return whole


def _check_system(crs: msgspec.Raw | bytes) -> None:
    text = bytes(crs).decode("utf-8", "replace")
    if text not in {"", "null"} and not any(known in text for known in KNOWN_SYSTEMS):
        raise BadInput(f"crs: only positions on WGS 84 are read, not {text[:80]}. {NOTHING}")


def _polygons(whole: Whole, ignored: Counter[str]) -> Iterator[tuple[str, Rings]]:
    """Each polygon with its path."""
    if isinstance(whole, FeatureCollection):
        for index, feature in enumerate(whole.features):
            yield from _of_geometry(f"features[{index}].geometry", feature.geometry, ignored)
    elif isinstance(whole, Feature):
        yield from _of_geometry("geometry", whole.geometry, ignored)
    else:
        yield from _of_geometry("", whole, ignored)


def _of_geometry(
    path: str, geometry: Geometry | GeometryCollection | None, ignored: Counter[str]
) -> Iterator[tuple[str, Rings]]:
    above = f"{path}." if path else ""
    if isinstance(geometry, GeometryCollection):
        for index, one in enumerate(geometry.geometries):
            yield from _of_geometry(f"{above}geometries[{index}]", one, ignored)
    elif isinstance(geometry, Polygon):
        yield f"{above}coordinates", geometry.coordinates
    elif isinstance(geometry, MultiPolygon):
        for index, rings in enumerate(geometry.coordinates):
            yield f"{above}coordinates[{index}]", rings
    else:
        ignored[type(geometry).__name__ if geometry is not None else "feature without geometry"] += 1


def _checked(path: str, rings: Rings) -> tuple[NDArray[np.float64], ...]:
    if not rings:
        raise BadInput(f"{path}: a polygon without a ring. {NOTHING}")
    arrays = tuple(_ring(f"{path}[{index}]", ring) for index, ring in enumerate(rings))
    try:
        land_of([arrays])
    except ValueError as error:
        raise BadInput(f"{path}: this polygon cannot be taken: {error}. {NOTHING}") from error
    return arrays


def _ring(path: str, ring: list[Position]) -> NDArray[np.float64]:
    if len(ring) < LEAST_OF_A_RING or ring[0][:2] != ring[-1][:2]:
        raise BadInput(f"{path}: a ring has at least four positions, the last the same as the first. {NOTHING}")
    array = np.array([position[:2] for position in ring])
    for column, what, most in ((0, "longitude", 180.0), (1, "latitude", 90.0)):
        wrong = np.flatnonzero(~(np.abs(array[:, column]) <= most))
        if wrong.size:
            value = array[wrong[0], column]
            raise BadInput(f"{path}[{wrong[0]}]: {what} {value:g} is not from -{most:g} to {most:g}. {NOTHING}")
    return array


def _area(bbox: list[float] | None, polygons: list[tuple[NDArray[np.float64], ...]]) -> tuple[Area, tuple[str, ...]]:
    """The area the file says it covers, or the box around its land, and what to say of it."""
    if bbox is None:
        west, south, east, north = box_of(np.concatenate([polygon[0] for polygon in polygons]))
        said = "The file does not say which area it covers (bbox): taken is the box around its land."
        return Area(south, west, north, east), (said,)
    if len(bbox) not in {4, 6}:
        raise BadInput(f"bbox: an area has four figures: west, south, east, north. {NOTHING}")
    half = len(bbox) // 2
    (west, south), (east, north) = bbox[:2], bbox[half : half + 2]
    east = east + 360.0 if east < west else east
    if not (south < north and west < east <= west + 360.0 and abs(west) <= 180.0):
        raise BadInput(f"bbox: {bbox} is not an area: west, south, east, north in degrees. {NOTHING}")
    return Area(max(south, -NORTHMOST_DEG), west, min(north, NORTHMOST_DEG), east), ()


def box_of(ring: NDArray[np.float64]) -> tuple[float, float, float, float]:
    """West, south, east and north of positions `[position, 2]`; east runs on past 180 across the widest gap."""
    lon = np.unique(ring[:, 0])
    gaps = np.append(np.diff(lon), lon[0] + 360.0 - lon[-1])
    widest = int(gaps.argmax())
    west, east = float(lon[(widest + 1) % lon.size]), float(lon[widest])
    south, north = float(ring[:, 1].min()), float(ring[:, 1].max())
    return west, south, east if east >= west else east + 360.0, north


COASTLINE = Reader(path="readiness.feeds.coastline.read_coastline", gives=CoastFile, what="coastline")
