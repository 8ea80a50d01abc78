"""Home: the boat today. The next leg's verdict, the first reason, what to do next, what is wrong."""

from datetime import datetime

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from maintenance.queries.defect import open_defects
from readiness.models import Leg, LegStatus, Verdict
from readiness.models.leg import COMING
from readiness.queries.facts import facts_for
from readiness.rules.engine import judge
from readiness.views.followed import followed
from readiness.views.judged_picture import strip_of
from readiness.views.leg import chosen_index, headline, row_address
from readiness.views.picture.departures import draw_departures
from vessel.errors import BadInput
from vessel.models import Membership
from vessel.queries.permission import may
from vessel.views.permission import needs

DAYS_SHOWN = 4
DEFECTS_SHOWN = 5


@require_safe
@needs("read")
def home(request: HttpRequest, aboard: Membership) -> HttpResponse:
    """The boat today."""
    at = timezone.now()
    if (begun := _under_way(aboard.vessel_id)) is not None:
        return _following(request, aboard, begun, at)
    coming = Leg.objects.filter(vessel=aboard.vessel, status__in=COMING).select_related("departure", "arrival")
    leg = coming.filter(planned_at__gte=at).order_by("planned_at").first() or coming.order_by("-planned_at").first()
    context: dict[str, object] = {
        "vessel": aboard.vessel,
        "leg": leg,
        "defects": open_defects(aboard.vessel_id)[:DEFECTS_SHOWN],
        "may_plan": may(aboard.role, "plan"),
        "last_leg": None if leg else _last(aboard.vessel_id),
    }
    if leg is not None:
        context |= judged_home(leg, at)
    return render(request, "readiness/home/page.html", context)


def _under_way(vessel_id: int) -> Leg | None:
    """The leg she is on; of several the one begun last."""
    legs = Leg.objects.filter(vessel_id=vessel_id, status=LegStatus.UNDER_WAY)
    return legs.select_related("departure", "arrival").order_by("-departed_at").first()


def _last(vessel_id: int) -> Leg | None:
    """The leg that ended last."""
    legs = Leg.objects.filter(vessel_id=vessel_id, ended_at__isnull=False)
    return legs.select_related("arrival").order_by("-ended_at").first()


def _following(request: HttpRequest, aboard: Membership, begun: Leg, at: datetime) -> HttpResponse:
    """Home while she is under way: the passage and what is wrong, no verdict to leave."""
    context = {**followed(begun, aboard, at), "defects": open_defects(aboard.vessel_id)[:DEFECTS_SHOWN]}
    return render(request, "readiness/home/following.html", context)


def judged_home(leg: Leg, at: datetime) -> dict[str, object]:
    """What home tells of the next leg."""
    try:
        judged = judge(facts_for(leg_id=leg.pk, at=at))
    except BadInput as reason:
        return {"reason": str(reason)}
    chosen, _ = chosen_index(judged, None, leg.planned_at)
    context = headline(judged, chosen)
    findings = context["against"]
    return {
        **context,
        "departures": draw_departures(strip_of(judged, chosen), days=DAYS_SHOWN),
        "address": row_address(leg),
        "gone_by": leg.planned_at < at,
        "leaves_in_s": float(judged.passage.departure_at[chosen]) - at.timestamp(),
        "doing": [finding for finding in findings if finding.words.do] if isinstance(findings, list) else [],
        "last_kept": Verdict.objects.filter(leg=leg, is_newest=True).only("judged_at").first(),
    }
