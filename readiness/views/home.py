"""Home: the boat today. The next leg's verdict, the first reason, what to do next, what is wrong."""

from datetime import datetime

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from maintenance.queries.defect import open_defects
from readiness.models import Leg, Verdict
from readiness.models.leg import COMING
from readiness.queries.facts import facts_for
from readiness.rules.engine import judge
from readiness.views.judged_picture import strip_of
from readiness.views.leg import chosen_index, headline, row_address
from readiness.views.picture.departures import draw_departures
from vessel.errors import BadInput
from vessel.models import Membership
from vessel.views.permission import needs

DAYS_SHOWN = 4
DEFECTS_SHOWN = 5


@require_safe
@needs("read")
def home(request: HttpRequest, aboard: Membership) -> HttpResponse:
    """The boat today."""
    at = timezone.now()
    coming = Leg.objects.filter(vessel=aboard.vessel, status__in=COMING).select_related("departure", "arrival")
    leg = coming.filter(planned_at__gte=at).order_by("planned_at").first() or coming.order_by("-planned_at").first()
    context: dict[str, object] = {
        "vessel": aboard.vessel,
        "leg": leg,
        "defects": open_defects(aboard.vessel_id)[:DEFECTS_SHOWN],
    }
    if leg is not None:
        context |= judged_home(leg, at)
    return render(request, "readiness/home/page.html", context)


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
        "leaves_in_s": float(judged.passage.departure_at[chosen]) - at.timestamp(),
        "doing": [finding for finding in findings if finding.words.do] if isinstance(findings, list) else [],
        "last_kept": Verdict.objects.filter(leg=leg, is_newest=True).only("judged_at").first(),
    }
