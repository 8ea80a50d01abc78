"""The columns that a table of high and low waters and a series of heights have in common: a time and a height."""

import re
from itertools import pairwise

from readiness.feeds.tide_clock import Written, moment, month_comes_first, read_written, zone_in_header
from readiness.feeds.tide_sheet import Sheet, numbers, refuse, shown
from readiness.feeds.tide_station import UNITS, StationNotes

HIGHEST_M = 30.0
_HEIGHT = re.compile(r"height(?:_(m|cm|mm|ft))?(?:_above_(\w{1,40}))?", re.ASCII)
_TIME_NAMES = re.compile(
    r"(?:utc|at|(?:local_(?:wall_)?)?time(?:_[a-z]+)?(?:_utc(?:plus|minus)\d{1,2})?|date_?time)", re.ASCII
)


def is_timed_height(header: tuple[str, ...]) -> bool:
    """Whether these column names hold a time and a height."""
    return any(_TIME_NAMES.fullmatch(name) for name in header) and any(_HEIGHT.fullmatch(name) for name in header)


def time_column(header: tuple[str, ...]) -> str:
    """The column on UTC where there is one, else one on a fixed zone, else the first."""
    times = [name for name in header if _TIME_NAMES.fullmatch(name)]
    ranked = sorted(times, key=lambda name: (not name.endswith("utc"), zone_in_header(name) is None))
    return ranked[0]


def height_column(header: tuple[str, ...]) -> str:
    """The first column of heights."""
    return next(name for name in header if _HEIGHT.fullmatch(name))


def unit_and_datum(column: str, notes: StationNotes) -> tuple[str, str | None]:
    """By the column's name, else by the station file; None: no datum is stated. Raises BadInput."""
    match = _HEIGHT.fullmatch(column)
    in_header, above = (match[1], match[2]) if match else (None, None)
    unit = in_header or notes.unit
    if unit is None:
        raise refuse(
            "Are these metres, centimetres or feet? Head the column height_m, height_cm or height_ft.", 1, column
        )
    above = above.upper().replace("_", " ") if above else None
    if above and notes.datum and above != notes.datum.upper():
        raise refuse(f"The heights are above {above}, the station file's datum is {notes.datum}.", 1, column)
    return unit, notes.datum or above


def heights(sheet: Sheet, column: str, unit: str, *, may_be_blank: bool = False) -> list[float]:
    """Metres, NaN for a blank one that may be. Raises BadInput."""
    metres = [value * UNITS[unit] for value in numbers(sheet, column, may_be_blank=may_be_blank)]
    for row, height in zip(sheet.rows, metres, strict=True):
        if abs(height) > HIGHEST_M:
            raise refuse(f"A height of {height:.1f} m is no tide; is the unit right?", row.line, column)
    return metres


def moments(sheet: Sheet, column: str, notes: StationNotes) -> list[float | None]:
    """UTC of each row, in order of time; None for a wall time that came twice."""
    place = sheet.place(column)
    written = [read_written(row, row.cells[place], column) for row in sheet.rows]
    month_first = month_comes_first(written, notes.date_order, column)
    zone = zone_in_header(column) or notes.zone
    at = [moment(each, zone, column, month_first=month_first) for each in written]
    settled = [(when, each) for when, each in zip(at, written, strict=True) if when is not None]
    for (before, _), (after, each) in pairwise(settled):
        if after <= before:
            raise refuse(f"{shown(each.text)} does not come after the time above it.", each.row.line, column)
    return at


def zone_words(column: str, sheet: Sheet, notes: StationNotes) -> str:
    """The zone of the times as it is shown."""
    if zone := zone_in_header(column):
        return str(zone)
    first = read_written(sheet.rows[0], sheet.rows[0].cells[sheet.place(column)], column)
    return _offset_words(first) or notes.zone_name or "as each row says"


def _offset_words(written: Written) -> str | None:
    return "UTC" if written.offset in ("Z", "z") else written.offset
