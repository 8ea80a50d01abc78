"""The invented shore: land to the north, the river behind Brannowmouth, the narrows at Skarn, two islands."""

from datetime import datetime

import numpy as np

from readiness.actions.coastline import take_in_coastline
from readiness.feeds.coastline import Area, CoastFile
from readiness.management.demo.coast import INVENTED, place_at
from readiness.models import Coastline
from vessel.actions.author import By
from vessel.models import Vessel

# Mile east of Ostrel Haven, miles north of the line of the leg.
MAINLAND = (
    (-6, 2.0), (-4.6, 1.3), (-3.2, 1.8), (-2.1, 1.0), (-1.1, 0.9), (-0.5, 0.3), (-0.25, 0.13), (0.2, 0.13), (0.6, 0.5),
    (1.4, 0.8), (2.6, 1.2), (4.1, 1.6), (5.4, 1.2), (6.5, 1.3), (7.8, 0.8), (9.2, 1.1), (10.4, 0.8), (11.5, 1.0),
    (12.8, 0.5), (13.5, 0.4), (13.8, 0.2),
    # the river: up its west and north bank, back along the other
    (13.88, 0.7), (14.25, 1.4), (15.3, 2.05), (16.9, 2.65), (18.5, 3.12), (19.25, 3.3), (19.45, 3.15), (19.1, 2.88),
    (17.2, 2.3), (15.8, 1.7), (14.85, 1.15), (14.35, 0.6), (14.25, 0.2),
    (15.2, 0.5), (16.4, 1.0), (17.8, 1.2), (19.3, 0.9), (20.6, 0.95), (21.9, 0.5), (23.0, 0.35), (24.1, 0.25),
    (25.4, 0.33), (26.8, 0.24), (28.3, 0.3), (28.85, 0.12),
    # the pool behind its sill
    (28.92, 0.35), (28.72, 0.6), (28.85, 0.9), (29.2, 0.95), (29.38, 0.62), (29.1, 0.35), (29.15, 0.12),
    (29.6, 0.25), (30.4, 0.7), (32.0, 1.1), (33.6, 0.95), (35.3, 0.7), (36.7, 0.25),
    # the bight, open to the south and west
    (37.3, 0.8), (38.3, 1.4), (39.4, 1.2), (40.2, 0.6), (40.9, 0.12),
    (41.7, 0.3), (43.0, 0.85), (44.8, 0.95), (46.4, 0.5), (47.5, 0.22), (47.9, 0.1), (47.95, 0.45), (48.15, 0.45),
    (48.12, 0.1), (48.6, 0.02), (49.4, -0.5), (50.8, -1.6), (52.4, -2.1), (54, -2.6), (60, -3.1),
    (60, 30), (-12, 30), (-12, 2.9), (-9, 3.4),
)  # fmt: skip
SKARN_ISLAND = (
    (23.4, -0.95), (24.2, -0.5), (25.5, -0.4), (26.9, -0.48), (28.2, -0.6), (28.75, -1.05), (27.8, -1.6), (26.0, -1.9),
    (24.4, -1.55),
)  # fmt: skip
VESSARY_ISLAND = (
    (44.9, -1.6), (45.8, -1.2), (46.7, -1.45), (47.15, -2.1), (46.9, -2.9), (46.0, -3.2), (45.2, -2.6),
)  # fmt: skip
AREA = ((-12, -30), (60, 30))  # south-west and north-east corner of what is drawn


def demo_shore(vessel: Vessel, by: By, at: datetime) -> Coastline:
    """Write the shore down for one vessel."""
    (south, west), (north, east) = (place_at(mile, -up) for mile, up in AREA)
    polygons = tuple((_ring(shape),) for shape in (MAINLAND, SKARN_ISLAND, VESSARY_ISLAND))
    points = sum(len(rings[0]) for rings in polygons)
    file = CoastFile(polygons, Area(south, west, north, east), points)
    return take_in_coastline(
        vessel=vessel, key="ostrel-coast", name="Ostrel coast", file=file, source=INVENTED, by=by, at=at
    )


def _ring(shape: tuple[tuple[float, float], ...]) -> "np.ndarray[tuple[int, int], np.dtype[np.float64]]":
    places = [place_at(mile, -up) for mile, up in (*shape, shape[0])]
    return np.array([(lon_deg, lat_deg) for lat_deg, lon_deg in places])
