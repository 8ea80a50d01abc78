"""A series of observed heights in: CSV with a time and a height; blank heights and missing rows are gaps."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from readiness.feeds.tide_columns import (
    height_column,
    heights,
    is_timed_height,
    moments,
    time_column,
    unit_and_datum,
    zone_words,
)
from readiness.feeds.tide_sheet import Source, read_sheet
from readiness.feeds.tide_station import StationNotes, station_notes
from vessel.units import Array

NEEDS = "time_utc and height_m"


@dataclass(frozen=True, slots=True, eq=False)
class SeriesFile:
    """Heights in metres above `datum` (None: not stated) at times in order; NaN where the row has no height."""

    at: Array
    height_m: Array
    datum: str | None
    zone: str
    unit: str
    rows: int
    notes: StationNotes


def read_series(source: Source, station: Mapping[str, object] | None = None) -> SeriesFile:
    """Columns as those of a table of high and low waters, without the type. Raises BadInput."""
    notes = station_notes(station)
    sheet = read_sheet(source, is_timed_height, NEEDS)
    time, height = time_column(sheet.header), height_column(sheet.header)
    unit, datum = unit_and_datum(height, notes)
    at = moments(sheet, time, notes)
    metres = heights(sheet, height, unit, may_be_blank=True)
    kept = [i for i, when in enumerate(at) if when is not None]
    return SeriesFile(
        at=np.array([at[i] for i in kept], float),
        height_m=np.array([metres[i] for i in kept], float),
        datum=datum,
        zone=zone_words(time, sheet, notes),
        unit=unit,
        rows=len(sheet.rows),
        notes=notes,
    )
