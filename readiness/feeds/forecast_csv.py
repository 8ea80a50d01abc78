"""A forecast as a plain table: one row for a time and a place, the unit in each column's name.

    # issued 2027-05-14T16:00Z
    time_utc, latitude, longitude, wind_kn, wind_from_deg, gust_kn, wave_height_m
    2027-05-14T18:00Z, 50.1, -4.2, 14, 230, 19, 0.9

A blank cell is not known. Dates are written year first; anything else is asked, never guessed.
"""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import takewhile

import numpy as np

from readiness.feeds.forecast import QUANTITIES, STRONGEST_WIND_MPS, ForecastFile, Variables, believed
from readiness.feeds.forecast_layout import lay_out, utc
from readiness.feeds.tide_sheet import Sheet, read_sheet, refuse, shown, text_of
from vessel.calc.wording import counted
from vessel.units import KNOT, NAUTICAL_MILE, Array

NEEDED = ("time_utc", "latitude", "longitude")
ISSUED = "issued_utc"


@dataclass(frozen=True, slots=True)
class Column:
    """Which quantity a column holds and what one of its units is in SI."""

    quantity: str
    scale: float = 1.0


COLUMNS: Mapping[str, Column] = {
    "wind_kn": Column("wind_mps", KNOT),
    "wind_mps": Column("wind_mps"),
    "wind_from_deg": Column("wind_from_deg"),
    "gust_kn": Column("gust_mps", KNOT),
    "gust_mps": Column("gust_mps"),
    "wave_height_m": Column("wave_height_m"),
    "wave_period_s": Column("wave_period_s"),
    "wave_from_deg": Column("wave_from_deg"),
    "visibility_nmi": Column("visibility_m", NAUTICAL_MILE),
    "visibility_m": Column("visibility_m"),
    "pressure_hpa": Column("pressure_hpa"),
    "air_c": Column("air_c"),
    "sea_c": Column("sea_c"),
}
# A column that begins like one of ours but names another unit must not be lost in silence.
BEGINNINGS = frozenset({"wind", "gust", "wave", "visibility", "pressure", "air", "sea"})

_NUMBER = re.compile(r"[+-]?(\d{1,12}([.,]\d{0,12})?|[.,]\d{1,12})", re.ASCII)
_MAYBE_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}", re.ASCII)
_ISSUED = re.compile(r"#\s*issued[:\s]\s*(.*\S)\s*", re.IGNORECASE)


def read_forecast(data: bytes, *, source: str = "") -> ForecastFile:
    """Read a forecast table. Raises BadInput with one sentence that names line and column."""
    sheet = read_sheet(data, is_forecast_header, ", ".join(NEEDED))
    notes = _notes(data)
    used = _used_columns(sheet, len(notes) + 1)
    comma = _decimal_comma(sheet, (*NEEDED[1:], *used))
    at = np.array([utc(row.cells[sheet.place("time_utc")], row.line, "time_utc") for row in sheet.rows])
    lat = _degrees(sheet, "latitude", -90, 90, comma=comma)
    lon = _degrees(sheet, "longitude", -180, 360, comma=comma)
    _check_repeats(sheet, at, lat, lon)
    issued_at, doubts = _issued_at(notes, sheet)
    variables, losses = in_si(
        {COLUMNS[name].quantity: COLUMNS[name].scale * _numbers(sheet, name, comma=comma) for name in used}
    )
    laid = lay_out(at, lat, lon, variables)
    return believed(
        replace(
            laid,
            source=source,
            issued_at=issued_at,
            warnings=(*doubts, *losses, *laid.warnings),
            ignored=tuple(name for name in sheet.header if name not in {*NEEDED, ISSUED, *used, ""}),
        )
    )


def is_forecast_header(header: tuple[str, ...]) -> bool:
    """Whether a table with these columns is a forecast."""
    return set(NEEDED) <= set(header)


def _notes(data: bytes) -> list[str]:
    """The lines before the header, blank ones too."""
    return list(takewhile(lambda line: not line.strip() or line.startswith("#"), text_of(data).split("\n")))


def _used_columns(sheet: Sheet, line: int) -> tuple[str, ...]:
    """The weather columns present. Raises BadInput for a unit that is not known or a quantity given twice."""
    for name in sheet.header:
        if name not in COLUMNS and name.split("_")[0] in BEGINNINGS:
            choices = ", ".join(known for known in COLUMNS if known.startswith(name.split("_")[0]))
            raise refuse(f"In which unit is {shown(name)}? Call the column one of {choices}.", line, shown(name))
    used = tuple(name for name in sheet.header if name in COLUMNS)
    for name in used:
        twins = [other for other in used if COLUMNS[other].quantity == COLUMNS[name].quantity]
        if len(twins) > 1:
            raise refuse(f"{' and '.join(twins)} give the same quantity twice; keep one.", line, twins[1])
    if not used:
        raise refuse(f"No column holds weather; name one of {', '.join(COLUMNS)}.", line)
    return used


def _decimal_comma(sheet: Sheet, names: tuple[str, ...]) -> bool:
    """Whether numbers have a decimal comma. Raises BadInput with the question where that is not clear."""
    cells = [(row, name, row.cells[sheet.place(name)]) for name in names for row in sheet.rows]
    commas = [each for each in cells if "," in each[2]]
    points = [each for each in cells if "." in each[2]]
    if commas and points:
        (row, name, text), (other, _, point) = commas[0], points[0]
        raise refuse(f"{shown(text)} has a comma, {shown(point)} on line {other.line} a point.", row.line, name)
    if commas and all(_MAYBE_THOUSANDS.fullmatch(text) for _, _, text in commas):
        row, name, text = commas[0]
        what = "a decimal comma or a comma between thousands? Write it with a point."
        raise refuse(f"Is the comma of {shown(text)} {what}", row.line, name)
    return bool(commas)


def _numbers(sheet: Sheet, name: str, *, comma: bool) -> Array:
    place = sheet.place(name)
    return np.array([_number(row.cells[place], row.line, name, comma=comma) for row in sheet.rows])


def _number(text: str, line: int, name: str, *, comma: bool) -> float:
    if not text:
        return math.nan
    if not _NUMBER.fullmatch(text):
        raise refuse(f"{shown(text)} is not a number; leave the cell blank where nothing is known.", line, name)
    return float(text.replace(",", ".") if comma else text)


def _degrees(sheet: Sheet, name: str, least: float, most: float, *, comma: bool) -> Array:
    values = _numbers(sheet, name, comma=comma)
    for value, row in zip(values, sheet.rows, strict=True):
        if not least <= value <= most:
            text = shown(row.cells[sheet.place(name)])
            raise refuse(f"{text} is not between {least:g} and {most:g} degrees.", row.line, name)
    return values


def _check_repeats(sheet: Sheet, at: Array, lat: Array, lon: Array) -> None:
    lines: dict[tuple[float, float, float], int] = {}
    for key, row in zip(zip(at, lat, lon % 360, strict=True), sheet.rows, strict=True):
        if key in lines:
            raise refuse(f"Time and place are those of line {lines[key]} again.", row.line, "time_utc")
        lines[key] = row.line


def _issued_at(notes: list[str], sheet: Sheet) -> tuple[float, list[str]]:
    """The oldest time of issue the file gives, and what is doubtful about it."""
    said = [utc(match[1], line, "issued") for line, text in enumerate(notes, 1) if (match := _ISSUED.fullmatch(text))]
    blanks = 0
    if ISSUED in sheet.header:
        for row in sheet.rows:
            text = row.cells[sheet.place(ISSUED)]
            blanks += not text
            said += [utc(text, row.line, ISSUED)] if text else []
    if not said or blanks:
        return math.nan, ["The file does not say when all of it was issued: it has no age and is not fresh."]
    several = f"The rows were issued at {len(set(said))} different times; the oldest counts for the age."
    return min(said), [several] if len(set(said)) > 1 else []


def in_si(columns: Mapping[str, Array]) -> tuple[Variables, list[str]]:
    """Columns as variables: speed and direction become a vector. Also says what was lost on the way."""
    variables: Variables = {name: values for name, values in columns.items() if name in QUANTITIES}
    losses: list[str] = []
    wind, from_deg = columns.get("wind_mps"), columns.get("wind_from_deg")
    if wind is not None and from_deg is None:
        losses.append("The wind has no column wind_from_deg: the wind is not used.")
    elif wind is not None and from_deg is not None:
        # calm has no direction and needs none
        calm = wind == 0
        speed = _within(wind, 0, STRONGEST_WIND_MPS, "wind speed", losses)
        toward = np.radians(_within(np.where(calm, 0, from_deg), 0, 360, "wind direction", losses)) + np.pi
        lost = int((np.isnan(speed + toward) & ~np.isnan(wind)).sum())
        losses += [f"Without a usable speed and direction, so not known: {counted(lost, 'wind')}."] if lost else []
        variables |= {"wind_east_mps": speed * np.sin(toward), "wind_north_mps": speed * np.cos(toward)}
    if (waves := columns.get("wave_from_deg")) is not None:
        waves = np.radians(_within(waves, 0, 360, "wave direction", losses))
        variables |= {"wave_from_east": np.sin(waves), "wave_from_north": np.cos(waves)}
    return variables, losses


def _within(values: Array, least: float, most: float, words: str, losses: list[str]) -> Array:
    wild = (values < least) | (values > most)
    if wild.any():
        losses.append(f"Outside {least:g} to {most:g}, so not known: {counted(int(wild.sum()), words)}.")
    return np.where(wild, np.nan, values)
