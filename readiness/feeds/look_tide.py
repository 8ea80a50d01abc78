"""What a tide file holds: constants, or high and low waters."""

import numpy as np

from readiness.feeds.look_record import Look, Part
from readiness.feeds.tide_table import read_constants, read_high_low


def look_at_constants(data: bytes, name: str) -> Look:
    """Constants of a station as CSV. Raises BadInput."""
    file = read_constants(data)
    return Look(
        kind="tide constants",
        name=name,
        size=len(data),
        counts={"rows": file.rows, "constituents": len(file.harmonics.constituents)},
        units={"amplitude": file.unit, "phase": f"degrees on {file.zone}"},
        parts=(Part(f"type of tide F {file.form:.2f}", file.rows, "rows"),),
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
