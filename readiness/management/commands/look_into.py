"""manage.py look_into FILE: what a file holds, before it is taken in."""

import json
import math
from argparse import ArgumentParser, RawDescriptionHelpFormatter
from collections.abc import Iterator
from dataclasses import asdict
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from django.core.management.base import CommandError

from readiness.feeds.grib_sections import MOST_BYTES
from readiness.feeds.look_record import Extent, Look, Part, how_many
from readiness.feeds.take import look_at
from vessel.calc.unit_words import unit_word
from vessel.calc.wording import counted
from vessel.errors import BadInput
from vessel.management.plain import PlainCommand
from vessel.units import NAUTICAL_MILE

NOT_KNOWN = "not known"
ROUND_THE_GLOBE_DEG = 350
EXAMPLE = """
Example, a forecast called friday.csv

    # issued 2027-05-14T16:00Z
    time_utc, latitude, longitude, wind_kn, wind_from_deg, gust_kn, wave_height_m
    2027-05-14T18:00Z, 50.1, -4.2, 14, 230, 19, 0.9
    2027-05-14T19:00Z, 50.1, -4.2, 15, 235, 21, 1.0

    manage.py look_into friday.csv
    manage.py look_into friday.csv --json

or, typed down from the radio (every line begins with what it is about; --json says what was made of it)

    issued 2027-05-14T16:00Z
    area 49.5 N 6.0 W to 51.0 N 3.5 W
    from 2027-05-14T18:00Z to 2027-05-15T18:00Z
    wind southwest 4 or 5, increasing 6 later
    sea moderate, occasionally rough
    visibility good, occasionally poor

Files that are read: GPX routes; forecasts as GRIB 1, GRIB 2, CSV or typed lines; CSV of tide constants, of high and low
waters, of observed heights, of the differences of a secondary port or of tidal streams.
"""


class Command(PlainCommand):
    help = (
        "Says what a GPX, GRIB, calendar or CSV file holds before it is taken in. Changes nothing, needs no database."
    )
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.formatter_class = RawDescriptionHelpFormatter
        parser.epilog = EXAMPLE
        parser.add_argument("file", help="the file to look into")
        parser.add_argument("--json", action="store_true", help="the same facts for a program; times in UTC")

    def handle(self, *, file: str, json: bool, **_options: object) -> None:
        try:
            look = look_at(content_of(file), Path(file).name)
        except BadInput as reason:
            raise CommandError(str(reason), returncode=2) from reason
        self.stdout.write(_json_text(look) if json else "\n".join(_lines(look)))


def content_of(file: str) -> bytes:
    """The bytes of a file, not more than are ever read. Raises BadInput."""
    try:
        with Path(file).open("rb") as opened:
            return opened.read(MOST_BYTES + 1)
    except (OSError, ValueError) as reason:
        why = getattr(reason, "strerror", None) or "it cannot be opened"
        raise BadInput(f"{file} was not read: {why}.") from reason


def _lines(look: Look) -> Iterator[str]:
    counts = ", ".join(how_many(count, what) for what, count in look.counts.items())
    yield f"{look.name}: {look.kind}, {look.size:,} bytes; {counts}."
    if look.extent:
        yield f"Area: {_area(look.extent)}."
    if not math.isnan(look.first_at):
        yield f"Times: {_utc(look.first_at)} to {_utc(look.last_at)}."
    if look.kind in {"GRIB", "forecast table", "bulletin"}:
        yield f"Issued: {_utc(look.issued_at)}."
    if look.units:
        yield f"Units: {', '.join(f'{what} in {unit}' for what, unit in look.units.items())}."
    for part in look.parts:
        yield f"  {_part(part)}"
    for warning in look.warnings:
        yield f"Note: {warning}"
    if look.ignored:
        yield f"Not used: {'; '.join(look.ignored)}."


def _part(part: Part) -> str:
    said = [f"{part.name}: {how_many(part.count, part.what)}", f"in {unit_word(part.unit)}" if part.unit else ""]
    if not math.isnan(part.length_m):
        said.append(f"{part.length_m / NAUTICAL_MILE:.2f} nmi")
    if part.missing:
        said.append(f"{counted(part.missing, 'value')} missing")
    return ", ".join(word for word in said if word)


def _area(extent: Extent) -> str:
    if extent.east - extent.west > ROUND_THE_GLOBE_DEG:
        return f"{_side(extent.south, 'NS')} to {_side(extent.north, 'NS')}, all round the globe"
    east = (extent.east + 180) % 360 - 180 if extent.east > 180 else extent.east
    sides = (_side(extent.south, "NS"), _side(extent.north, "NS"), _side(extent.west, "EW"), _side(east, "EW"))
    return f"{sides[0]} to {sides[1]}, {sides[2]} to {sides[3]}"


def _side(degrees: float, letters: str) -> str:
    return f"{abs(degrees):.3f}° {letters[degrees < 0]}"


def _utc(at: float) -> str:
    return NOT_KNOWN if math.isnan(at) else datetime.fromtimestamp(at, UTC).strftime("%Y-%m-%d %H:%M UTC")


def _json_text(look: Look) -> str:
    facts = asdict(look)
    return json.dumps(_for_programs(facts), ensure_ascii=False, indent=1)


def _for_programs(value: Any, key: str = "") -> Any:
    """NaN as null, times as UTC text, the rest as it is."""
    if isinstance(value, dict):
        return {name: _for_programs(each, name) for name, each in value.items()}
    if isinstance(value, list | tuple):
        return [_for_programs(each) for each in value]
    if isinstance(value, float) and math.isnan(value):
        return None
    if key.endswith("_at"):
        return datetime.fromtimestamp(value, UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    return value
