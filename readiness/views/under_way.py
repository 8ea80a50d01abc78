"""Following a leg under way: departed, where she is, arrived or turned back, or called off before she left."""

from collections.abc import Callable
from datetime import datetime

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from readiness.actions.leg import depart as depart_leg
from readiness.actions.leg import end_leg, report_position, take_back
from readiness.forms.under_way import ENDS, DepartForm, EndForm, PositionForm
from readiness.models import Leg, LegStatus
from readiness.views.decision import found
from vessel.actions.coming_legs import ask_to_judge
from vessel.forms.person import SeenForm
from vessel.forms.plain import OnceForm
from vessel.models import Membership
from vessel.queries.history import names_of
from vessel.queries.permission import may
from vessel.views.once import done_once
from vessel.views.permission import needs


@require_safe
@needs("read")
def under_way(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """Where the leg stands, and the forms that fit."""
    return _page(request, aboard, found(aboard, pk))


@require_POST
@needs("follow")
def depart(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """She has let go; left empty, the time is now."""
    row, at = found(aboard, pk), timezone.now()
    form = DepartForm(request.POST, leg=row)

    def deed() -> int:
        return depart_leg(leg_id=row.pk, by=request.user, at=at, departed_at=form.cleaned_data["departed_at"]).pk

    return _saved(request, aboard, row, deed, at, said="Written down: she has let go.", departing=form)


@require_POST
@needs("follow")
def position(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """Where she is."""
    row, at = found(aboard, pk), timezone.now()
    form = PositionForm(request.POST)

    def deed() -> int:
        given = form.cleaned_data
        return report_position(
            leg_id=row.pk, lat_deg=given["lat"], lon_deg=given["lon"], text=given["text"], by=request.user, at=at
        ).pk

    return _saved(request, aboard, row, deed, at, said="The position is written down.", position=form)


@require_POST
@needs("follow")
def end(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """Arrived, turned back or called off; left empty, the time is now."""
    row, at = found(aboard, pk), timezone.now()
    form = EndForm(request.POST, leg=row)

    def deed() -> int:
        given = form.cleaned_data
        status, ended_at = LegStatus(given["status"]), given["ended_at"]
        return end_leg(
            leg_id=row.pk, status=status, by=request.user, at=at, ended_at=ended_at, outcome=given["outcome"]
        ).pk

    return _saved(request, aboard, row, deed, at, said="Written down.", ending=form)


@require_POST
@needs("plan")
def back(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """Departed, or how it ended, was written down by mistake: it is taken back."""
    row, at = found(aboard, pk), timezone.now()
    form = SeenForm(request.POST)

    def deed() -> int:
        return take_back(leg_id=row.pk, seen_version=form.cleaned_data["version"], by=request.user, at=at).pk

    return _saved(request, aboard, row, deed, at, said="Taken back.", taking_back=form)


def _saved(
    request: HttpRequest, aboard: Membership, row: Leg, deed: Callable[[], int], at: datetime, *, said: str,
    **given: OnceForm,
) -> HttpResponse:  # fmt: skip
    (form,) = given.values()
    if done_once(request, aboard, form, deed, at=at) is None:
        row.refresh_from_db()
        return _page(request, aboard, row, **given)
    ask_to_judge(vessel_id=aboard.vessel_id, at=at)
    messages.success(request, said)
    return redirect("readiness:under_way", pk=row.pk)


def _page(request: HttpRequest, aboard: Membership, row: Leg, **given: OnceForm) -> HttpResponse:
    names = names_of(aboard.vessel_id)
    context = {
        "leg": row,
        "zone": row.departure.zone,
        "arrival_zone": row.arrival.zone,
        "may_follow": may(aboard.role, "follow"),
        "private": may(aboard.role, "private"),
        "is_planned": row.status == LegStatus.PLANNED,
        "is_under_way": row.status == LegStatus.UNDER_WAY,
        "is_ended": row.status not in ENDS,
        "reports": [(report, names.get(report.by, report.by)) for report in row.position_reports.order_by("-at")],
        "departing": DepartForm(leg=row),
        "position": PositionForm(),
        "ending": EndForm(leg=row),
        "may_take_back": may(aboard.role, "plan") and row.status != LegStatus.PLANNED,
        "taking_back": SeenForm(initial={"version": row.version}),
        **given,
    }
    return render(request, "readiness/leg/under_way.html", context, status=422 if given else 200)
