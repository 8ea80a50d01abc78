"""What the coastline says of legs still to come, looked at again when another coastline is held."""

from readiness.models import Leg, LegSegment
from readiness.models.leg import COMING
from readiness.queries.coastline import land_on


def look_for_land_again(*, vessel_id: int) -> None:
    """Every segment of the legs to come gets the word of the coastlines held now. A few queries for each leg."""
    for leg in Leg.objects.filter(vessel_id=vessel_id, status__in=COMING):
        segments = list(LegSegment.objects.filter(leg=leg).order_by("number"))
        points = list(leg.points.order_by("number").values("lat_deg", "lon_deg"))
        if len(points) > len(segments):
            lands = land_on(vessel_id, points, [{"kind": segment.kind} for segment in segments])
            for segment, land in zip(segments, lands, strict=True):
                segment.land = land.value
            LegSegment.objects.bulk_update(segments, ["land"])
