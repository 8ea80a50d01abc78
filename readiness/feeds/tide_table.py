"""Tide files in: constants of a station, or a printed table of high and low waters, as CSV."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from readiness.calc.tide import Harmonics, TideTable, alternates, form_number, longest_gap_of
from readiness.feeds.tide_columns import (
    height_column,
    heights,
    is_timed_height,
    moments,
    time_column,
    unit_and_datum,
    zone_words,
)
from readiness.feeds.tide_constants import constants_of, is_constants_header
from readiness.feeds.tide_fit_notes import FitNotes
from readiness.feeds.tide_sheet import Sheet, Source, read_sheet, refuse
from readiness.feeds.tide_station import ALWAYS, StationNotes, station_notes
from readiness.feeds.tide_words import is_high
from vessel.units import HOUR

_CONSTANTS_NEED = "constituent, amplitude_m and phase_utc_deg"
_TABLE_NEEDS = "time_utc, height_m and type"
_KIND_NAMES = ("type", "kind")


@dataclass(frozen=True, slots=True, eq=False)
class StationFile:
    """Constants as read; `zone` is the zone the phases were given in, the harmonics' own phases are on UTC.

    `harbour_zone` is the zone people live by there. Heights are above `datum`; None: it is not stated. The level of the
    harmonics is NaN where no file gives it. `valid`: from when until when they hold. `fit`: what the fit left over,
    where they were fitted and not published.
    """

    harmonics: Harmonics
    name: str | None
    datum: str | None
    zone: str
    harbour_zone: str | None
    unit: str
    source: str | None
    form: float
    rows: int
    ignored: tuple[str, ...]
    warnings: tuple[str, ...]
    valid: tuple[float, float] = ALWAYS
    fit: FitNotes | None = None


@dataclass(frozen=True, slots=True, eq=False)
class HighLowFile:
    """A printed table as read; heights in metres above `datum` (None: not stated), `unit` as it stood in the file.

    `longest_gap_s`: how far apart two events may be for the curve between them to be believed.
    """

    table: TideTable
    name: str | None
    datum: str | None
    zone: str
    harbour_zone: str | None
    unit: str
    source: str | None
    longest_gap_s: float
    rows: int
    ignored: tuple[str, ...]
    warnings: tuple[str, ...]
    valid: tuple[float, float] = ALWAYS


def read_constants(source: Source, station: Mapping[str, object] | None = None) -> StationFile:
    """Constants: columns constituent, amplitude_m (cm, ft), phase_utc_deg, and speed_deg_per_h where wanted.

    Phases on another fixed zone are turned to UTC with the speed of each constituent. Raises BadInput.
    """
    sheet = read_sheet(source, is_constants_header, _CONSTANTS_NEED)
    return _constants_file(sheet, station_notes(station))


def read_high_low(source: Source, station: Mapping[str, object] | None = None) -> HighLowFile:
    """High and low waters: a time column, a height column with its unit and a type column of H and L.

    Times: `utc`, `time_utc`, `time_utcplus1`, times with an offset of their own, or wall time in the station's zone. A
    wall time that came twice when the clocks went back is left out with a warning: it may be either. Raises BadInput.
    """
    sheet = read_sheet(source, is_high_low_header, _TABLE_NEEDS)
    return _high_low_file(sheet, station_notes(station))


def read_tide(source: Source, station: Mapping[str, object] | None = None) -> StationFile | HighLowFile:
    """Whichever of the two the columns say it is. Raises BadInput."""
    needed = f"either {_CONSTANTS_NEED}, or {_TABLE_NEEDS} (observed heights: ask for a fit)"
    sheet = read_sheet(source, lambda header: is_constants_header(header) or is_high_low_header(header), needed)
    make = _constants_file if is_constants_header(sheet.header) else _high_low_file
    return make(sheet, station_notes(station))


def _constants_file(sheet: Sheet, notes: StationNotes) -> StationFile:
    read = constants_of(sheet, notes)
    warnings = list(read.warnings)
    if np.isnan(read.harmonics.mean_level_m):
        warnings.append("No file gives the mean level, so heights above a chart datum are not known.")
    elif notes.datum is None:
        warnings.append("The datum of the heights is not stated.")
    return StationFile(
        harmonics=read.harmonics,
        name=notes.name,
        datum=notes.datum,
        zone=read.zone,
        harbour_zone=notes.zone_name,
        unit=read.unit,
        source=notes.source,
        form=float(form_number(read.harmonics)),
        rows=len(sheet.rows),
        ignored=read.ignored,
        warnings=tuple(warnings),
        valid=notes.valid,
    )


def _high_low_file(sheet: Sheet, notes: StationNotes) -> HighLowFile:
    time, height = time_column(sheet.header), height_column(sheet.header)
    unit, datum = unit_and_datum(height, notes)
    at = moments(sheet, time, notes)
    metres = heights(sheet, height, unit)
    high = [is_high(row, sheet, _kind_column(sheet.header)) for row in sheet.rows]
    kept = [i for i, when in enumerate(at) if when is not None]
    if not kept:
        raise refuse("Not one time of the table is settled.", column=time)
    table = TideTable(
        np.array([at[i] for i in kept], float), np.array([metres[i] for i in kept]), np.array([high[i] for i in kept])
    )
    longest = longest_gap_of(notes.form)
    left_out = [sheet.rows[i].line for i in range(len(at)) if at[i] is None]
    return HighLowFile(
        table=table,
        name=notes.name,
        datum=datum,
        zone=zone_words(time, sheet, notes),
        harbour_zone=notes.zone_name,
        unit=unit,
        source=notes.source,
        longest_gap_s=longest,
        rows=len(sheet.rows),
        ignored=tuple(name for name in sheet.header if name and name not in {time, height, _kind_column(sheet.header)}),
        warnings=_doubts(table, left_out, datum, longest),
        valid=notes.valid,
    )


def is_high_low_header(header: tuple[str, ...]) -> bool:
    """Whether these column names are those of a table of high and low waters."""
    return is_timed_height(header) and any(name in _KIND_NAMES for name in header)


def _kind_column(header: tuple[str, ...]) -> str:
    return next(name for name in header if name in _KIND_NAMES)


def _doubts(table: TideTable, left_out: list[int], datum: str | None, longest: float) -> tuple[str, ...]:
    doubts = []
    if left_out:
        lines = ", ".join(map(str, left_out[:5]))
        doubts.append(f"Left out, as the clocks went back and the time came twice: line {lines}.")
    broken = int((~alternates(table)).sum())
    if broken:
        doubts.append(f"{broken} times two events do not follow as high and low; between these nothing is known.")
    long = int((np.diff(table.at) > longest).sum())
    if long:
        doubts.append(f"{long} times the next event is more than {longest / HOUR:.0f} h away.")
    if datum is None:
        doubts.append("The datum of the heights is not stated.")
    return tuple(doubts)
