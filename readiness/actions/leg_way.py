"""New legs by where their way comes from. Each is one deed; the way is changed in the route editor afterwards."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from django.db import transaction

from readiness.actions.leg import plan_leg
from readiness.feeds.gpx import GpxPoint
from readiness.models import Harbour, Leg, LegPoint, LegSegment
from readiness.queries.route import way_rows
from vessel.actions.author import By
from vessel.models import Vessel

SEGMENT = ("kind", "exposed", "crosses_bar", "stream_by", "stream_table", "shore_m", "shore_to_deg")
POINT = ("name", "lat_deg", "lon_deg", "charted_m", "depth_matters", "tide_station", "gate")


def plan_straight(*, vessel: Vessel, departure: Harbour, arrival: Harbour, by: By, at: datetime, **fields: Any) -> Leg:
    """A leg of two points, the harbours with their depth and tide station. Raises BadInput."""
    points = [
        {"name": end.name, "lat_deg": end.lat_deg, "lon_deg": end.lon_deg, "charted_m": end.charted_m,
         "tide_station": end.tide_station} for end in (departure, arrival)
    ]  # fmt: skip
    return plan_leg(
        vessel=vessel, departure=departure, arrival=arrival, points=points, segments=[{}], by=by, at=at, **fields
    )


def plan_after(*, vessel: Vessel, line: Sequence[GpxPoint], by: By, at: datetime, **fields: Any) -> Leg:
    """A leg along positions from elsewhere: depth, tide and stream of every point are not known. Raises BadInput."""
    points = [
        {"name": (point.name or f"Point {place}")[:120], "lat_deg": point.lat, "lon_deg": point.lon}
        for place, point in enumerate(line, start=1)
    ]
    return plan_leg(vessel=vessel, points=points, segments=[{} for _ in points[1:]], by=by, at=at, **fields)


@transaction.atomic
def plan_back(*, leg_id: int, by: By, at: datetime, **fields: Any) -> Leg:
    """The way back of a leg, with its depths, tides and streams; same speed and refuges. Raises BadInput."""
    leg = Leg.objects.select_related("vessel", "departure", "arrival").get(pk=leg_id)
    rows = way_rows(leg)[::-1]
    known = {name: value for name, value in fields.items() if value is not None}
    return plan_leg(
        vessel=leg.vessel, departure=leg.arrival, arrival=leg.departure, by=by, at=at,
        points=[_columns(point, POINT) for point, _ in rows],
        segments=[_columns(segment, SEGMENT) if segment else {} for _, segment in rows[1:]],
        refuges=leg.refuges.all(), **{"speed_mps": leg.speed_mps, **known},
    )  # fmt: skip


def _columns(row: LegPoint | LegSegment, names: Sequence[str]) -> dict[str, Any]:
    return {name: getattr(row, name) for name in names}
