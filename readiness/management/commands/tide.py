"""manage.py tide: heights of tide, or high and low waters, of a station or out of a file."""

from argparse import ArgumentParser, RawDescriptionHelpFormatter
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
from django.core.management.base import CommandError
from django.utils import timezone

from readiness.calc.tide import pressure_correction
from readiness.calc.tide_constituent import Factors
from readiness.calc.tide_double import double
from readiness.feeds.take import holds_differences, take_differences, take_series, take_station, take_tide
from readiness.feeds.tide_answer import TideFile, doubts, heights, high_and_low, why_no_answer
from readiness.feeds.tide_clock import FIRST_YEAR, LAST_YEAR
from readiness.feeds.tide_fit import fit_series
from readiness.feeds.tide_secondary import secondary_file
from readiness.feeds.tide_sheet import bytes_of
from readiness.management.tide_text import Line, json_text, line, text
from readiness.queries.tide_station import station_called
from vessel.errors import BadInput
from vessel.management.plain import PlainCommand
from vessel.units import DAY, MINUTE, Array

MOST_HEIGHTS = 600_000  # a year of minutes and a bit
LONGEST_SEARCH = 20 * 366 * DAY
PRESSURES = (850.0, 1100.0)  # hPa, beyond any ever measured at sea level
EXAMPLE = """
Examples. Constants, in a file called ostrel.csv

    constituent,amplitude_m,phase_utc_deg
    M2,1.45,153.2
    S2,0.50,201.7

and beside it ostrel.json

    {"name": "Ostrel Haven", "timezone": "UTC", "datum": "chart datum", "mean_level_m": 2.60, "valid_to": "2035-12-31"}

    manage.py tide ostrel.csv --station ostrel.json --start 2027-05-15 --end 2027-05-16 --high-low
    manage.py tide ostrel.csv --station ostrel.json --start 2027-05-15T06:00Z --end 2027-05-15T18:00Z --every 30 --json
    manage.py tide ostrel.csv --station ostrel.json --start 2027-05-15 --pressure 1033

A printed table, in table.csv

    time_utc,height_m,type
    2027-05-15 07:36,1.60,L
    2027-05-15 13:54,3.64,H
    2027-05-15 20:11,1.52,L

    manage.py tide table.csv --station ostrel.json --start 2027-05-15T08:00Z --end 2027-05-15T20:00Z --every 60

A secondary port, in brannow.csv, with a time difference for two clock times and a height difference at springs and neaps

    water,clock_utc,time_min,reference_m,height_m
    H,00:00,+35,,
    H,06:00,+23,,
    H,,,4.2,+0.3
    H,,,3.4,+0.1
    L,,+10,,-0.1

    manage.py tide brannow.csv --reference ostrel.csv --reference-station ostrel.json --start 2027-05-15 --high-low

or by ratios, in thole.csv

    water,time_min,height_ratio
    H,+71,0.55
    L,+113,0.53

    manage.py tide thole.csv --reference ostrel.csv --reference-station ostrel.json --start 2027-05-15 --high-low

Observed heights, 29 days of them or more, in seen.csv with the columns time_utc and height_m

    manage.py tide seen.csv --fit --station ostrel.json --start 2027-05-15 --high-low

A station of the database, by its name or its key

    manage.py tide "Ostrel Haven" --high-low
"""


class Command(PlainCommand):
    help = "Tells the height of tide at even times, or the high and low waters, of a station or out of a file."
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.formatter_class = RawDescriptionHelpFormatter
        parser.epilog = EXAMPLE
        parser.add_argument(
            "file", help="CSV of constants, high and low waters, differences or observations; a station"
        )
        parser.add_argument(
            "--station", metavar="FILE.json", help="level, datum, name, zone and validity of the station"
        )
        parser.add_argument(
            "--reference", metavar="FILE", help="constants or table of the port the differences hang on"
        )
        parser.add_argument("--reference-station", metavar="FILE.json", help="the station file of that port")
        parser.add_argument("--fit", action="store_true", help="the file holds observed heights: fit constants to them")
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
        parser.add_argument("--pressure", metavar="HPA", help="air pressure; above 1013 it takes 1 cm off for each hPa")
        parser.add_argument(
            "--json",
            action="store_true",
            help="a list of {at, height_m} or {at, height_m, kind}, with double: true where it is",
        )

    def handle(self, *, file: str, factors: Factors, json: bool, **options: object) -> None:
        try:
            start, end = _span(options["start"], options["end"])
            tide = tide_called(file, options, start, end)
            pressure = _pressure(options["pressure"])
            more_m = pressure[1] if pressure else 0.0
            every = options["every"]
            if why := why_no_answer(tide, start, end):
                raise BadInput(why)
            lines = (
                _even(tide, start, end, every, factors, more_m) if every else _turns(tide, start, end, factors, more_m)
            )
            self.stdout.write(json_text(lines) if json else "\n".join(text(tide, lines, factors, pressure)))
        except BadInput as reason:
            raise CommandError(str(reason), returncode=2) from reason
        for doubt in doubts(tide, start, end):
            self.stderr.write(doubt)


def tide_called(name: str, options: dict[str, object], start: float, end: float) -> TideFile:
    """The tide file of this name and these options, else the station of the database. Raises BadInput."""
    if not Path(name).is_file():
        if Path(name).suffix:
            raise BadInput(f"There is no file {name}. A tide station of the database is asked by its name or key.")
        return station_called(name, datetime.fromtimestamp(start, UTC), datetime.fromtimestamp(end, UTC))
    station = take_station(bytes_of(str(options["station"]))) if options.get("station") else None
    reference = options.get("reference")
    if reference and options.get("fit"):
        raise BadInput("--fit is for observed heights and --reference for differences; a file holds one of these.")
    if reference:
        its_station = {"station": options.get("reference_station")}
        port = tide_called(str(reference), its_station, start - DAY, end + DAY)
        return secondary_file(take_differences(bytes_of(name)), station, port)
    data, fit = bytes_of(name), bool(options.get("fit"))
    try:
        return fit_series(take_series(data, station)) if fit else take_tide(data, station)
    except BadInput as reason:
        if not holds_differences(data):
            raise
        wanted = f"{name} holds differences of a secondary port; say --reference FILE, the port they hang on."
        raise BadInput(wanted) from reason


def _pressure(given: object) -> tuple[float, float] | None:
    """Air pressure in hPa, and the metres it adds to the tide (zero or below)."""
    if given is None:
        return None
    try:
        value = float(str(given))
    except ValueError:
        value = 0.0
    if not PRESSURES[0] <= value <= PRESSURES[1]:
        raise BadInput(f"--pressure: {given!r} is not an air pressure in hPa, such as 1025.")
    return value, float(np.asarray(pressure_correction(value)))


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


def _even(tide: TideFile, start: float, end: float, every: object, factors: Factors, more_m: float) -> list[Line]:
    try:
        step = float(str(every)) * MINUTE
    except ValueError:
        step = 0.0
    if not 1.0 <= step <= 366 * DAY:
        raise BadInput(f"--every: {every!r} is not a number of minutes from a sixtieth to a year.")
    if (end - start) / step >= MOST_HEIGHTS:
        raise BadInput(f"That would be more than {MOST_HEIGHTS:,} heights; choose a shorter time or a longer --every.")
    at: Array = start + step * np.arange(int((end - start) / step) + 1, dtype=float)
    metres = np.asarray(heights(tide, at, factors)) + more_m
    return [line(when, height) for when, height in zip(at.tolist(), metres.tolist(), strict=True)]


def _turns(tide: TideFile, start: float, end: float, factors: Factors, more_m: float) -> list[Line]:
    """High and low waters; whether one is double is looked for a day beyond the span either side."""
    if end - start > LONGEST_SEARCH:
        raise BadInput("High and low waters of more than 20 years are too many at once; choose a shorter time.")
    table = high_and_low(tide, start - DAY, end + DAY, factors)
    events = zip(
        table.at.tolist(), (table.height_m + more_m).tolist(), table.high.tolist(), double(table).tolist(), strict=True
    )
    return [
        line(at, height, "high" if high else "low", double=twice)
        for at, height, high, twice in events
        if start <= at <= end
    ]
