"""The constants of a tide station out of a sheet: names, amplitudes, phases turned to UTC, speeds."""

import math
import re
from dataclasses import dataclass
from datetime import tzinfo

import numpy as np

from readiness.calc.tide import Harmonics
from readiness.calc.tide_agency import shares_of
from readiness.calc.tide_constituent import one_name, table_speed
from readiness.feeds.tide_clock import standard_offset_h, zone_in_header
from readiness.feeds.tide_sheet import Sheet, numbers, refuse, shown
from readiness.feeds.tide_station import FARTHEST_LEVEL_M, UNITS, StationNotes
from vessel.units import Array

LARGEST_AMPLITUDE_M = 20.0
SPEED_TOLERANCE = 0.005  # deg/h; two conventions of M1 are 0.0047 apart
FASTEST = 400.0  # deg/h
LEVEL_NAMES = ("Z0", "A0", "MSL")
STANDARD_TIME_YEAR = 2020
_NAMES = ("constituent", "name")
_AMPLITUDE = re.compile(r"amplitude_(m|cm|mm|ft)")
_PHASE_UTC = "phase_utc_deg"
_PHASE = re.compile(r"phase_(?:deg_\w+|local_deg)", re.ASCII)
_SPEED = "speed_deg_per_h"
_SHARE = "node_share"


@dataclass(frozen=True, slots=True, eq=False)
class Constants:
    harmonics: Harmonics
    zone: str
    unit: str
    ignored: tuple[str, ...]
    warnings: tuple[str, ...]


def is_constants_header(header: tuple[str, ...]) -> bool:
    """Whether these column names are those of a list of constants."""
    return (
        any(name in _NAMES for name in header)
        and any(_AMPLITUDE.fullmatch(name) for name in header)
        and any(name == _PHASE_UTC or _PHASE.fullmatch(name) for name in header)
    )


def constants_of(sheet: Sheet, notes: StationNotes) -> Constants:
    """Read the rows. Raises BadInput naming line and column."""
    name_column = next(name for name in sheet.header if name in _NAMES)
    amplitude_column = next(name for name in sheet.header if _AMPLITUDE.fullmatch(name))
    phase_column = _phase_column(sheet.header)
    unit = amplitude_column.removeprefix("amplitude_")
    names = _constituents(sheet, name_column)
    amplitude = [value * UNITS[unit] for value in numbers(sheet, amplitude_column)]
    phase = numbers(sheet, phase_column)
    speed = _speeds(sheet, names)
    level = _level(sheet, names, amplitude, phase, notes)
    _check_ranges(sheet, names, amplitude, phase, (amplitude_column, phase_column))
    ahead_h, zone, warnings = _ahead(phase_column, notes)
    used = [i for i, name in enumerate(names) if name not in LEVEL_NAMES]
    if not used:
        raise refuse("There is no constituent in the file.")
    given = np.array(speed)[used]
    table = np.array([table_speed(names[i]) for i in used], float)
    on_utc = np.array(phase)[used] - np.where(np.isnan(given), table, given) * ahead_h
    return Constants(
        harmonics=Harmonics(
            constituents=tuple(names[i] for i in used),
            amplitude_m=np.array(amplitude)[used],
            phase_utc_deg=on_utc % 360.0,
            speed_deg_per_h=given,
            mean_level_m=level,
            node_share=_shares(sheet, names, used, notes),
        ),
        zone=zone,
        unit=unit,
        ignored=tuple(
            name
            for name in sheet.header
            if name and name not in {name_column, amplitude_column, phase_column, _SPEED, _SHARE}
        ),
        warnings=warnings,
    )


def _shares(sheet: Sheet, names: list[str], used: list[int], notes: StationNotes) -> Array | None:
    """How much of each node factor's swing counts: by the column where there is one, else as the agency has it."""
    if _SHARE not in sheet.header:
        return shares_of(notes.source, [names[i] for i in used])
    share = numbers(sheet, _SHARE, may_be_blank=True)
    for row, value in zip(sheet.rows, share, strict=True):
        if not math.isnan(value) and not 0 <= value <= 1:
            raise refuse(f"A share of {value:g} lies outside 0 to 1.", row.line, _SHARE)
    given = np.array(share)[used]
    return np.where(np.isnan(given), 1.0, given)


def _phase_column(header: tuple[str, ...]) -> str:
    if _PHASE_UTC in header:
        return _PHASE_UTC
    return next(name for name in header if _PHASE.fullmatch(name))


def _constituents(sheet: Sheet, column: str) -> list[str]:
    place = sheet.place(column)
    names: list[str] = []
    seen: dict[str, int] = {}
    for row in sheet.rows:
        name = row.cells[place].upper()
        if not name or len(name) > 20:
            raise refuse("There is no name of a constituent.", row.line, column)
        if (same := one_name(name)) in seen:
            raise refuse(f"{shown(name)} stands in line {seen[same]} already.", row.line, column)
        seen[same] = row.line
        names.append(name)
    return names


def _speeds(sheet: Sheet, names: list[str]) -> list[float]:
    """NaN where the file gives none; a name outside the tables needs one, a name inside them must not contradict."""
    given = numbers(sheet, _SPEED, may_be_blank=True) if _SPEED in sheet.header else [math.nan] * len(names)
    for row, name, speed in zip(sheet.rows, names, given, strict=True):
        if name in LEVEL_NAMES:
            continue
        known = float(table_speed(name))
        if math.isnan(known) and math.isnan(speed):
            raise refuse(f"{shown(name)} is not in the tables; give its {_SPEED}.", row.line, "constituent")
        if not math.isnan(speed) and not 0 < speed <= FASTEST:
            raise refuse(f"A speed of {speed:g} deg/h is no tide.", row.line, _SPEED)
        if abs(known - speed) > SPEED_TOLERANCE:
            raise refuse(f"{name} goes {known:.6f} deg/h by the tables, not {speed:g}.", row.line, _SPEED)
    return given


def _level(sheet: Sheet, names: list[str], amplitude: list[float], phase: list[float], notes: StationNotes) -> float:
    """Mean level by a row Z0 or by the station file; both only where they agree."""
    rows = [i for i, name in enumerate(names) if name in LEVEL_NAMES]
    if not rows:
        return notes.mean_level_m
    line, level = sheet.rows[rows[0]].line, amplitude[rows[0]]
    if len(rows) > 1 or phase[rows[0]] != 0 or not abs(level) <= FARTHEST_LEVEL_M:
        raise refuse(f"A mean level stands once, with phase 0 and within {FARTHEST_LEVEL_M:.0f} m.", line)
    if abs(notes.mean_level_m - level) > 0.0005:
        raise refuse(f"The mean level is {level:g} m here and {notes.mean_level_m:g} m in the station file.", line)
    return level


def _check_ranges(
    sheet: Sheet, names: list[str], amplitude: list[float], phase: list[float], columns: tuple[str, str]
) -> None:
    for row, name, size, lag in zip(sheet.rows, names, amplitude, phase, strict=True):
        if name not in LEVEL_NAMES and not 0 <= size <= LARGEST_AMPLITUDE_M:
            raise refuse(f"An amplitude of {size:g} m is no tide; is the unit right?", row.line, columns[0])
        if not -360 <= lag <= 360:
            raise refuse(f"A phase of {lag:g} degrees lies outside -360 to 360.", row.line, columns[1])


def _ahead(column: str, notes: StationNotes) -> tuple[float, str, tuple[str, ...]]:
    """Hours the zone of the phases is ahead of UTC, its name, and what had to be assumed."""
    if column == _PHASE_UTC:
        return 0.0, "UTC", ()
    zone: tzinfo | None = zone_in_header(column)
    if zone is not None:
        return standard_offset_h(zone, STANDARD_TIME_YEAR), str(zone), ()
    if notes.zone is None:
        raise refuse(
            "Which zone are the phases on? Head the column phase_utc_deg, or give the station file a timezone.",
            1,
            column,
        )
    ahead = standard_offset_h(notes.zone, STANDARD_TIME_YEAR)
    taken = f"The phases were taken to be on standard time, UTC{ahead:+g} h, all year."
    return ahead, notes.zone_name or "", (taken,)
