"""Reads of legs: which are coming, how long one is."""

from datetime import datetime, timedelta

import numpy as np
from django.db.models import F, OuterRef, Q, Subquery

from readiness.calc.track import cut
from readiness.models import Leg, LegStatus, Verdict
from readiness.queries.facts_leg import way_of
from readiness.rules.words_of_trade import TrackKind
from vessel.models import HistoryEntry
from vessel.units import NAUTICAL_MILE

LATE = timedelta(days=1)  # a planned leg this long past its time is no longer coming


def coming_legs(at: datetime, vessel_id: int | None = None) -> list[int]:
    """Primary keys of the planned legs that are still coming, of one vessel or all, soonest first. One query."""
    legs = Leg.objects.filter(status=LegStatus.PLANNED, planned_at__gt=at - LATE)
    if vessel_id is not None:
        legs = legs.filter(vessel_id=vessel_id)
    return list(legs.order_by("planned_at", "pk").values_list("pk", flat=True))


def legs_behind(at: datetime) -> list[int]:
    """Coming legs whose newest verdict is missing or older than the newest line of their boat's history. Two queries.

    Every change to boat, crew, water or leg writes such a line, whichever door it came through.
    """
    changed_at = HistoryEntry.objects.filter(vessel_id=OuterRef("vessel_id")).order_by("-number").values("at")[:1]
    judged_at = Verdict.objects.filter(leg_id=OuterRef("pk"), is_newest=True).values("judged_at")
    legs = Leg.objects.filter(pk__in=coming_legs(at)).annotate(
        changed_at=Subquery(changed_at), judged_at=Subquery(judged_at)
    )
    behind = legs.filter(Q(judged_at=None) | Q(changed_at__gt=F("judged_at")))
    return list(behind.order_by("planned_at", "pk").values_list("pk", flat=True))


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
