"""GPX in: what is read, what is refused and in which words."""

import json
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from readiness.calc.track import distance_m
from readiness.feeds.gpx import (
    DEEPEST,
    LONGEST_NAME,
    MOST_BYTES,
    MOST_POINTS,
    GpxPoint,
    GpxRoute,
    read_route,
)
from tests.readiness.feeds.samples import OUTSIDE, tried
from vessel.errors import BadInput

HEAD = b'<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="by hand">'
ROUTE = (
    HEAD
    + b'<wpt lat="50" lon="-4.25"><name>Skarn buoy</name></wpt>'
    + b'<rte><name>Out</name><rtept lat="50.1" lon="-4.5"><name> Ostrel </name><sym>x</sym></rtept>'
    + b'<rtept lat="-0.5" lon="180"/></rte><trk><trkseg><trkpt lat="1" lon="2"/></trkseg><trkseg/></trk></gpx>'
)


def test_waypoints_routes_and_names_are_read_and_tracks_are_counted() -> None:
    file = read_route(ROUTE)

    assert (file.version, file.creator) == ("1.1", "by hand")
    assert file.waypoints == (GpxPoint(50.0, -4.25, "Skarn buoy"),)
    assert file.routes == (GpxRoute("Out", (GpxPoint(50.1, -4.5, "Ostrel"), GpxPoint(-0.5, 180.0))),)
    assert file.tracks == ((1, 0),)
    assert file.lines == (GpxRoute(None, (GpxPoint(1.0, 2.0),)),)
    assert file.ignored == ("sym: 1",)
    assert file.warnings == ("Tracks tell where somebody went, not a plan: counted, not taken in.",)


def test_a_track_keeps_its_name_and_its_segments_joined() -> None:
    two = b'<trkseg><trkpt lat="1" lon="2"><name>x</name></trkpt></trkseg><trkseg><trkpt lat="3" lon="4"/></trkseg>'

    file = read_route(HEAD + b"<trk><name>Home</name>" + two + b"</trk></gpx>")

    assert file.tracks == ((1, 1),)
    assert file.lines == (GpxRoute("Home", (GpxPoint(1.0, 2.0), GpxPoint(3.0, 4.0))),)


def test_version_1_0_and_no_version_are_read_with_a_warning() -> None:
    old = read_route(ROUTE.replace(b"GPX/1/1", b"GPX/1/0").replace(b'"1.1"', b'"1.0"'))
    none = read_route(b'<gpx><rte><rtept lat="1" lon="2"/><rtept lat="1" lon="3"/></rte></gpx>')

    assert old.version == "1.0"
    assert "The file is the older GPX 1.0; it was read as far as the two agree." in old.warnings
    assert none.version is None
    assert none.warnings == ("The file does not say which version of GPX it is; it was read as 1.1.",)
    assert len(none.routes[0].points) == 2


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "iso-8859-1"])
def test_names_survive_the_usual_encodings(encoding: str) -> None:
    said = "utf-8" if encoding == "utf-8-sig" else encoding
    text = (
        f'<?xml version="1.0" encoding="{said}"?><gpx version="1.1"><wpt lat="1" lon="2"><name>Möwe</name></wpt></gpx>'
    )

    file = read_route(text.encode(encoding))

    assert file.waypoints[0].name == "Möwe"


def test_a_name_inside_a_foreign_element_is_not_taken_for_the_route_s_own() -> None:
    inner = b'<extensions xmlns:o="urn:other"><o:rte><o:name>not this</o:name></o:rte></extensions>'
    file = read_route(ROUTE.replace(b"<name>Out</name>", b"<name>Out</name>" + inner))

    assert [route.name for route in file.routes] == ["Out"]


REFUSED = {
    "laughing entities": (
        b'<?xml version="1.0"?>\n<!DOCTYPE l [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;">]>\n<gpx>&b;</gpx>',
        "Line 2: a document type (DTD) is not taken, whatever it says.",
    ),
    "entity of a local file": (
        b'<!DOCTYPE g [<!ENTITY x SYSTEM "file:///etc/passwd">]><gpx><wpt lat="1" lon="1"><name>&x;</name></wpt></gpx>',
        "Line 1: a document type (DTD) is not taken, whatever it says.",
    ),
    "DTD elsewhere": (
        b'<!DOCTYPE gpx SYSTEM "http://example.invalid/gpx.dtd"><gpx/>',
        "Line 1: a document type (DTD) is not taken, whatever it says.",
    ),
    "200,000 deep": (HEAD + b"<a>" * 200_000, f"Line 1: elements are nested more than {DEEPEST} deep."),
    "latitude 91": (HEAD + b'\n<wpt lat="91" lon="1"/></gpx>', "Line 2: latitude '91' is not a number from -90 to 90."),
    "latitude just over": (
        HEAD + b'<wpt lat="90.0001" lon="1"/></gpx>',
        "Line 1: latitude '90.0001' is not a number from -90 to 90.",
    ),
    "longitude 181": (HEAD + b'<wpt lat="1" lon="181"/></gpx>', "Line 1: longitude '181' is not a number"),
    "NaN": (HEAD + b'<wpt lat="NaN" lon="1"/></gpx>', "Line 1: latitude 'NaN' is not a number"),
    "infinite": (HEAD + b'<wpt lat="1" lon="INF"/></gpx>', "Line 1: longitude 'INF' is not a number"),
    "huge": (HEAD + b'<wpt lat="1" lon="1e400"/></gpx>', "Line 1: longitude '1e400' is not a number"),
    "figures of another script": ((HEAD.decode() + '<wpt lat="٤" lon="1"/></gpx>').encode(), "Line 1: latitude '٤'"),
    "underscore": (HEAD + b'<wpt lat="1_0" lon="1"/></gpx>', "Line 1: latitude '1_0'"),
    "no longitude": (HEAD + b'<wpt lat="1"/></gpx>', "Line 1: a point has no longitude."),
    "another version": (b'<gpx version="2.0"/>', "Line 1: this is GPX version '2.0'; 1.1 and 1.0 are read."),
    "not GPX": (b"<html><body>Sign in to the harbour network</body></html>", "Line 1: the file begins with 'html'"),
    "cut short": (ROUTE[:200], "Line 1: this is not sound XML"),
    "empty": (b"", "Line 1: this is not sound XML (no element found)."),
    "UTF-7": (b'<?xml version="1.0" encoding="UTF-7"?><gpx/>', "Line 1: the file"),
    "one endless tag": (
        HEAD + b"<wpt " + b" ".join(b'a%d="1"' % i for i in range(60_000)) + b"/></gpx>",
        "Line 1: a tag or remark is longer than",
    ),
    "names without end": (
        HEAD + b"".join(b"<n%d/>" % i for i in range(2_000)) + b"</gpx>",
        "Line 1: the file uses more than 1,000 different names of elements.",
    ),
    "too many routes": (HEAD + b"<rte/>" * 1_001 + b"</gpx>", "Line 1: the file holds more than 1,000 routes."),
    "too many elements": (
        HEAD + b"<a/>" * 1_000_001 + b"</gpx>",
        "Line 1: the file holds more than 1,000,000 elements.",
    ),
    "too many points": (
        HEAD + b'<wpt lat="1" lon="1"/>' * (MOST_POINTS + 1) + b"</gpx>",
        "Line 1: the file holds more than 100,000 points.",
    ),
    "too long": (b" " * (MOST_BYTES + 1), "This file is longer than 10 MB."),
}


@pytest.mark.parametrize("case", REFUSED)
def test_anything_else_is_refused_in_one_sentence_that_names_the_line(case: str) -> None:
    data, sentence = REFUSED[case]

    with pytest.raises(BadInput) as refusal:
        read_route(data)

    assert str(refusal.value).startswith(sentence)
    assert str(refusal.value).endswith("Nothing was taken in.")
    assert "\n" not in str(refusal.value)


def test_limits_are_kept_to_the_last_one() -> None:
    deep = HEAD + b"<a>" * (DEEPEST - 1) + b"</a>" * (DEEPEST - 1) + b"</gpx>"
    edge = HEAD + b'<wpt lat="90" lon="-180"/><wpt lat="-90" lon="180"/></gpx>'
    many = HEAD + b'<wpt lat="1" lon="1"/>' * MOST_POINTS + b"</gpx>"

    assert read_route(deep).waypoints == ()
    assert [(point.lat, point.lon) for point in read_route(edge).waypoints] == [(90.0, -180.0), (-90.0, 180.0)]
    assert len(read_route(many).waypoints) == MOST_POINTS


def test_a_long_name_is_cut_and_said() -> None:
    file = read_route(ROUTE.replace(b"Out", b"x" * (LONGEST_NAME + 1)))

    assert file.routes[0].name == "x" * LONGEST_NAME
    assert f"Cut to {LONGEST_NAME} characters: 1 name." in file.warnings


def test_a_file_without_a_route_and_a_route_without_points_say_so() -> None:
    assert "The file holds no route." in read_route(HEAD + b"</gpx>").warnings
    assert "A route of fewer than two points leads nowhere." in read_route(HEAD + b"<rte/></gpx>").warnings


@settings(max_examples=300)
@given(st.lists(st.tuples(st.integers(0, len(ROUTE) - 1), st.integers(0, 255)), min_size=1, max_size=6))
def test_a_damaged_file_is_refused_or_still_a_valid_one(changes: list[tuple[int, int]]) -> None:
    data = bytearray(ROUTE)
    for place, value in changes:
        data[place] = value

    file, sentence = tried(read_route, bytes(data))

    assert file is not None or sentence.endswith("Nothing was taken in.")
    points = [*file.waypoints, *(point for route in file.routes for point in route.points)] if file else []
    assert all(abs(point.lat) <= 90 and abs(point.lon) <= 180 for point in points)


EXPECTED = OUTSIDE / "gpx" / "expected.json"
REAL: dict[str, Any] = json.loads(EXPECTED.read_text()) if EXPECTED.is_file() else {}


@pytest.mark.parametrize("name", REAL)
def test_a_real_file_reads_as_other_readers_read_it(name: str) -> None:
    expected = REAL[name]

    file = read_route((OUTSIDE / "gpx" / name).read_bytes())

    assert (file.version, file.creator) == (expected["version"], expected["creator"])
    assert len(file.waypoints) == expected["waypoints"]
    assert [list(segments) for segments in file.tracks] == expected["tracks"]
    assert [(route.name, len(route.points)) for route in file.routes] == [
        (route["name"], route["points"]) for route in expected["routes"]
    ]
    for route, wanted in zip(file.routes, expected["routes"], strict=True):
        lat, lon = np.array([(point.lat, point.lon) for point in route.points]).T
        assert [lat[0], lon[0], lat[-1], lon[-1]] == [*wanted["first"], *wanted["last"]]
        length = np.sum(distance_m(lat[:-1], lon[:-1], lat[1:], lon[1:]))
        assert length == pytest.approx(wanted["length_WGS84_geodesic_m"], rel=3e-6, abs=0.06)
