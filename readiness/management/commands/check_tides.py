"""manage.py check_tides: how far our tides are from the published ones, station by station."""

from argparse import ArgumentParser, RawDescriptionHelpFormatter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from django.conf import settings
from django.core.management.base import CommandError

from readiness.calc.tide import tide_type
from readiness.calc.tide_check import events_apart, heights_apart, nearest_apart, well_inside
from readiness.calc.tide_secondary import secondary
from readiness.feeds.tide_check import Case, EventCase, HeightCase, PortCase, cases_of
from readiness.feeds.tide_station import UNITS
from readiness.feeds.tide_table import StationFile
from vessel.errors import BadInput
from vessel.management.plain import PlainCommand
from vessel.units import MINUTE, Array

COLUMNS = (
    "station", "kind", "compared", "largest", "rms", "largest, factors of the day", "95 % of times within", "target", "met",
)  # fmt: skip
HEAPED_MIN = 5.0  # the agency that publishes in centimetres has two thirds of its times on a fifth minute or one after
RIVER = 0.1  # M4 over M2 from which a river shapes the tide
EXAMPLE = """
Example

    manage.py check_tides
    manage.py check_tides tides --write docs/tide_check.md

Without a folder it checks against the tables that come with the tests.
"""
HEAD = """# Our tides against the published ones

Written by `manage.py check_tides`. Height errors are ours less the published, rounding of the published figures included:
"largest" and "rms" with node factors as the agency holds them, at the middle of the calendar year of its clock, then the
largest with the factors of the day, as the program uses them. Times are those of high and low waters.
"""


@dataclass(frozen=True, slots=True)
class Target:
    """What is to be reached, in the unit of the published figures and minutes; None: nothing is asked."""

    largest: float
    largest_day: float | None = None
    minutes: float | None = None

    def words(self, unit: str) -> str:
        day = f", {self.largest_day:g} {unit} by the day" if self.largest_day is not None else ""
        minutes = f", {self.minutes:g} min" if self.minutes is not None else ""
        return f"{self.largest:g} {unit}{day}{minutes}"


HEIGHTS = {"ft": Target(0.003, largest_day=0.08), "cm": Target(2.5), "m": Target(0.025)}
EVENTS = {"ft": 0.05, "cm": 2.5, "m": 0.025}
PORTS = Target(0.015, minutes=0.0)


class Command(PlainCommand):
    help = "Compares worked-out tides with published ones, and says which are as near as they should be."
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.formatter_class = RawDescriptionHelpFormatter
        parser.epilog = EXAMPLE
        parser.add_argument("folder", nargs="?", help="stations with constants and published tides")
        parser.add_argument("--write", metavar="FILE.md", help="write the table there too")

    def handle(self, *, folder: str | None, write: str | None, **_: object) -> None:
        where = Path(folder) if folder else Path(settings.BASE_DIR) / "tests/published"
        try:
            rows = [checked(case) for case in cases_of(where)]
        except (BadInput, OSError, KeyError) as reason:
            raise CommandError(str(reason), returncode=2) from reason
        table = "\n".join(_lines(rows))
        self.stdout.write(table)
        met = sum(row[-1] == "yes" for row in rows)
        self.stdout.write(f"{met} of {len(rows)} are as near as they should be.")
        if write:
            Path(write).write_text(f"{HEAD}\n{table}\n\n{met} of {len(rows)} are as near as they should be.\n", "utf-8")


def checked(case: Case) -> tuple[str, ...]:
    """One row of the table."""
    if isinstance(case, HeightCase):
        year, day = (heights_apart(case.file.harmonics, case.at, case.height_m, each) for each in (case.ahead_s, None))
        kind = f"{_type(case.file)}; heights"
        return _row(
            case.file.name or "", kind, case.unit, HEIGHTS[case.unit], (np.asarray(year), np.asarray(day), None)
        )
    if isinstance(case, EventCase):
        by_year, by_day = (events_apart(case.file.harmonics, case.table, each) for each in (case.ahead_s, None))
        slow = case.file.form >= 3 or _river(case.file)
        target = Target(EVENTS[case.unit], minutes=10.0 if slow else 3.0 if case.unit == "ft" else HEAPED_MIN)
        kind = f"{_type(case.file)}; high and low waters"
        return _row(case.file.name or "", kind, case.unit, target, (by_year.metres, by_day.metres, by_year.seconds))
    return _port(case)


def _port(case: PortCase) -> tuple[str, ...]:
    apart = nearest_apart(well_inside(case.table, case.reference), secondary(case.reference, case.port))
    return _row(case.name, "secondary port; high and low waters", case.unit, PORTS, (apart.metres, None, apart.seconds))


def _row(
    name: str, kind: str, unit: str, target: Target, errors: tuple[Array, Array | None, Array | None]
) -> tuple[str, ...]:
    """Errors by the agency's factors and by the day's, in metres, and of times in seconds. One not found is not met."""
    year, day, seconds = errors
    in_unit = year / UNITS[unit]
    largest, rms = float(np.abs(in_unit).max()), float(np.sqrt(np.mean(in_unit**2)))
    largest_day = None if day is None else float(np.abs(day / UNITS[unit]).max())
    minutes = None if seconds is None else float(np.quantile(np.abs(seconds), 0.95)) / MINUTE
    met = _reached(largest, target.largest) and _reached(largest_day, target.largest_day)
    met = met and _reached(minutes, target.minutes)
    digits = 4 if unit == "ft" else 2
    return (
        name,
        kind,
        str(year.size),
        f"{largest:.{digits}f} {unit}",
        f"{rms:.{digits}f} {unit}",
        "" if largest_day is None else f"{largest_day:.{digits}f} {unit}",
        "" if minutes is None else f"{minutes:.1f} min",
        target.words(unit),
        "yes" if met else "NO",
    )


def _reached(figure: float | None, target: float | None) -> bool:
    """NaN, an event that was not found, reaches nothing."""
    return target is None or (figure is not None and bool(figure <= target + 1e-9))


def _type(file: StationFile) -> str:
    return f"{tide_type(file.form)}{', river' if _river(file) else ''}, {len(file.harmonics.constituents)} constants"


def _river(file: StationFile) -> bool:
    """Whether shallow water shapes the tide; of a diurnal one, whose M2 is small, that cannot be told so."""
    size = dict(zip(file.harmonics.constituents, file.harmonics.amplitude_m.tolist(), strict=True))
    return bool(file.form < 3 and size.get("M4", 0.0) >= RIVER * size.get("M2", np.inf))


def _lines(rows: list[tuple[str, ...]]) -> Iterator[str]:
    yield f"| {' | '.join(COLUMNS)} |"
    yield f"|{'---|' * len(COLUMNS)}"
    for row in rows:
        yield f"| {' | '.join(row)} |"
