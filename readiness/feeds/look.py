"""What a file holds, before anything of it is taken in.

The kind is told from the content, never from the name. Nothing is stored and nothing is fetched.
"""

import re
from collections.abc import Callable

import numpy as np

from readiness.calc.track import distance_m
from readiness.feeds.forecast_csv import is_forecast_header
from readiness.feeds.forecast_text import is_bulletin
from readiness.feeds.gpx import GpxRoute, read_route
from readiness.feeds.grib_sections import LONGEST_HEADING, MOST_BYTES
from readiness.feeds.look_forecast import look_at_bulletin, look_at_forecast_table, look_at_grib
from readiness.feeds.look_record import Look, Part, extent_of
from readiness.feeds.look_stream import look_at_stream_table
from readiness.feeds.look_tide import look_at_constants, look_at_differences, look_at_high_low, look_at_observations
from readiness.feeds.stream_table import is_stream_header
from readiness.feeds.tide_columns import is_timed_height
from readiness.feeds.tide_constants import is_constants_header
from readiness.feeds.tide_differences import is_differences, is_differences_header
from readiness.feeds.tide_sheet import read_sheet
from readiness.feeds.tide_table import is_high_low_header
from vessel.errors import BadInput

Header = tuple[str, ...]
Looker = Callable[[bytes, str], Look]
MARKS = (b"\xef\xbb\xbf", b"\xff\xfe", b"\xfe\xff")
COMPONENTS = ("VEVENT", "VTODO", "VTIMEZONE", "VALARM")
TAKEN = (
    "a GPX route, a forecast as GRIB, CSV or typed lines, a CSV of tide constants, of high and low waters, of "
    "observed heights, of the differences of a secondary port or of a tidal stream, or a calendar"
)
COLUMNS_TOLD = (
    "constituent, amplitude_m and phase_utc_deg (constants); time_utc, height_m and type (high and low waters), "
    "or without type (observed heights); water, time_min and height_m or height_ratio (differences); time_utc, latitude "
    "and longitude (forecast); or hours_from_hw, set_deg, neaps_kn and springs_kn (tidal stream)"
)


def look_into(data: bytes, name: str) -> Look:
    """What the file holds. Raises BadInput with one sentence when it is of no kind that is known, or damaged."""
    if not data.strip(b"\0 \t\r\n"):
        raise BadInput(f"{name} is empty.")
    if len(data) > MOST_BYTES:
        raise BadInput(f"{name} is longer than {MOST_BYTES // 1_000_000} MB.")
    looker = next((looker for is_it, looker in KINDS if is_it(data)), None)
    if looker is None:
        raise BadInput(f"{name} is not a file that can be read here: it must be {TAKEN}.")
    return looker(data, name)


def is_grib(data: bytes) -> bool:
    """Whether the first bytes are those of a GRIB file, a bulletin heading or padding before it allowed."""
    return b"GRIB" in data[: LONGEST_HEADING + 4].lstrip(b"\0")


def _start(data: bytes) -> bytes:
    """The first characters as ASCII, whatever of the usual encodings the file is in."""
    start = data[:400]
    for mark in MARKS:
        start = start.removeprefix(mark)
    return start.replace(b"\0", b"").lstrip()


def _is_xml(data: bytes) -> bool:
    return _start(data).startswith(b"<")


def _is_calendar(data: bytes) -> bool:
    return _start(data)[:15].upper() == b"BEGIN:VCALENDAR"


def _is_document_of_differences(data: bytes) -> bool:
    return _start(data).startswith(b"{") and is_differences(data)


def _is_text(data: bytes) -> bool:
    # a table may still be refused, but then by a sentence about tables
    return data.startswith(MARKS[1:]) or (b"\0" not in data[:400] and _no_controls(data[:400]))


def _no_controls(start: bytes) -> bool:
    return not re.search(rb"[\x01-\x08\x0e-\x1f]", start)


def _look_at_route(data: bytes, name: str) -> Look:
    file = read_route(data)
    points = [*file.waypoints, *(point for route in file.routes for point in route.points)]
    return Look(
        kind="GPX",
        name=name,
        size=len(data),
        counts={
            "waypoints": len(file.waypoints),
            "routes": len(file.routes),
            "route points": len(points) - len(file.waypoints),
            "tracks": len(file.tracks),
            "track points": sum(map(sum, file.tracks)),
        },
        extent=extent_of(np.array([point.lat for point in points]), np.array([point.lon for point in points])),
        units={"latitude": "deg", "longitude": "deg"},
        parts=tuple(_route(route) for route in file.routes),
        warnings=file.warnings,
        ignored=file.ignored,
    )


def _route(route: GpxRoute) -> Part:
    lat, lon = np.array([(point.lat, point.lon) for point in route.points]).reshape(-1, 2).T
    length = float(np.sum(distance_m(lat[:-1], lon[:-1], lat[1:], lon[1:])))
    return Part(route.name or "route without a name", len(route.points), "points", length_m=length)


def _look_at_calendar(data: bytes, name: str) -> Look:
    text = data.decode("utf-8", "replace")
    begun = re.findall(r"^BEGIN:(\w{1,40})\s*$", text, re.MULTILINE | re.IGNORECASE)
    return Look(
        kind="calendar",
        name=name,
        size=len(data),
        counts={component: sum(each.upper() == component for each in begun) for component in COMPONENTS},
        warnings=("A calendar is recognised but not taken in yet.",),
    )


TABLES: tuple[tuple[Callable[[Header], bool], Looker], ...] = (
    (is_constants_header, look_at_constants),
    (is_high_low_header, look_at_high_low),
    (is_forecast_header, look_at_forecast_table),
    (is_stream_header, look_at_stream_table),
    (is_differences_header, look_at_differences),
    (is_timed_height, look_at_observations),  # last: others have a time and a height too
)


def _look_at_table(data: bytes, name: str) -> Look:
    sheet = read_sheet(data, lambda header: any(is_it(header) for is_it, _ in TABLES), COLUMNS_TOLD)
    return next(looker for is_it, looker in TABLES if is_it(sheet.header))(data, name)


KINDS: tuple[tuple[Callable[[bytes], bool], Looker], ...] = (
    (is_grib, look_at_grib),
    (_is_xml, _look_at_route),
    (_is_calendar, _look_at_calendar),
    (is_bulletin, look_at_bulletin),
    (_is_document_of_differences, look_at_differences),
    (_is_text, _look_at_table),
)
