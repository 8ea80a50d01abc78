"""Published tide stations and their published tides, and the outside folder with more of them where there is one."""

import csv
import io
import os
from datetime import datetime
from pathlib import Path

import numpy as np

from readiness.calc.tide import Harmonics, harmonic_height, harmonic_rate
from readiness.calc.tide_constituent import Factors
from readiness.feeds.tide_station import read_station
from readiness.feeds.tide_table import read_constants
from vessel.units import FOOT, Array

PUBLISHED = Path(__file__).parents[1] / "published"
_OUTSIDE = os.environ.get("LEGWORTHY_REFDATA") or str(PUBLISHED.parents[2] / "shared" / "refdata")
MORE = Path(_OUTSIDE) / "tides"
DEMO_PERIODS_H = (12.4206, 12.0)


def epoch(text: str) -> float:
    """UTC seconds of a time with its zone."""
    return datetime.fromisoformat(text).timestamp()


def published_rows(name: str) -> list[dict[str, str]]:
    """A published table without its first line, which names the source."""
    text = (PUBLISHED / name).read_text(encoding="utf-8").split("\n", 1)[1]
    return list(csv.DictReader(io.StringIO(text)))


def station_row(station: str) -> dict[str, str]:
    return next(row for row in published_rows("tide_stations.csv") if row["station"] == station)


def published_harmonics(station: str) -> Harmonics:
    """Constants of a published station, read by the program's own reader."""
    row = station_row(station)
    notes = {"timezone": row["timezone"], "datum": row["datum"], "mean_level_m": float(row["mean_level_m"])}
    return read_constants(PUBLISHED / f"tide_constants_{station}.csv", notes).harmonics


def published_events(station: str) -> tuple[Array, Array, Array]:
    """Times, heights in metres, and 1.0 for high water, of the published high and low waters."""
    rows = [row for row in published_rows("tide_high_low.csv") if row["station"] == station]
    return (
        np.array([epoch(row["utc"]) for row in rows]),
        np.array([float(row["height_ft"]) * FOOT for row in rows]),
        np.array([float(row["type"] == "H") for row in rows]),
    )


def outside_files(pattern: str) -> list[Path]:
    """Files of the outside folder, none where it is not there."""
    return sorted(MORE.glob(pattern))


def outside_harmonics(table: Path) -> Harmonics:
    """Constants of the station to which an outside file belongs."""
    key = table.name.split("_")[0]
    notes = read_station(next(MORE.glob(f"{key}_*_station.json")))
    return read_constants(next(MORE.glob(f"{key}_*_harmonics.csv")), notes).harmonics


def outside_column(table: Path, start: str) -> Array:
    """The first column whose name begins so, as numbers."""
    with table.open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    name = next(column for column in rows[0] if column.startswith(start))
    return np.array([epoch(row[name]) if start == "utc" else float(row[name]) for row in rows])


def even(start: float, number: int, step_s: float) -> Array:
    """Even times."""
    return np.asarray(start + np.arange(number) * step_s, dtype=np.float64)


def height_at(harmonics: Harmonics, at: Array, factors: Factors = "day") -> Array:
    return np.asarray(harmonic_height(harmonics, at, factors), dtype=np.float64)


def rate_at(harmonics: Harmonics, at: Array, factors: Factors = "day") -> Array:
    return np.asarray(harmonic_rate(harmonics, at, factors), dtype=np.float64)


def demo_harmonics() -> Harmonics:
    """A made-up tide of two plain waves: 1.45 m of 12.4206 h and 0.50 m of 12 h, both high at 2027-04-22T06:30Z."""
    speed = 360.0 / np.array(DEMO_PERIODS_H)
    top = epoch("2027-04-22T06:30Z") / 3600
    return Harmonics(("WAVE A", "WAVE B"), np.array([1.45, 0.50]), speed * top % 360, speed, 2.60)
