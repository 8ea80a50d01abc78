"""The differences of a secondary port out of a file: JSON as they are kept, or a CSV sheet as they are printed.

The sheet has a row for each printed figure: `water` (H or L), and any of `clock_utc` (or `clock_utcplus1`) with
`time_min`, `reference_m` with `height_m` (or cm, ft), and `height_ratio`. A blank cell is a figure that row does not give.
"""

import math
import re
from typing import Any

import msgspec

from readiness.calc.tide_secondary import SecondaryPort
from readiness.feeds.tide_clock import standard_offset_h, zone_in_header
from readiness.feeds.tide_constants import STANDARD_TIME_YEAR
from readiness.feeds.tide_sheet import Row, Sheet, Source, bytes_of, numbers, read_sheet, refuse, shown, text_of
from readiness.feeds.tide_station import UNITS
from readiness.feeds.tide_words import is_high
from readiness.rules.tide_differences import port_of
from vessel.units import HOUR, MINUTE

_NEEDS = "water, time_min and height_m (or height_ratio)"
_HEIGHT = re.compile(r"height_(m|cm|mm|ft)")
_LEVEL = re.compile(r"reference_(m|cm|mm|ft)")
_CLOCK = re.compile(r"(\d{2}):?(\d{2})", re.ASCII)
_WATERS = {True: "high", False: "low"}
Document = dict[str, Any]


def read_differences(source: Source) -> Document:
    """The differences as a document that `port_of` takes. Raises BadInput."""
    content = bytes_of(source)
    if text_of(content).lstrip().startswith("{"):
        document = _of_json(content)
    else:
        document = _of_sheet(read_sheet(content, is_differences_header, _NEEDS))
    port_called_for(document)
    return document


def is_differences(source: Source) -> bool:
    """Whether a file looks like differences, so that the right thing can be asked for."""
    text = text_of(bytes_of(source))
    if text.lstrip().startswith("{"):
        return re.search(r'"(form|high_s|low_s)"\s*:', text) is not None
    lines = (line for line in text.splitlines() if line.strip() and not line.startswith("#"))
    names = (re.sub(r"\s+", "_", cell.strip().lower()) for cell in re.split(r"[,;\t]", next(lines, "")))
    return is_differences_header(tuple(names))


def port_called_for(document: Document) -> SecondaryPort:
    """The differences ready for the sum. Raises BadInput where they cannot be meant."""
    try:
        return port_of(document)
    except ValueError as reason:
        raise refuse(str(reason)) from reason


def is_differences_header(header: tuple[str, ...]) -> bool:
    """Whether these column names are those of a sheet of differences."""
    return {"water", "time_min"} <= set(header) and any(_HEIGHT.fullmatch(n) or n == "height_ratio" for n in header)


def _of_json(content: bytes) -> Document:
    try:
        return msgspec.json.decode(text_of(content), type=Document)
    except (msgspec.DecodeError, RecursionError) as reason:
        raise refuse(f"The differences are not JSON that can be read ({reason}).") from reason


def _of_sheet(sheet: Sheet) -> Document:
    waters = [_WATERS[is_high(row, sheet, "water")] for row in sheet.rows]
    late = _scaled(sheet, "time_min", MINUTE)
    ratio = _scaled(sheet, "height_ratio", 1.0)
    more = _metres(sheet, _HEIGHT)
    clock, level = _clock(sheet), _metres(sheet, _LEVEL)
    columns = {"clock_s": clock, "late_s": late, "reference_m": level, "more_m": more}
    if not any(map(math.isfinite, clock + level)):
        return _of_one_row_each(sheet, waters, {"s": late, "ratio": ratio, "m": more})
    if any(map(math.isfinite, ratio)):
        raise refuse("A ratio does not go with differences by columns; give one or the other.", column="height_ratio")
    return {
        "form": "columns",
        "clock_ahead_s": _ahead_s(sheet),
        **{water: _of_water(waters, water, columns) for water in _WATERS.values()},
    }


def _of_one_row_each(sheet: Sheet, waters: list[str], figures: dict[str, list[float]]) -> Document:
    by_ratio = any(map(math.isfinite, figures["ratio"]))
    if by_ratio and any(map(math.isfinite, figures["m"])):
        raise refuse("The heights differ by a ratio or by metres, not by both.", column="height_ratio")
    for i, water in enumerate(waters):
        if water in waters[:i]:
            raise refuse(
                f"There are two rows of {water} water and no clock or height tells them apart.", sheet.rows[i].line
            )
    document: Document = {"form": "ratios" if by_ratio else "single"}
    for i, water in enumerate(waters):
        for unit in ("s", "ratio" if by_ratio else "m"):
            value = figures[unit][i]
            document[f"{water}_{unit}"] = None if math.isnan(value) else value
    return document


def _of_water(waters: list[str], water: str, columns: dict[str, list[float]]) -> dict[str, list[float | None]]:
    """The figures of one water; a difference printed without a clock time or a height of the reference holds at all."""
    answer: dict[str, list[float | None]] = {}
    for place, value in (("clock_s", "late_s"), ("reference_m", "more_m")):
        rows = [i for i, each in enumerate(waters) if each == water and math.isfinite(columns[value][i])]
        single = len(rows) == 1 and math.isnan(columns[place][rows[0]])
        answer[place] = [0.0 if single else _or_none(columns[place][i]) for i in rows]
        answer[value] = [columns[value][i] for i in rows]
    return answer


def _or_none(value: float) -> float | None:
    return None if math.isnan(value) else value


def _scaled(sheet: Sheet, column: str, factor: float) -> list[float]:
    if column not in sheet.header:
        return [math.nan] * len(sheet.rows)
    return [value * factor for value in numbers(sheet, column, may_be_blank=True)]


def _metres(sheet: Sheet, pattern: re.Pattern[str]) -> list[float]:
    name = next((name for name in sheet.header if pattern.fullmatch(name)), "")
    match = pattern.fullmatch(name)
    return _scaled(sheet, name, UNITS[match[1]] if match else 1.0)


def _clock_column(sheet: Sheet) -> str | None:
    return next((name for name in sheet.header if name == "clock" or name.startswith("clock_")), None)


def _clock(sheet: Sheet) -> list[float]:
    column = _clock_column(sheet)
    if column is None:
        return [math.nan] * len(sheet.rows)
    place = sheet.place(column)
    return [_seconds(row, row.cells[place], column) for row in sheet.rows]


def _seconds(row: Row, text: str, column: str) -> float:
    match = _CLOCK.fullmatch(text)
    if text and (match is None or int(match[2]) > 59):
        raise refuse(f"{shown(text)} is not a clock time such as 06:00.", row.line, column)
    return int(match[1]) * HOUR + int(match[2]) * MINUTE if match else math.nan


def _ahead_s(sheet: Sheet) -> float:
    column = _clock_column(sheet)
    if column is None:
        return 0.0
    zone = zone_in_header(column)
    if zone is None:
        raise refuse("Which zone is the clock on? Head the column clock_utc or clock_utcplus1.", 1, column)
    return standard_offset_h(zone, STANDARD_TIME_YEAR) * HOUR
