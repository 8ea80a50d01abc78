"""The coastlines held, one taken in from a GeoJSON file, one taken away."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.text import slugify
from django.views.decorators.http import require_http_methods

from readiness.actions.coastline import take_coastline_away, take_in_coastline
from readiness.calc.track import wrapped
from readiness.feeds.coastline import COASTLINE
from readiness.forms.coastline import AwayForm, TakeCoastlineForm
from readiness.models import Coastline
from vessel.models import Membership
from vessel.views.once import done_once
from vessel.views.permission import needs

NOT_ABOARD = "There is no such coastline aboard."


@require_http_methods(["GET", "HEAD", "POST"])
@needs("plan")
def coastlines(request: HttpRequest, aboard: Membership) -> HttpResponse:
    """What is held, and the form that takes one in; the file is read in a limited process."""
    at = timezone.now()
    form = TakeCoastlineForm(request.POST or None, request.FILES or None)
    if request.method != "POST":
        return _page(request, aboard, form)
    said: list[str] = []

    def deed() -> int:
        given = form.cleaned_data
        file = COASTLINE(given["file"].read())
        said.extend([f"Polygons of land taken in: {len(file.polygons)}.", *file.warnings])
        said.extend(f"Left out: {left}." for left in file.ignored)
        return take_in_coastline(
            vessel=aboard.vessel, key=slugify(given["name"])[:60] or "coast", name=given["name"], file=file,
            source=given["source"], by=request.user, at=at,
        ).pk  # fmt: skip

    if done_once(request, aboard, form, deed, at=at, field="file") is None:
        return _page(request, aboard, form, status=422)
    messages.success(request, " ".join(said) or "The coastline is taken in.")
    return redirect("readiness:coastlines")


@require_http_methods(["GET", "HEAD", "POST"])
@needs("plan")
def away(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """Asks, then takes it away once; routes keep the shores that were found by it. Sent again it leads to the list."""
    row, at = Coastline.objects.filter(pk=pk, vessel=aboard.vessel).first(), timezone.now()
    if row is None and request.method != "POST":
        raise Http404(NOT_ABOARD)
    form = AwayForm(request.POST or None, initial={"version": row.version if row else 0})

    def deed() -> int:
        if row is None:
            raise Http404(NOT_ABOARD)
        take_coastline_away(coastline=row, seen_version=form.cleaned_data["version"], by=request.user, at=at)
        return pk

    if request.method == "POST" and done_once(request, aboard, form, deed, at=at) is not None:
        messages.success(request, "The coastline is taken away. Routes keep the shores that were found by it.")
        return redirect("readiness:coastlines")
    if row is None:
        raise Http404(NOT_ABOARD)
    context = {"form": form, "row": row, "zone": aboard.vessel.home_zone}
    return render(request, "readiness/route/coastline_away.html", context, status=422 if form.errors else 200)


def _page(request: HttpRequest, aboard: Membership, form: TakeCoastlineForm, status: int = 200) -> HttpResponse:
    rows = Coastline.objects.filter(vessel=aboard.vessel)
    context = {
        "form": form,
        "held": [(row, float(wrapped(row.east_deg))) for row in rows],
        "zone": aboard.vessel.home_zone,
    }
    return render(request, "readiness/route/coastlines.html", context, status=status)
