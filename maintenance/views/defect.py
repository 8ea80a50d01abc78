"""The defects, and one defect: its state in a sentence, its trend, a reading to add, and how it was mended."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from maintenance.actions.defect import correct_defect, mend_defect, propose_mending, reopen_defect
from maintenance.forms.defect import CorrectForm, MendForm, ProposeForm, ReadingForm, ReopenForm
from maintenance.models import Defect
from maintenance.models.job import ENDED
from maintenance.queries.critical import is_critical
from maintenance.queries.defect import mended_defects, open_defects
from maintenance.queries.trend import trend_of
from maintenance.views.picture.trend import draw_trend
from maintenance.views.trend_words import as_picture, crossing_sentence, state_sentence, unit_of
from maintenance.views.which_unit import offered, settled
from vessel.actions.coming_legs import ask_to_judge
from vessel.actions.series import add_reading
from vessel.calc.quantity import WhichUnit
from vessel.models import Membership
from vessel.queries.attachment import file_of
from vessel.queries.history import history_page
from vessel.queries.permission import may
from vessel.views.once import done_once
from vessel.views.permission import needs

NOT_YOURS_TO_CLOSE = (
    "{code} bites on something she needs, so owner or skipper close it. Say on its page how it was mended: they read it "
    "there. Nothing was changed."
)


@require_safe
@needs("read")
def defects(request: HttpRequest, aboard: Membership) -> HttpResponse:
    """Open ones, the worst first, then those mended."""
    context = {"open": open_defects(aboard.vessel_id), "mended": mended_defects(aboard.vessel_id)[:100],
               "zone": aboard.vessel.home_zone}  # fmt: skip
    return render(request, "maintenance/defect/list.html", context)


@require_safe
@needs("read")
def defect(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """One defect."""
    row = _found(aboard, pk)
    return render(request, "maintenance/defect/page.html", told(row, aboard, at=timezone.now()))


@require_POST
@needs("report")
def add(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """Adds a reading to the series the defect is watched by; a word with two meanings is asked back."""
    row, at = _found(aboard, pk), timezone.now()
    if row.series is None:
        raise Http404
    form = ReadingForm(request.POST)
    question: list[WhichUnit] = []
    written = done_once(request, aboard, form, lambda: _add(row, form, request, at, question), at=at, field="typed")
    if written is not None:
        ask_to_judge(vessel_id=aboard.vessel_id, at=at)
        messages.success(request, "The reading is written down. Coming legs are being judged again.")
        return redirect("maintenance:defect", pk=pk)
    typed = request.POST.get("typed", "")
    choices = offered(typed, row.series.unit, question[0]) if question else []
    context = {**told(row, aboard, at=at), "reading": form, "choices": choices}
    return render(request, "maintenance/defect/page.html", context, status=422)


def _add(row: Defect, form: ReadingForm, request: HttpRequest, at: datetime, question: list[WhichUnit]) -> int:
    given = form.cleaned_data
    typed = settled(given["typed"], request.POST.get("means", ""))
    try:
        reading = add_reading(
            series_id=row.series_id or 0, typed=typed, engine_hours=given["engine_hours"], by=request.user, at=at
        )
    except WhichUnit as which:
        question.append(which)
        raise
    return reading.pk


@require_POST
@needs("work")
def mend(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """Closes a defect with how it was mended and proved; one that bites on what she needs is for those in command."""
    row = _found(aboard, pk)
    if not _may_close(aboard, row):
        raise PermissionDenied(NOT_YOURS_TO_CLOSE.format(code=row.code))
    return _told_why(request, aboard, row, Ending("mend", MendForm, "proof", mend_defect, "is mended"))


@require_POST
@needs("work")
def propose(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """The crew say how it was mended; it stays open, and no leg is judged the better for it."""
    row, at = _found(aboard, pk), timezone.now()
    form = ProposeForm(request.POST)

    def deed() -> int:
        return propose_mending(defect_id=row.pk, proof=form.cleaned_data["proof"], by=request.user, at=at).pk

    if done_once(request, aboard, form, deed, at=at, field="proof") is not None:
        messages.success(request, f"{row.code} stays open. Owner or skipper read below what you wrote and close it.")
        return redirect("maintenance:defect", pk=pk)
    return render(request, "maintenance/defect/page.html", {**told(row, aboard, at=at), "propose": form}, status=422)


@require_POST
@needs("mend critical")
def correct(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """Says otherwise what it does and to what; whoever may close any defect may."""
    row, at = _found(aboard, pk), timezone.now()
    form = CorrectForm(request.POST, row=row, auto_id="correct_%s")

    def deed() -> int:
        seen = form.cleaned_data["version"]
        return correct_defect(defect_id=row.pk, seen_version=seen, by=request.user, at=at, **form.columns()).pk

    if done_once(request, aboard, form, deed, at=at) is not None:
        ask_to_judge(vessel_id=aboard.vessel_id, at=at)
        messages.success(request, f"{row.code} is corrected. Coming legs are being judged again.")
        return redirect("maintenance:defect", pk=row.pk)
    row = _found(aboard, pk)
    return render(request, "maintenance/defect/page.html", {**told(row, aboard, at=at), "correct": form}, status=422)


@require_POST
@needs("work")
def reopen(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """Opens a mended defect again: also the way back from a mistaken tap."""
    row = _found(aboard, pk)
    return _told_why(request, aboard, row, Ending("reopen", ReopenForm, "reason", reopen_defect, "is open again"))


@dataclass(frozen=True, slots=True)
class Ending:
    """A form that closes or opens a defect: `field` holds why, the deed takes it under the same name."""

    name: str
    form: type[MendForm | ReopenForm]
    field: str
    deed: Callable[..., Defect]
    said: str


def _told_why(request: HttpRequest, aboard: Membership, row: Defect, ending: Ending) -> HttpResponse:
    at, form = timezone.now(), ending.form(request.POST)

    def deed() -> int:
        given = form.cleaned_data
        why = {ending.field: given[ending.field]}
        return ending.deed(defect_id=row.pk, seen_version=given["version"], by=request.user, at=at, **why).pk

    if done_once(request, aboard, form, deed, at=at, field=ending.field) is not None:
        ask_to_judge(vessel_id=aboard.vessel_id, at=at)
        messages.success(request, f"{row.code} {ending.said}. Coming legs are being judged again.")
        return redirect("maintenance:defect", pk=row.pk)
    context = {**told(row, aboard, at=at), ending.name: form}
    return render(request, "maintenance/defect/page.html", context, status=422)


def _may_close(aboard: Membership, row: Defect) -> bool:
    return may(aboard.role, "mend critical") or not is_critical(row)


@require_safe
@needs("read")
def photo(request: HttpRequest, aboard: Membership, pk: int, sha256: str) -> FileResponse:  # noqa: ARG001
    """A photo of a defect of one's own vessel; anything else is not there."""
    row = _found(aboard, pk)
    attachment = get_object_or_404(row.photos, sha256=sha256)
    place = file_of(attachment)
    if not place.is_file():
        raise Http404
    answer = FileResponse(place.open("rb"), content_type=attachment.media_type)
    answer["Cache-Control"] = "private, max-age=86400"
    answer["Content-Security-Policy"] = "sandbox"
    return answer


def told(row: Defect, aboard: Membership, *, at: datetime) -> dict[str, object]:
    """Everything the page tells of one defect."""
    trend = trend_of(row, at=at)
    context: dict[str, object] = {
        "defect": row,
        "zone": aboard.vessel.home_zone,
        "photos": row.photos.all(),
        "jobs": row.jobs.exclude(status__in=ENDED).order_by("number"),
        "history": history_page(aboard.vessel_id, noun="defect", noun_key=row.code, size=20),
        "mend": MendForm(initial={"version": row.version}),
        "reopen": ReopenForm(initial={"version": row.version}),
        "propose": ProposeForm(),
        "may_close": _may_close(aboard, row),
        "may_correct": may(aboard.role, "mend critical") and row.closed_at is None,
        "correct": CorrectForm(row=row, auto_id="correct_%s"),
        "choices": [],
    }
    if trend is None:
        return context
    plain = as_picture(trend, row)
    return {
        **context,
        "trend": trend,
        "state": state_sentence(trend),
        "crossing": crossing_sentence(trend, aboard.vessel.next_haul_out_on),
        "picture": draw_trend(plain) if trend.points else None,
        "x_words": plain.x_words,
        "unit": unit_of(trend)[0],
        "readings": trend.readings,
        "reading": ReadingForm(),
    }


def _found(aboard: Membership, pk: int) -> Defect:
    rows = Defect.objects.select_related("vessel", "equipment", "series")
    return get_object_or_404(rows, pk=pk, vessel_id=aboard.vessel_id)
