"""The legs, and one leg: when may we go, why, with which margins, and what would change it."""

from dataclasses import dataclass
from datetime import datetime

import numpy as np
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_safe
from django.views.decorators.vary import vary_on_headers

from readiness.models import Leg, LegStatus
from readiness.queries.decision import answers_of
from readiness.queries.facts import facts_for
from readiness.rules.chances import chances
from readiness.rules.changes import changes
from readiness.rules.departure import departure_index
from readiness.rules.engine import Judged, judge
from readiness.rules.finding import findings_at, lines_at, share_left, thinnest
from readiness.rules.judgement import Outcome, Verdict
from readiness.rules.report import VERDICT_WORD, outlook_word, verdict_word
from readiness.rules.telling import arrival_zone, departure_zone
from readiness.rules.waits import waits
from readiness.views.decision import section
from readiness.views.followed import followed
from readiness.views.judged_picture import day_of_choice, gate_of_choice, strip_of
from readiness.views.judged_route import coast_of, route_of_choice
from readiness.views.leg_table import leg_rows
from readiness.views.picture.day import draw_day
from readiness.views.picture.departures import draw_departures
from readiness.views.picture.runs import MARKS, state_of
from readiness.views.picture.tide_gate import draw_tide_gate
from readiness.views.sky import sky_of
from readiness.views.standing_on import ages_of
from vessel.errors import BadInput
from vessel.models import Membership
from vessel.queries.permission import may
from vessel.views.permission import needs


@dataclass(frozen=True)
class Margin:
    """One thin margin with its bar: a share of the limit, at most all of it."""

    title: str
    left: str
    percent: float


@require_safe
@needs("read")
def legs(request: HttpRequest, aboard: Membership) -> HttpResponse:
    """Every leg of the vessel, the coming ones first."""
    rows = Leg.objects.filter(vessel=aboard.vessel).select_related("departure", "arrival").order_by("-planned_at")
    return render(
        request,
        "readiness/leg/list.html",
        {"legs": rows, "zone": aboard.vessel.home_zone, "may_plan": may(aboard.role, "plan")},
    )


@require_safe
@vary_on_headers("HX-Request")
@needs("read")
def leg(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """One leg at one departure: `?at=` chooses it, else the planned one, else the nearest judged."""
    row = get_object_or_404(Leg.objects.select_related("departure", "arrival"), pk=pk, vessel=aboard.vessel)
    page, at = "_judged" if getattr(request, "htmx", False) else "page", timezone.now()
    if row.status != LegStatus.PLANNED:
        decisions = answers_of(row, row.planned_at).decisions
        return render(request, "readiness/leg/followed.html", {**followed(row, aboard, at), "decisions": decisions})
    try:
        judged = judge(facts_for(leg_id=row.pk, at=at))
    except BadInput as reason:
        return render(request, "readiness/leg/cannot.html", {"leg": row, "reason": str(reason)}, status=200)
    chosen, not_understood = chosen_index(judged, request.GET.get("at"), row.planned_at)
    context = {
        "leg": row,
        "gone_by": row.planned_at < at,
        "departure_is_asked": "at" in request.GET,
        "address": row_address(row),
        "not_understood": not_understood,
        **told(judged, chosen),
        **section(row, judged, chosen, aboard),
        "route": route_of_choice(judged, chosen, coast_of(judged, row.vessel_id)),
    }
    return render(request, f"readiness/leg/{page}.html", context)


def row_address(row: Leg) -> str:
    """Where a leg's page is."""
    return f"/legs/{row.pk}/"


def chosen_index(judged: Judged, typed: str | None, planned_at: datetime) -> tuple[int, str]:
    """The departure asked for; where the address holds none that was judged, the planned one and why."""
    try:
        return departure_index(judged, typed or None, planned_at.timestamp()), ""
    except BadInput as reason:
        return judged.index_at(planned_at.timestamp()), f"{reason} Shown is the planned departure."


def headline(judged: Judged, chosen: int) -> dict[str, object]:
    """The verdict on one departure, what stands against it, and the age of what it stands on."""
    passage, lines = judged.passage, lines_at(judged, chosen)
    state = state_of(int(judged.verdict[chosen]), -1)
    return {
        "word": verdict_word(judged, chosen),
        "mark": MARKS[state].value,
        "departure_at": float(passage.departure_at[chosen]),
        "distance_m": float(passage.track.node_along_m[-1]),
        "zone": departure_zone(judged.facts),
        "against": [finding for finding in findings_at(lines) if finding.outcome >= Outcome.CONDITION],
        "waived": [line for line in lines if line.waived and line.standing == Outcome.CONDITION],
        "ages": ages_of(judged),
    }


def told(judged: Judged, chosen: int) -> dict[str, object]:
    """Everything the page tells of one departure."""
    passage, lines = judged.passage, lines_at(judged, chosen)
    findings = findings_at(lines)
    gate = gate_of_choice(judged, chosen)
    runs = {"early": passage.early, "plan": passage.plan, "late": passage.late}
    found = changes(judged, chosen)
    return {
        **headline(judged, chosen),
        "outlook": outlook_word(judged, chosen) if judged.verdict[chosen] == Verdict.CANNOT_SAY_YET else "",
        "arrives": {name: float(run.arrives_at[chosen]) for name, run in runs.items()},
        "arrival_zone": arrival_zone(judged.facts),
        "judged_at": judged.facts.judged_at,
        "findings": findings,
        "advice": [finding for finding in findings if finding.outcome == Outcome.ADVICE],
        "margins": [_margin(line.words.title, line.words.margin, share_left(line)) for line in thinnest(lines)],
        "changes": [{"change": change, "word": VERDICT_WORD[change.verdict]} for change in found],
        "departures": draw_departures(strip_of(judged, chosen)),
        "day": draw_day(day_of_choice(judged, chosen)),
        "gate": draw_tide_gate(gate) if gate is not None else None,
        "rows": leg_rows(judged, chosen),
        "waits": waits(judged.facts, passage, chosen),
        "chances": chances(judged.facts, passage, judged.facts.limits, chosen),
        **sky_of(judged, chosen),
        "passed": [line for line in lines if line.applies and line.outcome == Outcome.PASSED],
    }


def _margin(title: str, left: str, share: float) -> Margin:
    return Margin(title, left, round(100 * min(share, 1.0), 1) if np.isfinite(share) else 0.0)
