"""A new leg, made in one form; the route editor comes next."""

from datetime import datetime
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from readiness.actions.leg_way import plan_after, plan_back, plan_straight
from readiness.calc.track import distance_m
from readiness.feeds.gpx import GpxPoint
from readiness.feeds.gpx_lines import lines_of
from readiness.feeds.take import take_route
from readiness.forms.new_leg import FoundLine, NewLegForm, Unpacked, packed
from readiness.models import Leg
from vessel.actions.coming_legs import ask_to_judge
from vessel.calc.wording import miles
from vessel.errors import BadInput
from vessel.models import Membership
from vessel.units import NAUTICAL_MILE
from vessel.views.once import done_once
from vessel.views.permission import needs

FAR_M = 1 * NAUTICAL_MILE  # an end of a file's line farther than this from its harbour is told [own]


@require_http_methods(["GET", "HEAD", "POST"])
@needs("plan")
def new(request: HttpRequest, aboard: Membership) -> HttpResponse:
    """The form; a file that holds several routes or tracks is asked about once more."""
    at = timezone.now()
    sent = request.POST if request.method == "POST" else None
    form = NewLegForm(sent, request.FILES or None, vessel=aboard.vessel, at=at)
    if request.method != "POST":
        return render(request, "readiness/route/new.html", {"form": form, "lines": ()})
    lines = _lines(form)
    if len(lines) > 1 and form.is_valid() and form.cleaned_data["line"] is None:
        form.add_error("line", "The file holds several ways: choose one.")
    made = done_once(request, aboard, form, lambda: _plan(form, lines, request, aboard, at).pk, at=at)
    if made is None:
        form.ask_again(lines=packed(lines) if lines else "")
        return render(request, "readiness/route/new.html", {"form": form, "lines": lines}, status=422)
    ask_to_judge(vessel_id=aboard.vessel_id, at=at)
    messages.success(
        request, "The leg is planned. Look through its route: what is empty there is not known. Then say who sails."
    )
    for warning in _far_ends(Leg.objects.select_related("departure", "arrival").get(pk=made)):
        messages.warning(request, warning)
    return redirect("readiness:route", pk=made)


def _lines(form: NewLegForm) -> tuple[FoundLine, ...]:
    """What the file sent now holds, or the one sent before; a refusal is told at the field."""
    form.is_valid()
    given = form.cleaned_data
    file, before = given.get("file"), given.get("lines") or Unpacked()
    if given.get("way") != "gpx" or file is None:
        return before.lines
    try:
        found = lines_of(take_route(file.read()))
    except BadInput as reason:
        form.add_error("file", str(reason))
        return ()
    if not found:
        form.add_error("file", "The file holds no route or track of two points or more. Nothing was taken in.")
    return tuple(
        FoundLine(told, [(point.name or "", point.lat, point.lon) for point in points]) for told, points in found
    )


def _plan(
    form: NewLegForm, lines: tuple[FoundLine, ...], request: HttpRequest, aboard: Membership, at: datetime
) -> Leg:
    given = form.cleaned_data
    same: dict[str, Any] = {
        "by": request.user, "at": at, "planned_at": given["planned_at"], "speed_mps": given["speed_mps"],
    }  # fmt: skip
    if given["way"] == "back":
        leg = given["leg"]
        return plan_back(leg_id=leg.pk, name=given["name"] or f"{leg.arrival} to {leg.departure}", **same)
    ends = {"departure": given["departure"], "arrival": given["arrival"]}
    same |= {"vessel": aboard.vessel, "name": given["name"] or f"{ends['departure']} to {ends['arrival']}", **ends}
    if given["way"] == "straight":
        return plan_straight(**same)
    picked = given["line"] or 0
    if picked >= len(lines):
        raise BadInput("Choose one of the ways the file holds. Nothing was written.")
    return plan_after(line=[GpxPoint(lat, lon, name or None) for name, lat, lon in lines[picked].points], **same)


def _far_ends(leg: Leg) -> list[str]:
    """What to say where the way does not begin or end at its harbours."""
    points = list(leg.points.order_by("number"))
    said = []
    for point, harbour, word in ((points[0], leg.departure, "begins"), (points[-1], leg.arrival, "ends")):
        off = float(distance_m(point.lat_deg, point.lon_deg, harbour.lat_deg, harbour.lon_deg))
        said += [f"The way {word} {miles(off)} from {harbour.name}."] if off > FAR_M else []
    return said
