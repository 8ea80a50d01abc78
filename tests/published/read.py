"""Reads a published table: the first line is its key, table, page and the date it was read; then a header."""

import csv
from pathlib import Path

FOLDER = Path(__file__).parent


def published(name: str) -> list[dict[str, str]]:
    """The rows of tests/published/<name>.csv, every cell as printed."""
    with (FOLDER / f"{name}.csv").open(newline="", encoding="utf-8") as lines:
        if not next(lines).startswith("# ["):
            raise ValueError(f"{name}.csv does not begin with the key of its source.")
        return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def half_a_unit(printed: str) -> float:
    """Half of the last printed place: by how much a figure may differ and still be printed like this."""
    places = len(printed.partition(".")[2])
    return 0.5 * 10.0**-places
