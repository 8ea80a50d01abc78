"""What a file of a tidal stream table holds."""

import numpy as np

from readiness.feeds.look_record import Look, Part, extent_of
from readiness.feeds.stream_table import read_stream_table


def look_at_stream_table(data: bytes, name: str) -> Look:
    """A stream table as CSV. Raises BadInput."""
    file = read_stream_table(data)
    return Look(
        kind="tidal stream table",
        name=name,
        size=len(data),
        counts={"rows": len(file.rows)},
        extent=extent_of(np.array([file.lat_deg]), np.array([file.lon_deg])),
        units={
            "hours": f"from high water at {file.reference}",
            "set": "degrees true, where the water goes",
            "rates": f"knots, at ranges of {file.neaps_range_m:g} m and {file.springs_range_m:g} m",
        },
        parts=(Part(file.name, len(file.rows), "rows"),),
        warnings=file.warnings,
        ignored=file.ignored,
    )
