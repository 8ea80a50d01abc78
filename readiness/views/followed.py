"""A leg that has begun or is over, told in place of a verdict to leave: since when, due when, who calls for help."""

from datetime import UTC, datetime
from typing import Any

from readiness.models import Leg, LegStatus
from readiness.models.leg import COMING
from readiness.queries.facts import EVERY_S, facts_for
from readiness.rules.facts_water import Departures
from readiness.rules.passage import Passage
from readiness.rules.under_way import passage_of
from vessel.errors import BadInput
from vessel.models import Membership
from vessel.queries.permission import may


def followed(row: Leg, aboard: Membership, at: datetime) -> dict[str, Any]:
    """What is told of a leg under way or over; its arrival is reckoned from when she let go. Some twenty queries."""
    under_way = row.status == LegStatus.UNDER_WAY
    passage = _reckoned(row, at) if under_way else None
    return {
        "leg": row,
        "is_under_way": under_way,
        "zone": row.departure.zone,
        "arrival_zone": row.arrival.zone,
        "due_at": None if passage is None else float(passage.plan.arrives_at[0]),
        "late_at": None if passage is None else float(passage.late.arrives_at[0]),
        "is_overdue": under_way and row.overdue_at is not None and row.overdue_at <= at,
        "private": may(aboard.role, "private"),
        "may_follow": may(aboard.role, "follow"),
        "may_plan": may(aboard.role, "plan"),
        "next_leg": _next(row),
    }


def _reckoned(row: Leg, at: datetime) -> Passage | None:
    """The passage as begun; None where its facts cannot be read."""
    if row.departed_at is None:
        return None
    begun = Departures(first=row.departed_at.astimezone(UTC), every_s=EVERY_S, count=1)
    try:
        return passage_of(facts_for(leg_id=row.pk, at=at, departures=begun))
    except BadInput:
        return None


def _next(row: Leg) -> Leg | None:
    """The next leg planned after this one."""
    after = row.ended_at or row.departed_at or row.planned_at
    coming = Leg.objects.filter(vessel_id=row.vessel_id, status__in=COMING, planned_at__gte=after)
    return coming.select_related("departure").order_by("planned_at").first()
