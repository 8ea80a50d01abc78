"""Taking in a coastline, in place of the one of the same key, and taking it away."""

from datetime import datetime

import numpy as np
from django.db import transaction

from readiness.actions.leg_land import look_for_land_again
from readiness.feeds.coastline import CoastFile, box_of
from readiness.models import Coastline, LandPolygon
from vessel.actions.author import By
from vessel.actions.particulars import change, take_away, write_down
from vessel.models import Vessel

AT_ONCE = 500


@transaction.atomic
def take_in_coastline(
    *, vessel: Vessel, key: str, name: str, file: CoastFile, by: By, at: datetime, source: str = ""
) -> Coastline:
    """The coastline a file holds; one of the same key is replaced. Raises BadInput."""
    columns = {
        "name": name, "source": source, "south_deg": file.area.south, "west_deg": file.area.west,
        "north_deg": file.area.north, "east_deg": file.area.east, "points": file.points, "taken_at": at,
    }  # fmt: skip
    held = Coastline.objects.select_for_update().filter(vessel=vessel, key=key).first()
    if held is None:
        held = write_down(Coastline, vessel=vessel, by=by, at=at, key=key, **columns)
    else:
        change(held, vessel=vessel, seen_version=held.version, by=by, at=at, **columns)
        held.polygons.all().delete()
    rows = (_row(held, number, polygon) for number, polygon in enumerate(file.polygons, start=1))
    LandPolygon.objects.bulk_create(rows, batch_size=AT_ONCE)
    look_for_land_again(vessel_id=vessel.pk)
    return held


@transaction.atomic
def take_coastline_away(*, coastline: Coastline, seen_version: int, by: By, at: datetime) -> None:
    """The coastline is no longer held. Refused where somebody changed it meanwhile."""
    vessel = coastline.vessel
    take_away(coastline, vessel=vessel, seen_version=seen_version, by=by, at=at)
    look_for_land_again(vessel_id=vessel.pk)


def _row(coastline: Coastline, number: int, polygon: tuple[np.ndarray, ...]) -> LandPolygon:
    west, south, east, north = box_of(polygon[0])
    return LandPolygon(
        coastline=coastline, number=number, south_deg=south, west_deg=west, north_deg=north, east_deg=east,
        rings=[ring.tolist() for ring in polygon],
    )  # fmt: skip
