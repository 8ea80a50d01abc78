"""Published tides to check ours against: a folder of stations, each with constants and what was published for it.

Beside each `KEY_..._station.json` lie `KEY_..._harmonics.csv` and any tables of high and low waters or series of heights
called `KEY_...csv`. In `secondary_ports` lie `offsets.csv` and the tables of the ports and, called `REF_KEY_...`, of their
references. The other layout is that of `tests/published`, told by its `tide_stations.csv`.
"""

import csv
import io
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from readiness.calc.tide import TideTable
from readiness.calc.tide_secondary import SecondaryPort
from readiness.feeds.tide_clock import standard_offset_h, zone_called
from readiness.feeds.tide_constants import STANDARD_TIME_YEAR
from readiness.feeds.tide_differences import port_called_for
from readiness.feeds.tide_series import read_series
from readiness.feeds.tide_sheet import bytes_of, refuse, text_of
from readiness.feeds.tide_station import read_station
from readiness.feeds.tide_table import StationFile, is_high_low_header, read_constants, read_high_low
from vessel.errors import BadInput
from vessel.units import HOUR, MINUTE, Array

Row = dict[str, str]


@dataclass(frozen=True, slots=True, eq=False)
class HeightCase:
    """Published heights of a station; `ahead_s`: its standard clock against UTC."""

    file: StationFile
    unit: str
    ahead_s: float
    at: Array
    height_m: Array


@dataclass(frozen=True, slots=True, eq=False)
class EventCase:
    """Published high and low waters of a station."""

    file: StationFile
    unit: str
    ahead_s: float
    table: TideTable


@dataclass(frozen=True, slots=True, eq=False)
class PortCase:
    """Published high and low waters of a secondary port and of its reference."""

    name: str
    unit: str
    port: SecondaryPort
    reference: TideTable
    table: TideTable


Case = HeightCase | EventCase | PortCase


def cases_of(folder: Path) -> Iterator[Case]:
    """Everything the folder holds to check against. Raises BadInput naming the file."""
    if (folder / "tide_stations.csv").is_file():
        yield from _committed(folder)
        return
    stations = sorted(folder.glob("*_station.json"))
    if not stations:
        raise BadInput(f"There is no station in {folder}: no file ends with _station.json.")
    for station in stations:
        yield from _of_station(station)
    if (folder / "secondary_ports/offsets.csv").is_file():
        yield from _of_ports(folder / "secondary_ports")


def _of_station(station: Path) -> Iterator[Case]:
    key = station.name.split("_")[0]
    notes = read_station(station)
    constants = next(iter(sorted(station.parent.glob(f"{key}_*_harmonics.csv"))), None)
    if constants is None:
        raise BadInput(f"Beside {station.name} there is no file of constants called {key}_..._harmonics.csv.")
    file = read_constants(constants, notes)
    for path in sorted(station.parent.glob(f"{key}_*.csv")):
        if path != constants:
            yield _case(file, notes, bytes_of(path))


def _case(file: StationFile, notes: Mapping[str, object], content: bytes) -> Case:
    ahead_s = standard_offset_h(zone_called(file.harbour_zone or "UTC"), STANDARD_TIME_YEAR) * HOUR
    if is_high_low_header(_header(content)):
        events = read_high_low(content, notes)
        return EventCase(file, events.unit, ahead_s, events.table)
    series = read_series(content, notes)
    return HeightCase(file, series.unit, ahead_s, series.at, series.height_m)


def _header(content: bytes) -> tuple[str, ...]:
    lines = (line for line in content.decode("utf-8-sig", "replace").splitlines() if not line.startswith("#"))
    return tuple(cell.strip().lower() for cell in next(lines, "").split(","))


def _of_ports(folder: Path) -> Iterator[Case]:
    for row in _rows(text_of(bytes_of(folder / "offsets.csv"))):
        if row["height_type"] != "ratio":
            raise refuse(f"{row['name']}: heights by {row['height_type']} are not known.", column="height_type")
        reference = read_high_low(_one(folder, f"REF_{row['reference_station']}_*.csv"))
        events = read_high_low(_one(folder, f"{row['station']}_*.csv"))
        late = [row["time_offset_high_min"], row["time_offset_low_min"]]
        port = _port(late, [row["height_high"], row["height_low"]])
        yield PortCase(row["name"], events.unit, port, reference.table, events.table)


def _one(folder: Path, pattern: str) -> Path:
    found = sorted(folder.glob(pattern))
    if not found:
        raise BadInput(f"There is no file called {pattern} in {folder}.")
    return found[0]


def _port(late_min: list[str], ratios: list[str]) -> SecondaryPort:
    high_s, low_s = (float(each) * MINUTE for each in late_min)
    high_ratio, low_ratio = map(float, ratios)
    return port_called_for(
        {"form": "ratios", "high_s": high_s, "low_s": low_s, "high_ratio": high_ratio, "low_ratio": low_ratio}
    )


def _committed(folder: Path) -> Iterator[Case]:
    """The same from the published tables that the tests keep."""
    events = _rows(_without_key(folder / "tide_high_low.csv"))
    for row in _rows(_without_key(folder / "tide_stations.csv")):
        key = row["station"]
        source = _key_line(folder / f"tide_constants_{key}.csv")
        notes = {"name": row["name"], "timezone": row["timezone"], "datum": row["datum"], "source": source,
                 "mean_level_m": float(row["mean_level_m"])}  # fmt: skip
        file = read_constants(folder / f"tide_constants_{key}.csv", notes)
        heights = folder / f"tide_heights_{key}.csv"
        if heights.is_file():
            yield _case(file, notes, heights.read_bytes())
        if mine := [each for each in events if each["station"] == key]:
            yield _case(file, notes, _sheet(mine))
    ports = _rows(_without_key(folder / "tide_secondary_high_low.csv"))
    for row in _rows(_without_key(folder / "tide_secondary_ports.csv")):
        table, reference = (
            read_high_low(_sheet([each for each in ports if each["station"] == row[key]])).table
            for key in ("station", "reference")
        )
        port = _port([row["high_min"], row["low_min"]], [row["high_ratio"], row["low_ratio"]])
        yield PortCase(row["name"], "ft", port, reference, table)


def _key_line(path: Path) -> str:
    """The source a published table names in its first line."""
    line = path.read_text("utf-8").split("\n", 1)[0]
    return "Rijkswaterstaat" if "[rws-" in line else line.lstrip("# ")


def _without_key(path: Path) -> str:
    return path.read_text("utf-8").split("\n", 1)[1]


def _rows(text: str) -> list[Row]:
    return list(csv.DictReader(io.StringIO(text)))


def _sheet(rows: list[Row]) -> bytes:
    lines = [",".join((row["utc"], row["height_ft"], row["type"])) for row in rows]
    return "\n".join(["utc,height_ft,type", *lines]).encode()
