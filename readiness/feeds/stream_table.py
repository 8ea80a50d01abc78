"""Tidal stream tables in: a CSV of hours from high water with set and rates, its particulars in notes above.

    # name: Skarn Narrows
    # reference: ostrel
    # neaps_range_m: 2.1
    # springs_range_m: 3.8
    # latitude: 46 30.0 N
    # longitude: 14 27.0 W
    hours_from_hw,set_deg,neaps_kn,springs_kn
    -6,090,0.8,2.1

A printed figure holds from half-way after the hour before it to half-way to the hour after it.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from readiness.feeds.tide_sheet import Sheet, Source, bytes_of, numbers, read_sheet, refuse, shown, text_of
from vessel.calc.position import parse_angle
from vessel.errors import BadInput
from vessel.units import HOUR, KNOT, Array

NEEDED = ("hours_from_hw", "set_deg", "neaps_kn", "springs_kn")
GREATEST_KN = 20.0  # no stream runs so fast
GREATEST_RANGE_M = 20.0  # nor is there a greater tide
GREATEST_HOURS = 14.0
LEAST_COVERED_H = 12.0  # a tide lasts 12 h 25 min: a table that covers less leaves a hole in each
NOTES = ("name", "reference", "neaps_range_m", "springs_range_m", "latitude", "longitude", "beyond", "source")
BEYOND = {"carried on": False, "held": True}


@dataclass(frozen=True, slots=True)
class StreamRowRead:
    """From so long after high water (before is negative) until the next row; the set is where the water goes, true."""

    from_high_water_s: float
    set_deg: float
    rate_neaps_mps: float
    rate_springs_mps: float


@dataclass(frozen=True, slots=True)
class StreamTableFile:
    """A table as read. `reference`: the port whose high water it is counted from, as the file names it."""

    name: str
    reference: str
    lat_deg: float
    lon_deg: float
    neaps_range_m: float
    springs_range_m: float
    rates_held_beyond: bool
    source: str
    rows: tuple[StreamRowRead, ...]
    ignored: tuple[str, ...]
    warnings: tuple[str, ...]


def is_stream_header(header: tuple[str, ...]) -> bool:
    """Whether these column names are those of a stream table."""
    return set(NEEDED) <= set(header)


def read_stream_table(source: Source) -> StreamTableFile:
    """A stream table of a CSV file. Raises BadInput naming the line and the column or the note."""
    content = bytes_of(source)
    sheet = read_sheet(content, is_stream_header, ", ".join(NEEDED))
    notes = _notes(text_of(content))
    neaps, springs = (_range(notes, name) for name in ("neaps_range_m", "springs_range_m"))
    if not neaps < springs:
        raise refuse(f"The range at neaps, {neaps:g} m, must be less than at springs, {springs:g} m.")
    rows = _rows(sheet)
    return StreamTableFile(
        name=_stated(notes, "name"),
        reference=_stated(notes, "reference"),
        lat_deg=_position(notes, "latitude"),
        lon_deg=_position(notes, "longitude"),
        neaps_range_m=neaps,
        springs_range_m=springs,
        rates_held_beyond=_beyond(notes),
        source=notes.get("source", ("", 0))[0],
        rows=rows,
        ignored=tuple(name for name in sheet.header if name and name not in NEEDED),
        warnings=tuple(_odd(sheet)),
    )


Notes = Mapping[str, tuple[str, int]]  # what stands there, and the line it stands in


def _notes(text: str) -> Notes:
    found: dict[str, tuple[str, int]] = {}
    for number, line in enumerate(text.split("\n"), start=1):
        if line.strip() and not line.startswith("#"):
            break
        name, colon, value = line.lstrip("# ").partition(":")
        key = name.strip().lower().replace(" ", "_")
        if colon and key in NOTES:
            if key in found:
                raise refuse(f"{key} is stated a second time.", number)
            found[key] = (value.strip(), number)
    return found


def _stated(notes: Notes, name: str) -> str:
    value, line = notes.get(name, ("", 0))
    if not value:
        raise refuse(f"A line '# {name}: ...' above the header is needed.", line or None)
    if len(value) > 120:
        raise refuse(f"The {name} {shown(value)} is longer than 120 characters.", line)
    return value


def _range(notes: Notes, name: str) -> float:
    value, line = _stated(notes, name), notes[name][1]
    figure = value.removesuffix("m").strip()
    if not figure.isascii() or not figure.replace(".", "", 1).isdigit():
        raise refuse(f"{name} {shown(value)} is not a number of metres.", line)
    metres = float(figure)
    if not 0 < metres <= GREATEST_RANGE_M:
        raise refuse(f"{name} {shown(value)} is no range of a tide.", line)
    return metres


def _position(notes: Notes, name: str) -> float:
    value, line = _stated(notes, name), notes[name][1]
    try:
        return parse_angle(value, "latitude" if name == "latitude" else "longitude")
    except BadInput as reason:
        raise refuse(f"The {name} cannot be read: {reason}", line) from reason


def _beyond(notes: Notes) -> bool:
    value, line = notes.get("beyond", ("carried on", 0))
    if value not in BEYOND:
        raise refuse(f"beyond is 'carried on' or 'held', not {shown(value)}.", line)
    return BEYOND[value]


def _rows(sheet: Sheet) -> tuple[StreamRowRead, ...]:
    hours, sets, neaps, springs = (np.array(numbers(sheet, column)) for column in NEEDED)
    _within(sheet, "hours_from_hw", hours, -GREATEST_HOURS, GREATEST_HOURS, "h from high water")
    _within(sheet, "set_deg", sets, 0.0, 360.0, "degrees")
    _within(sheet, "neaps_kn", neaps, 0.0, GREATEST_KN, "kn")
    _within(sheet, "springs_kn", springs, 0.0, GREATEST_KN, "kn")
    every = _spacing(sheet, hours)
    return tuple(
        StreamRowRead((float(hour) - every / 2) * HOUR, float(set_deg), float(neap) * KNOT, float(spring) * KNOT)
        for hour, set_deg, neap, spring in zip(hours, sets, neaps, springs, strict=True)
    )


def _within(sheet: Sheet, column: str, values: Array, low: float, high: float, unit: str) -> None:
    for row, value in zip(sheet.rows, values.tolist(), strict=True):
        if not low <= value <= high:
            raise refuse(f"{value:g} {unit} is not between {low:g} and {high:g}.", row.line, column)


def _spacing(sheet: Sheet, hours: Array) -> float:
    """Hours from row to row, the same all the way."""
    if hours.size < 2:
        raise refuse("One row is no table; a steady stream is entered by hand.", sheet.rows[0].line)
    apart = np.diff(hours)
    for row, step in zip(sheet.rows[1:], apart.tolist(), strict=True):
        if step <= 0:
            raise refuse("The hours do not rise.", row.line, "hours_from_hw")
    for row, step in zip(sheet.rows[1:], apart.tolist(), strict=True):
        if step > apart.min() + 0.01:
            what = f"The rows jump by {step:g} h here and by {apart.min():g} h elsewhere."
            raise refuse(what, row.line, "hours_from_hw")
    every = float(apart.mean())
    if every * hours.size < LEAST_COVERED_H:
        raise refuse(f"The rows cover {every * hours.size:g} h; a tide lasts 12 h 25 min.", sheet.rows[-1].line)
    return every


def _odd(sheet: Sheet) -> list[str]:
    neaps, springs = (np.array(numbers(sheet, column)) for column in ("neaps_kn", "springs_kn"))
    hours, place = np.flatnonzero(neaps > springs), sheet.place("hours_from_hw")
    told = ", ".join(f"{sheet.rows[row].cells[place]} h" for row in hours)
    return [f"The stream runs harder at neaps than at springs at {told}."] if told else []
