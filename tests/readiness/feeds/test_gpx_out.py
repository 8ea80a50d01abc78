"""A route out as GPX: the way there and back, the planned times, and what another reader makes of it."""

from datetime import UTC, datetime

import gpxpy
import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.feeds.gpx import GpxPoint, GpxRoute, read_route
from readiness.feeds.gpx_out import write_route
from vessel.errors import BadInput

TEXT = st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs", "Cn"]), max_size=60).map(str.strip)
POINTS = st.builds(GpxPoint, st.floats(-90, 90), st.floats(-180, 180), st.one_of(st.none(), TEXT.filter(bool)))
LEAVES = datetime(2027, 5, 15, 6, 30, tzinfo=UTC)


@given(name=st.one_of(st.none(), TEXT.filter(bool)), points=st.lists(POINTS, max_size=20))
def test_what_was_written_and_read_is_written_again_byte_for_byte(name: str | None, points: list[GpxPoint]) -> None:
    data = write_route(name, points)

    file = read_route(data)

    assert file.version == "1.1"
    assert write_route(file.routes[0].name, file.routes[0].points) == data
    assert [point.name for point in file.routes[0].points] == [point.name for point in points]
    assert all(
        abs(there.lat - here.lat) <= 5e-8 and abs(there.lon - here.lon) <= 5e-8
        for there, here in zip(file.routes[0].points, points, strict=True)
    )


@given(st.lists(st.builds(GpxPoint, st.decimals(-90, 90, places=7).map(float), st.just(-15.0)), max_size=20))
def test_a_position_of_seven_decimals_comes_back_unchanged(points: list[GpxPoint]) -> None:
    assert read_route(write_route("x", points)).routes == (GpxRoute("x", tuple(points)),)


def test_another_reader_finds_names_positions_and_planned_times() -> None:
    points = [
        GpxPoint(46.5, -15.0, "Ostrel Haven"),
        GpxPoint(46.4, -14.123456789),
        GpxPoint(46.5, -13.8, "Lock & quay"),
    ]
    at = LEAVES.timestamp()

    route = gpxpy.parse(write_route("Out <east>", points, times=[at, float("nan"), at + 3600.4])).routes[0]

    assert route.name == "Out <east>"
    assert [point.name for point in route.points] == ["Ostrel Haven", None, "Lock & quay"]
    assert route.points[1].longitude == -14.1234568
    assert [point.time for point in route.points] == [LEAVES, None, LEAVES.replace(hour=7)]


def test_the_time_stands_before_the_name_as_the_schema_wants_it() -> None:
    text = write_route("x", [GpxPoint(1.0, 2.0, "here")], times=[LEAVES.timestamp()]).decode()

    assert text.index("<time>2027-05-15T06:30:00Z</time>") < text.index("<name>here</name>")


def test_nought_has_no_sign() -> None:
    assert b'lat="0.0000000" lon="0.0000000"' in write_route("x", [GpxPoint(-1e-9, -0.0)])


def test_what_gpx_has_no_place_for_is_not_written() -> None:
    with pytest.raises(BadInput, match="is not a coordinate from -90 to 90"):
        write_route("x", [GpxPoint(float("nan"), 0.0)])
    with pytest.raises(BadInput, match="a character that XML has no place for"):
        write_route("bell \x07", [GpxPoint(0.0, 0.0)])
