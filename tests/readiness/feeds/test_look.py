"""What a file holds: told from its content, whole or refused in one sentence."""

import json
from datetime import UTC, datetime
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from readiness.feeds.look import look_into
from readiness.feeds.look_record import Extent, extent_of
from tests.readiness.feeds.samples import OUTSIDE, grib, message, tried
from vessel.errors import BadInput

GPX = (
    b'<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1"><rte><name>Over the line</name>'
    b'<rtept lat="0" lon="179.5"/><rtept lat="0" lon="-179.5"/></rte></gpx>'
)
FORECAST = (
    b"# issued 2027-05-14T16:00Z\ntime_utc;latitude;longitude;gust_kn;mood\n"
    b"2027-05-14T18:00Z;50,1;-4,2;20;fair\n2027-05-14T19:00Z;50,1;-4,2;;\n"
)
CONSTANTS = b"constituent,amplitude_m,phase_utc_deg\nM2,1.45,153.2\nS2,0.50,201.7\n"
HIGH_LOW = b"time_utc,height_m,type\n2027-05-15 00:10,4.1,H\n2027-05-15 06:20,1.0,L\n2027-05-15 12:35,4.2,H\n"
CALENDAR = (
    b"BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\nSUMMARY:BEGIN:VEVENT\r\nEND:VEVENT\r\n"
    b"BEGIN:VTODO\r\nEND:VTODO\r\nEND:VCALENDAR\r\n"
)
WIND = grib(message("10u", lambda *_: 3.0), message("10v", lambda *_: 4.0), message("rh", lambda *_: 80.0))


def epoch(*when: int) -> float:
    return datetime(*when, tzinfo=UTC).timestamp()  # type: ignore[misc, arg-type]


def test_a_route_tells_its_points_its_length_and_its_area_across_the_date_line() -> None:
    look = look_into(GPX, "line.gpx")

    assert (look.kind, look.name, look.size) == ("GPX", "line.gpx", len(GPX))
    assert look.counts == {"waypoints": 0, "routes": 1, "route points": 2, "tracks": 0, "track points": 0}
    assert look.extent == Extent(0.0, 179.5, 0.0, 180.5)
    assert (look.parts[0].name, look.parts[0].count) == ("Over the line", 2)
    assert look.parts[0].length_m == pytest.approx(111_319.5, abs=0.5)


def test_a_grib_file_tells_every_field_used_or_not() -> None:
    look = look_into(WIND, "wind.bin")

    assert (look.kind, look.counts) == ("GRIB", {"fields": 3, "times": 1})
    assert look.extent == Extent(50.0, -5.0, 51.0, -4.0)
    assert (look.first_at, look.issued_at) == (epoch(2027, 5, 14, 12), epoch(2027, 5, 14, 12))
    assert look.units == {"wind_east_mps": "m/s", "wind_north_mps": "m/s"}
    assert [(part.count, part.unit) for part in look.parts] == [(1, "m s**-1"), (1, "m s**-1"), (1, "%")]
    assert look.ignored == ("r at surface 0: not needed for a passage (1 field)",)


def test_a_grib_file_that_cannot_be_used_is_still_described_and_says_why() -> None:
    look = look_into(grib(message("10u", lambda *_: 3.0)), "half.grb")

    assert look.counts["fields"] == 1
    assert "The east part of the wind is there without the north part" in look.warnings[0]


def test_a_forecast_table_tells_times_places_units_and_what_it_leaves_alone() -> None:
    look = look_into(FORECAST, "friday.csv")

    assert (look.kind, look.counts) == ("forecast table", {"times": 1, "places": 1})
    assert (look.first_at, look.last_at) == (epoch(2027, 5, 14, 18), epoch(2027, 5, 14, 19))
    assert look.issued_at == epoch(2027, 5, 14, 16)
    assert (look.units, look.ignored) == ({"gust_mps": "m/s"}, ("mood",))
    assert (look.parts[0].name, look.parts[0].count) == ("gust", 1)


def test_a_forecast_of_a_wind_without_direction_tells_that_nothing_of_it_is_known() -> None:
    look = look_into(b"time_utc,latitude,longitude,wind_kn\n2027-05-14T18:00Z,50,-4,20\n", "a.csv")

    assert (look.counts, look.units) == ({"times": 0, "places": 1}, {})
    assert "The wind has no column wind_from_deg: the wind is not used." in look.warnings


def test_tide_files_tell_their_kind_rows_and_units() -> None:
    constants, table = look_into(CONSTANTS, "a.csv"), look_into(HIGH_LOW, "b.csv")

    assert (constants.kind, constants.counts) == ("tide constants", {"rows": 2, "constituents": 2})
    assert constants.units == {"amplitude": "m", "phase": "degrees on UTC"}
    assert (table.kind, table.counts) == ("high and low waters", {"rows": 3, "high waters": 2, "low waters": 1})
    assert (table.first_at, table.last_at) == (epoch(2027, 5, 15, 0, 10), epoch(2027, 5, 15, 12, 35))


def test_a_calendar_is_recognised_and_said_to_be_not_taken_in_yet() -> None:
    look = look_into(CALENDAR, "crew.ics")

    assert (look.kind, look.counts) == ("calendar", {"VEVENT": 1, "VTODO": 1, "VTIMEZONE": 0, "VALARM": 0})
    assert look.warnings == ("A calendar is recognised but not taken in yet.",)


@pytest.mark.parametrize(
    ("data", "kind"), [(GPX, "GPX"), (WIND, "GRIB"), (CONSTANTS, "tide constants"), (CALENDAR, "calendar")]
)
def test_the_name_never_decides(data: bytes, kind: str) -> None:
    assert look_into(data, "photo.jpg").kind == kind


REFUSED = {
    "nothing": (b"", "it.x is empty."),
    "blank": (b" \n\0\n", "it.x is empty."),
    "a picture": (
        b"\x89PNG\r\n\x1a\n" + bytes(100),
        "it.x is not a file that can be read here: it must be a GPX route,",
    ),
    "an archive": (b"PK\x03\x04" + bytes(100), "it.x is not a file that can be read here"),
    "a letter": (b"Dear harbour master,\n", "Line 1: The columns constituent, amplitude_m and phase_utc_deg"),
    "a web page": (b"<!DOCTYPE html><html>Sign in</html>", "Line 1: a document type (DTD) is not taken"),
    "a table in UTF-16": ("constituent,amplitude_m\n".encode("utf-16"), "The file is UTF-16; save it as UTF-8"),
    "a broken GRIB": (WIND[:-20], "The GRIB message at byte"),
    "a broken table": (FORECAST.replace(b"20;", b"much;"), "Line 3, column gust_kn: 'much' is not a number"),
    "too long": (b"GRIB" + bytes(25_000_001), "it.x is longer than 25 MB."),
}


@pytest.mark.parametrize("case", REFUSED)
def test_anything_else_gets_one_sentence(case: str) -> None:
    data, sentence = REFUSED[case]

    with pytest.raises(BadInput) as refusal:
        look_into(data, "it.x")

    assert str(refusal.value).startswith(sentence)
    assert "\n" not in str(refusal.value)


@pytest.mark.parametrize("route", [b"<rte/>", b'<rte><rtept lat="1" lon="1"/></rte>'])
def test_a_route_of_one_point_or_none_has_no_length(route: bytes) -> None:
    assert look_into(b'<gpx version="1.1">' + route + b"</gpx>", "x").parts[0].length_m == 0


@pytest.mark.parametrize(
    ("lon", "west", "east"),
    [([-5, -3], -5, -3), ([359, 1], -1, 1), ([179, -179], 179, 181), ([12], 12, 12), ([-180, 180], -180, -180)],
)
def test_the_area_is_the_smallest_that_holds_every_point(lon: list[float], west: float, east: float) -> None:
    points = np.array(lon, float)

    assert extent_of(np.zeros(points.size), points) == Extent(0.0, west, 0.0, east)
    assert extent_of(np.empty(0), np.empty(0)) is None


TEXTS = (GPX, FORECAST, CONSTANTS, HIGH_LOW, CALENDAR)


@settings(max_examples=300, deadline=None)
@given(st.sampled_from(TEXTS), st.lists(st.tuples(st.integers(0, 10_000), st.integers(0, 255)), min_size=1, max_size=5))
def test_a_damaged_file_is_refused_or_described_and_never_anything_else(
    data: bytes, changes: list[tuple[int, int]]
) -> None:
    spoilt = bytearray(data)
    for place, value in changes:
        spoilt[place % len(spoilt)] = value

    look, sentence = tried(lambda content: look_into(content, "it.x"), bytes(spoilt))

    assert (look is None) == bool(sentence)
    assert "\n" not in sentence


EXPECTED = OUTSIDE / "ics" / "expected.json"
CALENDARS: dict[str, Any] = json.loads(EXPECTED.read_text()) if EXPECTED.is_file() else {}


@pytest.mark.parametrize("name", CALENDARS)
def test_a_real_calendar_holds_as_many_components_as_printed(name: str) -> None:
    look = look_into((OUTSIDE / "ics" / name).read_bytes(), name)

    printed = CALENDARS[name]["components"]
    calendars = printed if isinstance(printed, list) else [printed]
    assert look.counts == {key: sum(each[key] for each in calendars) for key in look.counts}
