"""The quick report: a few words, a photo, saved. Four taps from any page."""

from datetime import datetime

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from maintenance.actions.defect import report_defect
from maintenance.forms.defect import ReportForm
from maintenance.models import Defect
from maintenance.queries.defect import equipment_of, guess_equipment
from vessel.actions.coming_legs import ask_to_judge
from vessel.models import Membership
from vessel.views.once import done_once
from vessel.views.permission import needs


@require_http_methods(["GET", "HEAD", "POST"])
@needs("report")
def report(request: HttpRequest, aboard: Membership) -> HttpResponse:
    """The form, and the defect it makes."""
    form, at = ReportForm(request.POST or None, request.FILES or None, vessel=aboard.vessel), timezone.now()
    if request.method == "POST":
        photo = "photo" if request.FILES else ""
        pk = done_once(request, aboard, form, lambda: _save(form, request, aboard, at).pk, at=at, field=photo)
        if pk is not None:
            row = Defect.objects.get(pk=pk, vessel=aboard.vessel)
            ask_to_judge(vessel_id=aboard.vessel_id, at=at)
            messages.success(request, f"{row.code} is saved. Coming legs are being judged again.")
            return redirect("maintenance:defect", pk=row.pk)
    return render(request, "maintenance/report/page.html", {"form": form}, status=422 if form.errors else 200)


@require_safe
@needs("report")
def where(request: HttpRequest, aboard: Membership) -> HttpResponse:
    """The field "Where" with the piece guessed from the words so far, to be seen and changed before saving."""
    guess = guess_equipment(request.GET.get("title", ""), list(equipment_of(aboard.vessel_id)))
    form = ReportForm(vessel=aboard.vessel, initial={"equipment": guess})
    return render(request, "maintenance/report/_where.html", {"field": form["equipment"], "guess": guess})


def _save(form: ReportForm, request: HttpRequest, aboard: Membership, at: datetime) -> Defect:
    given = form.cleaned_data
    return report_defect(
        vessel=aboard.vessel,
        title=given["title"],
        by=request.user,
        at=at,
        equipment=given["equipment"],
        effect=given["effect"] or None,
        photo=given["photo"].read() if given["photo"] else None,
        limit_text=given["limit_text"],
    )
