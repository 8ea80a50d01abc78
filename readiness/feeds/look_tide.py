"""What a tide file holds: constants, high and low waters, observed heights, or the differences of a secondary port."""

import math

import numpy as np

from readiness.feeds.look_record import Look, Part
from readiness.feeds.tide_differences import Document, read_differences
from readiness.feeds.tide_series import read_series
from readiness.feeds.tide_table import read_constants, read_high_low
from readiness.rules.tide_differences import words_of

WATERS = ("high", "low")


def look_at_constants(data: bytes, name: str) -> Look:
    """Constants of a station as CSV. Raises BadInput."""
    file = read_constants(data)
    return Look(
        kind="tide constants",
        name=name,
        size=len(data),
        counts={"rows": file.rows, "constituents": len(file.harmonics.constituents)},
        units={"amplitude": file.unit, "phase": f"degrees on {file.zone}"},
        parts=(Part(f"type of tide F {file.form:.2f}", file.rows, "rows"),) if np.isfinite(file.form) else (),
        warnings=file.warnings,
        ignored=file.ignored,
    )


def look_at_high_low(data: bytes, name: str) -> Look:
    """High and low waters as CSV. Raises BadInput."""
    file = read_high_low(data)
    highs = int(np.asarray(file.table.high).sum())
    return Look(
        kind="high and low waters",
        name=name,
        size=len(data),
        counts={"rows": file.rows, "high waters": highs, "low waters": len(file.table.at) - highs},
        first_at=float(file.table.at[0]),
        last_at=float(file.table.at[-1]),
        units={"height": f"{file.unit} above {file.datum or 'a datum that is not stated'}", "time": file.zone},
        warnings=file.warnings,
        ignored=file.ignored,
    )


def look_at_observations(data: bytes, name: str) -> Look:
    """Observed heights as CSV. Raises BadInput."""
    file = read_series(data)
    return Look(
        kind="observed heights",
        name=name,
        size=len(data),
        counts={"rows": file.rows, "heights": int(np.isfinite(file.height_m).sum())},
        first_at=float(file.at[0]) if file.at.size else math.nan,
        last_at=float(file.at[-1]) if file.at.size else math.nan,
        units={"height": f"{file.unit} above {file.datum or 'a datum that is not stated'}", "time": file.zone},
        warnings=("These are observations: constants are fitted to them before a tide can be told.",),
    )


def look_at_differences(data: bytes, name: str) -> Look:
    """The differences of a secondary port, as CSV or JSON. Raises BadInput."""
    document = read_differences(data)
    return Look(
        kind="differences of a secondary port",
        name=name,
        size=len(data),
        counts={"figures": sum(_of_water(document, water) for water in WATERS)},
        parts=tuple(Part(f"{water} water", _of_water(document, water), "figures") for water in WATERS),
        warnings=(
            f"They work {words_of(document)}.",
            "The file does not name the port these are on: that is asked for when it is taken in.",
        ),
    )


def _of_water(document: Document, water: str) -> int:
    return sum(_figures(value) for key, value in document.items() if key.split("_")[0] == water)


def _figures(value: object) -> int:
    """How many differences are given in a part of the document: the places of a table are none."""
    if isinstance(value, dict):
        return sum(_figures(value.get(column)) for column in ("late_s", "more_m"))
    if isinstance(value, list):
        return sum(map(_figures, value))
    return int(isinstance(value, int | float))
