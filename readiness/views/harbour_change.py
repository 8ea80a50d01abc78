"""Writing down and changing harbours and gates: one form each, one way through it."""

from collections.abc import Callable
from datetime import datetime

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from readiness.actions.coast import add_gate, add_harbour
from readiness.actions.harbour import change_harbour, free_key
from readiness.forms.harbour import GateForm, HarbourForm, WayGateForm, gate_form_of, gate_initial, harbour_initial
from readiness.models import Gate, Harbour
from readiness.views.harbour import found
from vessel.actions.coming_legs import ask_to_judge
from vessel.actions.particulars import change
from vessel.forms.plain import VersionForm
from vessel.models import Membership
from vessel.views.once import done_once
from vessel.views.permission import needs

NEW = {"version": 0}
SAVED = "{} is saved. Coming legs are being judged again."
HARBOUR, GATE = "readiness:harbour", "readiness:gate"
Deed = Callable[[datetime], int]  # gives the number of what is shown then


@require_http_methods(["GET", "HEAD", "POST"])
@needs("plan")
def add(request: HttpRequest, aboard: Membership) -> HttpResponse:
    """A new harbour."""
    form = HarbourForm(request.POST or None, vessel=aboard.vessel, initial=NEW)

    def deed(at: datetime) -> int:
        columns, key = form.columns(), free_key(Harbour, aboard.vessel, form.cleaned_data["name"])
        shelter = form.cleaned_data["shelter"]
        return add_harbour(vessel=aboard.vessel, by=request.user, at=at, key=key, shelter=shelter, **columns).pk

    return _formed(request, aboard, form, deed, title="Add a harbour", page="readiness/harbour/change.html")


@require_http_methods(["GET", "HEAD", "POST"])
@needs("plan")
def change_one(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """A harbour changed, unless somebody else changed it meanwhile."""
    row = found(aboard, pk)
    form = HarbourForm(request.POST or None, vessel=aboard.vessel, initial=harbour_initial(row))

    def deed(at: datetime) -> int:
        given = form.cleaned_data
        return change_harbour(
            harbour=row, seen_version=given["version"], by=request.user, at=at, shelter=given["shelter"],
            **form.columns(),
        ).pk  # fmt: skip

    return _formed(request, aboard, form, deed, title=f"Change {row.name}", page="readiness/harbour/change.html")


@require_http_methods(["GET", "HEAD", "POST"])
@needs("plan")
def add_gate_here(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """A new gate of a harbour."""
    row = found(aboard, pk)
    form = GateForm(request.POST or None, vessel=aboard.vessel, initial={**NEW, "tide_station": row.tide_station_id})

    def deed(at: datetime) -> int:
        key = free_key(Gate, aboard.vessel, form.cleaned_data["name"])
        add_gate(vessel=aboard.vessel, by=request.user, at=at, key=key, harbour=row, **form.columns())
        return row.pk

    return _formed(request, aboard, form, deed, title=f"Add a gate to {row.name}", page="readiness/harbour/gate.html")


@require_http_methods(["GET", "HEAD", "POST"])
@needs("plan")
def change_gate(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """A gate changed, of a harbour or on the way, unless somebody else changed it meanwhile."""
    row = get_object_or_404(Gate.objects.select_related("harbour", "vessel"), pk=pk, vessel=aboard.vessel)
    form = gate_form_of(row)(request.POST or None, vessel=aboard.vessel, initial=gate_initial(row))

    def deed(at: datetime) -> int:
        seen = form.cleaned_data["version"]
        change(row, vessel=aboard.vessel, seen_version=seen, by=request.user, at=at, **form.columns())
        return row.harbour_id or row.pk

    to = HARBOUR if row.harbour_id else GATE
    return _formed(request, aboard, form, deed, title=f"Change {row.name}", page="readiness/harbour/gate.html", to=to)


@require_http_methods(["GET", "HEAD", "POST"])
@needs("plan")
def add_gate_on_the_way(request: HttpRequest, aboard: Membership) -> HttpResponse:
    """A new gate that no harbour has."""
    form = WayGateForm(request.POST or None, vessel=aboard.vessel, initial={**NEW, "zone": aboard.vessel.home_zone})

    def deed(at: datetime) -> int:
        key = free_key(Gate, aboard.vessel, form.cleaned_data["name"])
        return add_gate(vessel=aboard.vessel, by=request.user, at=at, key=key, **form.columns()).pk

    title = "Add a gate on the way"
    return _formed(request, aboard, form, deed, title=title, page="readiness/harbour/gate.html", to=GATE)


def _formed(
    request: HttpRequest, aboard: Membership, form: VersionForm, deed: Deed, *, title: str, page: str, to: str = HARBOUR
) -> HttpResponse:
    """The form; or its deed, done once, and then the page of the harbour or gate it gives the number of."""
    at = timezone.now()
    if request.method == "POST":
        pk = done_once(request, aboard, form, lambda: deed(at), at=at)
        if pk is not None:
            ask_to_judge(vessel_id=aboard.vessel_id, at=at)
            messages.success(request, SAVED.format(form.cleaned_data["name"]))
            return redirect(to, pk=pk)
    return render(request, page, {"form": form, "title": title}, status=422 if form.errors else 200)
