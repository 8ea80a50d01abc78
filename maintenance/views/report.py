"""The quick report: a few words, a photo, saved. Four taps from any page."""

from uuid import uuid4

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
from vessel.actions.given_answer import KeyUsedOtherwise, answer_once
from vessel.errors import Refused
from vessel.models import Membership
from vessel.views.permission import needs


@require_http_methods(["GET", "HEAD", "POST"])
@needs("report")
def report(request: HttpRequest, aboard: Membership) -> HttpResponse:
    """The form, and the defect it makes."""
    fresh = {"once": uuid4().hex}
    form = ReportForm(request.POST or None, request.FILES or None, vessel=aboard.vessel, initial=fresh)
    if request.method == "POST" and form.is_valid():
        at = timezone.now()
        try:
            row = _saved_once(form, request, aboard)
        except KeyUsedOtherwise:
            form.add_error(None, "This form was saved already with other words. Open Report afresh for another defect.")
        except Refused as reason:
            form.add_error("photo" if form.cleaned_data["photo"] else None, str(reason))
        else:
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


def _saved_once(form: ReportForm, request: HttpRequest, aboard: Membership) -> Defect:
    """The defect of this form: the same form sent again, after Back or on a bad line, gives the same one."""
    given = form.cleaned_data
    if not given["once"]:
        return _save(form, request, aboard)
    words = {name: str(given[name]) for name in ("title", "equipment", "effect", "limit_text")}
    kept, _ = answer_once(
        membership=aboard,
        key=f"report {given['once']}",
        request=("POST", request.path, words),
        at=timezone.now(),
        deed=lambda: {"defect": _save(form, request, aboard).pk},
    )
    return Defect.objects.get(pk=kept["defect"], vessel=aboard.vessel)


def _save(form: ReportForm, request: HttpRequest, aboard: Membership) -> Defect:
    given = form.cleaned_data
    return report_defect(
        vessel=aboard.vessel,
        title=given["title"],
        by=request.user,
        at=timezone.now(),
        equipment=given["equipment"],
        effect=given["effect"] or None,
        photo=given["photo"].read() if given["photo"] else None,
        limit_text=given["limit_text"],
    )
