"""Coastlines as GeoJSON: what is read, what is refused and by which path."""

import json
from typing import Any

import numpy as np
import pytest

from readiness.feeds.coastline import COASTLINE, MOST_BYTES, MOST_POINTS, MOST_POLYGONS, Area, CoastFile, read_coastline
from vessel.errors import BadInput

SQUARE = [[-15.0, 46.0], [-14.0, 46.0], [-14.0, 46.5], [-15.0, 46.5], [-15.0, 46.0]]
HOLE = [[-14.8, 46.1], [-14.2, 46.1], [-14.2, 46.4], [-14.8, 46.4], [-14.8, 46.1]]


def polygon(*rings: Any) -> dict[str, Any]:
    return {"type": "Polygon", "coordinates": list(rings)}


def collection(*geometries: Any, **more: Any) -> dict[str, Any]:
    features = [{"type": "Feature", "properties": {"name": "x"}, "geometry": geometry} for geometry in geometries]
    return {"type": "FeatureCollection", "features": features, **more}


def read(document: object) -> CoastFile:
    return read_coastline(json.dumps(document).encode())


def test_polygons_holes_area_and_what_was_left_out() -> None:
    line = {"type": "LineString", "coordinates": [[0, 0], [1, 1]]}
    several = {"type": "MultiPolygon", "coordinates": [[SQUARE], [SQUARE]]}

    file = read(collection(polygon(SQUARE, HOLE), several, line, None, bbox=[-16, 45, -13, 47]))

    assert [len(rings) for rings in file.polygons] == [2, 1, 1]
    np.testing.assert_array_equal(file.polygons[0][1], HOLE)
    assert file.area == Area(45.0, -16.0, 47.0, -13.0)
    assert file.points == 20
    assert file.warnings == ()
    assert file.ignored == ("LineString: 1", "feature without geometry: 1")


def test_without_an_area_the_box_around_its_land_is_taken_and_said() -> None:
    file = read(polygon(SQUARE))

    assert file.area == Area(46.0, -15.0, 46.5, -14.0)
    assert file.warnings == ("The file does not say which area it covers (bbox): taken is the box around its land.",)


@pytest.mark.parametrize(
    "document",
    [
        polygon(SQUARE),
        {"type": "Feature", "geometry": polygon(SQUARE), "properties": None},
        {"type": "GeometryCollection", "geometries": [polygon(SQUARE)]},
        collection({"type": "GeometryCollection", "geometries": [polygon(SQUARE)]}),
        collection(polygon([[*position, 3.5] for position in SQUARE])),
        collection(polygon(SQUARE), crs={"type": "name", "properties": {"name": "urn:ogc:def:crs:OGC:1.3:CRS84"}}),
        collection(polygon(SQUARE), crs=None),
    ],
)
def test_every_shape_of_the_standard_is_read(document: dict[str, Any]) -> None:
    assert len(read(document).polygons) == 1


@pytest.mark.parametrize(
    ("bbox", "area"),
    [
        ([179, -1, -179, 1], Area(-1.0, 179.0, 1.0, 181.0)),
        ([-16, 45, 0, -13, 47, 0], Area(45.0, -16.0, 47.0, -13.0)),
        ([-180, -90, 180, 90], Area(-85.0, -180.0, 85.0, 180.0)),
    ],
)
def test_an_area_over_the_date_line_with_heights_or_of_the_whole_globe(bbox: list[float], area: Area) -> None:
    assert read(collection(polygon(SQUARE), bbox=bbox)).area == area


def test_land_over_the_date_line_has_its_box_there() -> None:
    file = read(polygon([[179.5, 10], [-179.5, 10], [-179.5, 11], [179.5, 11], [179.5, 10]]))

    assert file.area == Area(10.0, 179.5, 11.0, 180.5)


@pytest.mark.parametrize(
    ("document", "said"),
    [
        ([], "this is not GeoJSON"),
        ({"type": "Topology"}, "this is not GeoJSON"),
        (collection(), "holds no polygon of land"),
        (collection({"type": "Point", "coordinates": [1, 1]}), "holds no polygon of land"),
        (collection(polygon(SQUARE), polygon()), "features[1].geometry.coordinates: a polygon without a ring"),
        (polygon(SQUARE[:-1]), "coordinates[0]: a ring has at least four positions, the last the same as the first"),
        (polygon(SQUARE[:2]), "coordinates[0]: a ring has at least four positions"),
        (collection(polygon([[-15, 46], ["x", 46]])), "features[0].geometry.coordinates[0][1][0]"),
        (collection(polygon([[-15, 46], [3]])), "features[0].geometry.coordinates[0][1]"),
        (polygon([[0, 0], [190, 0], [0, 1], [0, 0]]), "coordinates[0][1]: longitude 190 is not from -180 to 180"),
        (polygon([[0, 0], [1, 91], [0, 1], [0, 0]]), "coordinates[0][1]: latitude 91 is not from -90 to 90"),
        (polygon([[0, 84], [1, 86], [0, 85], [0, 84]]), "beyond 85° of latitude"),
        (polygon([[0, 80], [120, 80], [-120, 80], [0, 80]]), "it goes round a pole"),
        (collection(polygon(SQUARE), bbox=[1, 2, 3]), "bbox: an area has four figures"),
        (collection(polygon(SQUARE), bbox=[1, 3, 2, 2]), "is not an area"),
        (collection(polygon(SQUARE), crs={"name": "EPSG:3857"}), "crs: only positions on WGS 84 are read"),
    ],
)
def test_what_is_no_coastline_is_refused_by_its_path(document: object, said: str) -> None:
    with pytest.raises(BadInput) as refused:
        read(document)

    assert said in str(refused.value)
    assert str(refused.value).endswith("Nothing was taken in.")


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "not sound JSON"),
        (b'{"type": "Polygon", "coordinates": [[[1, NaN]]]}', "not sound JSON"),
        (b'{"type": "Polygon", "coordinates": [[[1, 1e999]]]}', "Nothing was taken in"),
        ('{"type": "Polygon"}'.encode("utf-16"), "not sound JSON"),
        (b'{"type":"Feature","geometry":null,"properties":' + b"[" * 100_000, "Nothing was taken in"),
        (b'{"type":"Polygon","coordinates":' + b"[" * 100_000, "Nothing was taken in"),
        (b" " * (MOST_BYTES + 1), "longer than 20 MB"),
    ],
    ids=["empty", "NaN", "too large a number", "UTF-16", "deep properties", "deep coordinates", "long"],
)
def test_hostile_bytes_are_refused_in_a_sentence(data: bytes, said: str) -> None:
    with pytest.raises(BadInput, match=said):
        read_coastline(data)


def test_so_many_polygons_and_points_and_no_more() -> None:
    triangle = [[[0, 0], [1, 0], [1, 1], [0, 0]]]
    ring = [[0, 0], *([[1, 1]] * (MOST_POINTS - 2)), [0, 0]]

    assert len(read({"type": "MultiPolygon", "coordinates": [triangle] * MOST_POLYGONS}).polygons) == MOST_POLYGONS
    assert read(polygon(ring)).points == MOST_POINTS
    with pytest.raises(BadInput, match="more than 20,000 polygons"):
        read({"type": "MultiPolygon", "coordinates": [triangle] * (MOST_POLYGONS + 1)})
    with pytest.raises(BadInput, match="200,000 points"):
        read(polygon([[0, 0], *ring]))


def test_the_limited_process_reads_the_same() -> None:
    data = json.dumps(collection(polygon(SQUARE, HOLE), bbox=[-16, 45, -13, 47])).encode()

    here, there = read_coastline(data), COASTLINE(data)

    assert (here.area, here.points, here.warnings) == (there.area, there.points, there.warnings)
    for one, other in zip(here.polygons[0], there.polygons[0], strict=True):
        np.testing.assert_array_equal(one, other)


def test_the_limited_process_refuses_by_the_path_too() -> None:
    with pytest.raises(BadInput, match="latitude 91"):
        COASTLINE(json.dumps(polygon([[0, 0], [1, 91], [0, 1], [0, 0]])).encode())
