"""The same leg on another day: its way, refuges and crew; whatever was said for the old one is not said for the new."""

from datetime import datetime
from typing import Any

from django.db import models, transaction

from readiness.actions.leg import plan_leg
from readiness.models import Leg
from vessel.actions.author import By

PLAN = ("departure", "arrival", "harbour_move", "speed_mps", "running_on_s", "watch_plan_counts_autopilot")
SAID_NOT = ("contact_name", "contact_details")  # the same person ashore, who has not been told yet


@transaction.atomic
def copy_leg(*, leg_id: int, name: str, planned_at: datetime, by: By, at: datetime) -> Leg:
    """A new leg after an old one: the contact is not told yet, the keeper not asked, nothing met or waived."""
    old = Leg.objects.select_related("vessel", "departure", "arrival").get(pk=leg_id)
    return plan_leg(
        vessel=old.vessel,
        name=name,
        by=by,
        at=at,
        planned_at=planned_at,
        points=[_columns(point) for point in old.points.select_related("tide_station", "gate").order_by("number")],
        segments=[_columns(segment) for segment in old.segments.select_related("stream_table").order_by("number")],
        refuges=old.refuges.all(),
        crew=[row.person for row in old.crew_rows.select_related("person").order_by("-skipper", "pk")],
        **{column: getattr(old, column) for column in (*PLAN, *SAID_NOT)},
    )


def _columns(row: models.Model) -> dict[str, Any]:
    """What plan_leg takes of a point or a segment: all but its number and its leg."""
    names = [field.name for field in row._meta.fields]  # noqa: SLF001 Django's own way to ask
    return {name: getattr(row, name) for name in names if name not in {"id", "leg", "number"}}
