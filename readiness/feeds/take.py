"""The one door for a file from outside: told by its content, read in a limited process, taken whole or refused.

Pages, the API, feeds and commands come in here; the `read_*` functions behind it are for those who read a file of
their own making.
"""

from collections.abc import Mapping
from typing import Any

from readiness.feeds.forecast import ForecastFile
from readiness.feeds.gpx import GpxFile
from readiness.feeds.look import is_grib
from readiness.feeds.look_record import Look
from readiness.feeds.stream_table import StreamTableFile
from readiness.feeds.take_tide import TideRead
from readiness.feeds.tide_answer import TideFile
from readiness.feeds.tide_differences import Document
from readiness.feeds.tide_series import SeriesFile
from vessel.errors import BadInput
from vessel.feeds.limited import Reader

SMALLER = "ask for a smaller area or fewer times"

ROUTE = Reader("readiness.feeds.gpx.read_route", GpxFile, "GPX file")
GRIB = Reader("readiness.feeds.grib_child.read_forecast", ForecastFile, "GRIB file", advice=SMALLER)
FORECAST = Reader("readiness.feeds.take_forecast.read_written", ForecastFile, "forecast", advice=SMALLER)
TIDE = Reader("readiness.feeds.take_tide.read_either", TideRead, "tide file")
DIFFERENCES: Reader[Document] = Reader("readiness.feeds.tide_differences.read_differences", dict, "file of differences")
SERIES = Reader("readiness.feeds.tide_series.read_series", SeriesFile, "series of observed heights")
STREAM = Reader("readiness.feeds.stream_table.read_stream_table", StreamTableFile, "stream table")
STATION: Reader[dict[str, object]] = Reader("readiness.feeds.tide_station.read_station", dict, "station file")
LOOK = Reader("readiness.feeds.look.look_into", Look, "file")
LOOK_AT_GRIB = Reader("readiness.feeds.grib_child.look_at", Look, "GRIB file", advice=SMALLER)
READERS: tuple[Reader[Any], ...] = (
    ROUTE,
    GRIB,
    FORECAST,
    TIDE,
    DIFFERENCES,
    STATION,
    SERIES,
    STREAM,
    LOOK,
    LOOK_AT_GRIB,
)


def look_at(data: bytes, name: str) -> Look:
    """What a file holds, before anything of it is taken in. Raises BadInput with one sentence."""
    return (LOOK_AT_GRIB if is_grib(data) else LOOK)(data, name=name)


def take_route(data: bytes) -> GpxFile:
    """Routes and waypoints of a GPX file. Raises BadInput naming the line."""
    return ROUTE(data)


def take_forecast(data: bytes, *, source: str) -> ForecastFile:
    """A forecast: GRIB, a table, or lines typed from a bulletin. Raises BadInput naming message, line or column."""
    return (GRIB if is_grib(data) else FORECAST)(data, source=source)


def take_station(data: bytes) -> dict[str, object]:
    """What a station file beside a tide file says, as it stands. Raises BadInput."""
    return STATION(data)


def take_tide(data: bytes, station: Mapping[str, object] | None = None) -> TideFile:
    """Constants or high and low waters, with what a station file beside them says.

    Raises BadInput naming the line; DifferencesGiven for differences, which need the port they are on.
    """
    return TIDE(data, station=dict(station or {})).file


def take_differences(data: bytes) -> Document:
    """The differences of a secondary port as they are kept. Raises BadInput naming the line."""
    return DIFFERENCES(data)


def holds_differences(data: bytes) -> bool:
    """Whether a file that was refused as a tide is one of differences, so that the right thing can be asked for."""
    try:
        return TIDE(data, station={}).are_differences
    except BadInput:
        return False


def take_series(data: bytes, station: Mapping[str, object] | None = None) -> SeriesFile:
    """Observed heights, with what a station file beside them says. Raises BadInput naming the line."""
    return SERIES(data, station=dict(station or {}))


def take_stream_table(data: bytes) -> StreamTableFile:
    """A tidal stream table. Raises BadInput naming the line and the column or note."""
    return STREAM(data)
