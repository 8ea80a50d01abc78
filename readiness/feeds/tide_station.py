"""What a station file says about a tide file beside it: name, level, datum, zone, and answers to questions.

JSON with any of: `name` or `station`, `timezone` ("Europe/Oslo", "fixed UTC+1"), `mean_level_m` with `datum`, or the
level under the name of its datum (`msl_above_mllw_m`, `mean_level_above_NAP_m`), `unit` (m, cm, mm or ft),
`date_order` ("day first" or "month first"), `form_number_F` (says whether the tide of a table is diurnal), `origin` or
`source`, `valid_from` and `valid_to` (days, the last one included, or times with their zone). Anything else is left
alone.
"""

import json
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo

from readiness.feeds.tide_clock import DATE_ORDERS, zone_called
from readiness.feeds.tide_sheet import Source, bytes_of, refuse, shown, text_of
from vessel.units import FOOT

UNITS = {"m": 1.0, "cm": 0.01, "mm": 0.001, "ft": FOOT}
FARTHEST_LEVEL_M = 100.0
_FORM = "form_number_F"
MOST_BYTES = 100_000
ALWAYS = (-math.inf, math.inf)
"""Valid at all times, as far as anybody said."""
_LEVEL = re.compile(r"(?:msl|mean_level)_above_(\w{1,40})_m", re.ASCII | re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class StationNotes:
    """A station file in our words; None where it does not say, NaN where it gives no level."""

    name: str | None = None
    datum: str | None = None
    mean_level_m: float = math.nan
    zone_name: str | None = None
    unit: str | None = None
    date_order: str | None = None
    source: str | None = None
    form: float = math.nan
    valid: tuple[float, float] = ALWAYS

    @property
    def zone(self) -> tzinfo | None:
        return zone_called(self.zone_name) if self.zone_name else None


def read_station(source: Source) -> dict[str, object]:
    """The station file as it stands. Raises BadInput."""
    content = bytes_of(source)
    if len(content) > MOST_BYTES:
        raise refuse(f"The station file is larger than {MOST_BYTES // 1000} kB.")
    try:
        station = json.loads(text_of(content))
    except json.JSONDecodeError as reason:
        raise refuse(f"The station file is not JSON ({reason.msg}).", reason.lineno) from reason
    except (RecursionError, ValueError) as reason:
        raise refuse("The station file is not JSON that can be read.") from reason
    if not isinstance(station, dict):
        raise refuse("The station file must be one JSON object, {...}.")
    return station


def station_notes(station: Mapping[str, object] | None) -> StationNotes:
    """What the file says. Raises BadInput naming the field."""
    station = station or {}
    datum, level = _level(station)
    notes = StationNotes(
        name=_words(station, "name") or _words(station, "station"),
        datum=datum,
        mean_level_m=level,
        zone_name=_words(station, "timezone"),
        unit=_one_of(station, "unit", tuple(UNITS)),
        date_order=_one_of(station, "date_order", DATE_ORDERS),
        source=_words(station, "source") or _words(station, "origin"),
        form=_number(station, _FORM) if _FORM in station else math.nan,
        valid=_valid(station, _words(station, "timezone")),
    )
    if notes.zone_name:
        zone_called(notes.zone_name)
    return notes


def _valid(station: Mapping[str, object], zone_name: str | None) -> tuple[float, float]:
    """From when until when the figures hold, UTC seconds; a plain day is one by the clock of the harbour."""
    zone = zone_called(zone_name) if zone_name else UTC
    ends = []
    for key, open_end in zip(("valid_from", "valid_to"), ALWAYS, strict=True):
        text = _words(station, key)
        try:
            when = datetime.fromisoformat(text) if text else None
        except ValueError as reason:
            raise refuse(f"The station file's {key} is {shown(str(text))}, not a day such as 2027-12-31.") from reason
        if when and text and len(text) == len("2027-12-31"):
            when += timedelta(days=key == "valid_to")
        if when is not None and when.tzinfo is None:
            when = when.replace(tzinfo=zone)
        ends.append(open_end if when is None else when.timestamp())
    if ends[0] >= ends[1]:
        raise refuse("The station file's valid_to does not come after its valid_from.")
    return ends[0], ends[1]


def _level(station: Mapping[str, object]) -> tuple[str | None, float]:
    """Datum and height of the mean level above it. Two levels would leave open which one the constants mean."""
    named = [(key, match[1].upper()) for key in station if (match := _LEVEL.fullmatch(str(key)))]
    datum = _words(station, "datum")
    if "mean_level_m" in station:
        named.append(("mean_level_m", datum or ""))
    if len(named) > 1:
        raise refuse(f"The station file gives two levels, {named[0][0]} and {named[1][0]}; which one is meant?")
    if not named:
        return datum, math.nan
    key, above = named[0]
    if datum and above and datum.upper() != above.upper():
        raise refuse(f"The station file gives {shown(datum)} as datum, and its level above {shown(above)}.")
    return datum or above or None, _number(station, key)


def _number(station: Mapping[str, object], key: str) -> float:
    value = station[key]
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise refuse(f"The station file's {key} is {shown(str(value))}, not a number.")
    if not abs(value) <= FARTHEST_LEVEL_M:
        raise refuse(f"The station file's {key} lies beyond {FARTHEST_LEVEL_M:.0f}.")
    return float(value)


def _words(station: Mapping[str, object], key: str) -> str | None:
    value = station.get(key)
    if value is None:
        return None
    if not isinstance(value, str):
        raise refuse(f"The station file's {key} must be text in quotes.")
    return value.strip()[:400] or None


def _one_of(station: Mapping[str, object], key: str, allowed: tuple[str, ...]) -> str | None:
    value = _words(station, key)
    if value is not None and value not in allowed:
        raise refuse(f"The station file's {key} is {shown(value)}; it must be one of {', '.join(allowed)}.")
    return value
