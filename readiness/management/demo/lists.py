"""The demo's lists, one CSV each."""

import csv
from pathlib import Path

FOLDER = Path(__file__).resolve().parents[2] / "demo"


def lines_of(name: str) -> list[dict[str, str]]:
    """The lines of one list."""
    with (FOLDER / f"{name}.csv").open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def number_in(text: str) -> float | None:
    """The number in a cell; None for an empty one."""
    return float(text) if text else None
