"""Reads of legs: which are coming, how long one is."""

from datetime import datetime, timedelta

import numpy as np

from readiness.calc.track import cut
from readiness.models import Leg, LegStatus
from readiness.queries.facts_leg import way_of
from readiness.rules.words_of_trade import TrackKind
from vessel.units import NAUTICAL_MILE

LATE = timedelta(days=1)  # a planned leg this long past its time is no longer coming


def coming_legs(at: datetime, vessel_id: int | None = None) -> list[int]:
    """Primary keys of the planned legs that are still coming, of one vessel or all, soonest first. One query."""
    legs = Leg.objects.filter(status=LegStatus.PLANNED, planned_at__gt=at - LATE)
    if vessel_id is not None:
        legs = legs.filter(vessel_id=vessel_id)
    return list(legs.order_by("planned_at", "pk").values_list("pk", flat=True))


def distance_m(leg_id: int) -> float:
    """Metres along the way of a leg. Two queries. Raises BadInput for fewer than two points."""
    way = way_of(Leg.objects.select_related("departure", "arrival").get(pk=leg_id)).facts
    track = cut(
        np.array([point.lat_deg for point in way.points]),
        np.array([point.lon_deg for point in way.points]),
        np.array([segment.kind == TrackKind.GEODESIC for segment in way.segments]),
        NAUTICAL_MILE,
    )
    return float(track.node_along_m[-1])
