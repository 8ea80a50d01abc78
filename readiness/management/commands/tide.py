"""manage.py tide: heights of tide, or high and low waters, out of a file."""

import json
from argparse import ArgumentParser, RawDescriptionHelpFormatter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from readiness.calc.tide_constituent import Factors
from readiness.feeds.tide_answer import TideFile, covers, datum_words, heights, high_and_low
from readiness.feeds.tide_clock import FIRST_YEAR, LAST_YEAR, zone_called
from readiness.feeds.tide_station import read_station
from readiness.feeds.tide_table import StationFile, read_tide
from readiness.queries.tide_station import station_called
from vessel.errors import BadInput
from vessel.units import DAY, MINUTE, Array

MOST_HEIGHTS = 600_000  # a year of minutes and a bit
LONGEST_SEARCH = 20 * 366 * DAY
EXAMPLE = """
Example, a file of constants called ostrel.csv

    constituent,amplitude_m,phase_utc_deg
    M2,1.45,153.2
    S2,0.50,201.7

and beside it ostrel.json

    {"name": "Ostrel Haven", "timezone": "UTC", "datum": "chart datum", "mean_level_m": 2.60}

    manage.py tide ostrel.csv --station ostrel.json --start 2027-05-15 --end 2027-05-16 --high-low
    manage.py tide ostrel.csv --station ostrel.json --start 2027-05-15T06:00Z --end 2027-05-15T18:00Z --every 30 --json

A table of high and low waters has the columns time_utc, height_m and type (H or L).
"""


@dataclass(frozen=True, slots=True)
class Line:
    """One answer: when (UTC), how high (None: not known), and high or low where it is one of these."""

    at: datetime
    height_m: float | None
    kind: str | None = None

    def as_json(self) -> dict[str, object]:
        answer: dict[str, object] = {"at": self.at.strftime("%Y-%m-%dT%H:%M:%SZ"), "height_m": self.height_m}
        return answer | ({"kind": self.kind} if self.kind else {})


class Command(BaseCommand):
    help = "Tells the height of tide at even times, or the high and low waters, from constants or a printed table."
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.formatter_class = RawDescriptionHelpFormatter
        parser.epilog = EXAMPLE
        parser.add_argument("file", help="CSV file of constants, or of high and low waters")
        parser.add_argument("--station", metavar="FILE.json", help="level, datum, name and zone of the station")
        parser.add_argument("--start", help="UTC unless an offset is given, as 2027-05-15 or 2027-05-15T06:00Z; now")
        parser.add_argument("--end", help="the same; a day after the start. Both are included")
        what = parser.add_mutually_exclusive_group()
        what.add_argument("--every", metavar="MINUTES", help="heights at even times, this many minutes apart")
        what.add_argument("--high-low", action="store_true", help="high and low waters (this if nothing is said)")
        parser.add_argument(
            "--factors",
            choices=("day", "year"),
            default="day",
            help="node factors of the day, or of mid-year as printed",
        )
        parser.add_argument("--json", action="store_true", help="a list of {at, height_m} or {at, height_m, kind}")

    def handle(self, *, file: str, station: str | None, factors: Factors, json: bool, **options: object) -> None:
        try:
            start, end = _span(options["start"], options["end"])
            tide = tide_called(file, station, start, end)
            every = options["every"]
            lines = _even(tide, start, end, every, factors) if every else _turns(tide, start, end, factors)
            doubts = [*tide.warnings, *_uncovered(tide, start, end)]
            self.stdout.write(_json_text(lines) if json else "\n".join(_text(tide, lines, factors)))
        except BadInput as reason:
            raise CommandError(str(reason), returncode=2) from reason
        for doubt in doubts:
            self.stderr.write(doubt)


def tide_called(name: str, station: str | None, start: float, end: float) -> TideFile:
    """The tide file of this name, else the station of the database. Raises BadInput."""
    if not Path(name).is_file():
        if Path(name).suffix:
            raise BadInput(f"There is no file {name}. A tide station of the database is asked by its name or key.")
        return station_called(name, datetime.fromtimestamp(start, UTC), datetime.fromtimestamp(end, UTC))
    return read_tide(name, read_station(station) if station else None)


def _span(start: object, end: object) -> tuple[float, float]:
    first = _time(str(start), "--start") if start else timezone.now().replace(second=0, microsecond=0).timestamp()
    last = _time(str(end), "--end") if end else first + DAY
    if last <= first:
        raise BadInput("--end does not come after --start.")
    return first, last


def _time(text: str, option: str) -> float:
    try:
        when = datetime.fromisoformat(text)
        if not FIRST_YEAR <= when.year <= LAST_YEAR:
            raise BadInput(f"{option}: the year {when.year} lies outside {FIRST_YEAR} to {LAST_YEAR}.")
        return (when if when.tzinfo else when.replace(tzinfo=UTC)).timestamp()
    except (ValueError, OverflowError) as reason:
        raise BadInput(f"{option}: {text!r} is not a time such as 2027-05-15T06:00Z.") from reason


def _even(tide: TideFile, start: float, end: float, every: object, factors: Factors) -> list[Line]:
    try:
        step = float(str(every)) * MINUTE
    except ValueError:
        step = 0.0
    if not 1.0 <= step <= 366 * DAY:
        raise BadInput(f"--every: {every!r} is not a number of minutes from a sixtieth to a year.")
    if (end - start) / step >= MOST_HEIGHTS:
        raise BadInput(f"That would be more than {MOST_HEIGHTS:,} heights; choose a shorter time or a longer --every.")
    at: Array = start + step * np.arange(int((end - start) / step) + 1, dtype=float)
    return [
        _line(when, height)
        for when, height in zip(at.tolist(), np.asarray(heights(tide, at, factors)).tolist(), strict=True)
    ]


def _turns(tide: TideFile, start: float, end: float, factors: Factors) -> list[Line]:
    if end - start > LONGEST_SEARCH:
        raise BadInput("High and low waters of more than 20 years are too many at once; choose a shorter time.")
    table = high_and_low(tide, start, end, factors)
    events = zip(table.at.tolist(), table.height_m.tolist(), table.high.tolist(), strict=True)
    return [_line(at, height, "high" if high else "low") for at, height, high in events]


def _line(at: float, height: float, kind: str | None = None) -> Line:
    when = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(seconds=round(at))
    return Line(when, None if np.isnan(height) else round(height, 4), kind)


def _uncovered(tide: TideFile, start: float, end: float) -> Iterator[str]:
    first, last = covers(tide)
    if start < first or end > last:
        yield f"The table runs from {_utc(first)} to {_utc(last)}; outside that the height is not known."


def _utc(at: float) -> str:
    return datetime.fromtimestamp(at, UTC).strftime("%Y-%m-%d %H:%M UTC")


def _json_text(lines: list[Line]) -> str:
    return json.dumps([line.as_json() for line in lines])


def _text(tide: TideFile, lines: list[Line], factors: Factors) -> Iterator[str]:
    """Heading with datum, zone and unit, then a line for each answer in harbour time and UTC."""
    zone = zone_called(tide.harbour_zone) if tide.harbour_zone else UTC
    yield f"{tide.name or 'Tide'}: heights in metres above {datum_words(tide)}. Weather is left out."
    if isinstance(tide, StationFile):
        when = "the day" if factors == "day" else "the middle of the calendar year"
        form = f"type of tide F {tide.form:.2f}" if np.isfinite(tide.form) else "type of tide not known"
        yield f"From {tide.rows} rows of constants, {form}, node factors of {when}."
    else:
        yield f"From a table of {tide.rows} high and low waters, by a cosine between them."
    yield f"Times in {tide.harbour_zone or 'UTC'}, then UTC."
    for line in lines:
        height = "not known" if line.height_m is None else f"{line.height_m:.2f} m"
        minute = (line.at + timedelta(seconds=30)).replace(second=0)
        local = minute.astimezone(zone).strftime("%a %d %b %Y %H:%M")
        kind = f"  {line.kind} water" if line.kind else ""
        yield f"{local}  {minute:%H:%M}Z  {height}{kind}"
    if not lines:
        yield "No high or low water in this time."
