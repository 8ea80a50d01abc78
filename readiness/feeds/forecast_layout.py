"""Rows of a forecast table laid out: times and places found among them, each value at its own."""

import math
import re
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from readiness.calc.hole import with_holes
from readiness.feeds.forecast import ForecastFile, Variables
from readiness.feeds.tide_sheet import NOTHING, refuse, shown
from vessel.calc.wording import counted
from vessel.errors import BadInput
from vessel.units import Array, Degrees, Epoch

MOST_NUMBERS = 4_000_000
FIRST_YEAR, LAST_YEAR = 1970, 2199
_TIME = re.compile(r"(\d{4})-(\d\d)-(\d\d)[T ](\d\d):(\d\d)(?::(\d\d))?(?:Z|([+-])(\d\d):(\d\d))?", re.ASCII)
_LOOSE = re.compile(r"\d{1,2}[-/.]\d{1,2}[-/.]\d{2,4}\b.*", re.ASCII | re.DOTALL)
Places = NDArray[np.intp]


def utc(text: str, line: int, column: str) -> float:
    """A time as UTC seconds since 1970; without a zone it is UTC. Raises BadInput, with the question where asked."""
    if _LOOSE.fullmatch(text):
        raise refuse(f"Is {shown(text)} day first or month first? Write 2027-05-14T16:00Z.", line, column)
    match = _TIME.fullmatch(text)
    if not match:
        raise refuse(f"{shown(text)} is not a time such as 2027-05-14T16:00Z.", line, column)
    year, month, day, hour, minute, second = (int(part or 0) for part in match.groups()[:6])
    if not FIRST_YEAR <= year <= LAST_YEAR:
        raise refuse(f"The year {year} lies outside {FIRST_YEAR} to {LAST_YEAR}.", line, column)
    sign, hours, minutes = match.groups()[6:]
    ahead = timedelta(hours=int(hours or 0), minutes=int(minutes or 0)) * (-1 if sign == "-" else 1)
    if abs(ahead) > timedelta(hours=14):
        raise refuse(f"{shown(text)} has no possible zone.", line, column)
    try:
        moment = datetime(year, month, day, hour, minute, second, tzinfo=UTC)
    except ValueError as error:
        raise refuse(f"{shown(text)} does not exist.", line, column) from error
    return (moment - ahead).timestamp()


def lay_out(at: Epoch, lat: Degrees, lon: Degrees, columns: Variables) -> ForecastFile:
    """Rows [row] as a forecast: a grid when every latitude comes with every longitude, else scattered places.

    Where a place has no row for a time it is not known then. Raises BadInput when it would grow too large.
    """
    times, time_of = np.unique(np.asarray(at, float), return_inverse=True)
    shown_times = np.asarray(with_holes(times))
    places, place_of = np.unique(np.column_stack([lat, _turned(np.asarray(lon, float))]), axis=0, return_inverse=True)
    if len(shown_times) * len(places) * max(len(columns), 1) > MOST_NUMBERS:
        raise BadInput(f"The table has too many different times and places; take a smaller part. {NOTHING}")
    row_of = np.searchsorted(shown_times, times)[time_of]
    variables = {
        name: _placed(values, row_of, place_of.ravel(), (len(shown_times), len(places)))
        for name, values in columns.items()
    }
    gaps = len(shown_times) - len(times)
    warning = f"Missing or too far apart: {counted(gaps, 'time')}. Nothing is known in between."
    forecast = ForecastFile(
        kind="csv",
        layout="places",
        source="",
        issued_at=math.nan,
        at=shown_times,
        lat_deg=places[:, 0],
        lon_deg=places[:, 1],
        variables=variables,
        warnings=(warning,) if gaps else (),
    )
    return _as_grid(forecast) or forecast


def _turned(lon: Array) -> Array:
    """Longitudes in one run without a jump: those west of the widest gap count on past 180."""
    west = np.round((lon + 180) % 360 - 180, 9)
    distinct = np.unique(west)
    gaps = np.diff(np.append(distinct, distinct[0] + 360))
    widest = int(np.argmax(gaps))
    return west if widest == len(distinct) - 1 else np.where(west <= distinct[widest], west + 360, west)


def _placed(values: Array, row_of: Places, place_of: Places, shape: tuple[int, int]) -> Array:
    table = np.full(shape, np.nan)
    table[row_of, place_of] = values
    return table


def _as_grid(forecast: ForecastFile) -> ForecastFile | None:
    lat, lon = np.unique(forecast.lat_deg), np.unique(forecast.lon_deg)
    if min(len(lat), len(lon)) < 2 or len(lat) * len(lon) != len(forecast.lat_deg):
        return None
    # np.unique sorted the places by latitude, then longitude: the order of a grid
    shape = (len(forecast.at), len(lat), len(lon))
    variables = {name: values.reshape(shape) for name, values in forecast.variables.items()}
    return replace(forecast, layout="grid", lat_deg=lat, lon_deg=lon, variables=variables)
