"""The coastlines held, one taken in from a GeoJSON file, one taken away."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.text import slugify
from django.views.decorators.http import require_http_methods, require_POST

from readiness.actions.coastline import take_coastline_away, take_in_coastline
from readiness.calc.track import wrapped
from readiness.feeds.coastline import COASTLINE
from readiness.forms.coastline import AwayForm, TakeCoastlineForm
from readiness.models import Coastline
from vessel.models import Membership
from vessel.views.once import done_once
from vessel.views.permission import needs


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


@require_POST
@needs("plan")
def away(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """One is no longer held; routes keep the shores that were found by it."""
    row, at = get_object_or_404(Coastline, pk=pk, vessel=aboard.vessel), timezone.now()
    form = AwayForm(request.POST)

    def deed() -> int:
        take_coastline_away(coastline=row, seen_version=form.cleaned_data["version"], by=request.user, at=at)
        return pk

    if done_once(request, aboard, form, deed, at=at) is None:
        return _page(request, aboard, TakeCoastlineForm(), refused=form, status=422)
    messages.success(request, f"{row.name} is taken away. Routes keep the shores that were found by it.")
    return redirect("readiness:coastlines")


def _page(
    request: HttpRequest,
    aboard: Membership,
    form: TakeCoastlineForm,
    refused: AwayForm | None = None,
    status: int = 200,
) -> HttpResponse:
    rows = Coastline.objects.filter(vessel=aboard.vessel)
    context = {
        "form": form,
        "refused": refused,
        "held": [(row, float(wrapped(row.east_deg)), AwayForm(initial={"version": row.version})) for row in rows],
        "zone": aboard.vessel.home_zone,
    }
    return render(request, "readiness/route/coastlines.html", context, status=status)
