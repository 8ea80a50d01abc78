"""Stays aboard: added, moved, answered, taken away."""

from datetime import datetime

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.views.decorators.http import require_POST

from vessel.actions.person import add_stay, answer_stay, change_stay, remove_stay
from vessel.forms.person import StayForm
from vessel.models import Answer, Availability, Membership
from vessel.views.permission import needs
from vessel.views.person_page import changeable, saved


@require_POST
@needs("own stay")
def add(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """A new stay, with the answer where there is one."""
    row, at = changeable(aboard, pk), timezone.now()
    form = StayForm(request.POST, vessel=aboard.vessel, prefix="new")

    def deed() -> int:
        stay = add_stay(person_id=row.pk, by=request.user, at=at, **form.columns())
        return _answered(stay, form, request, at)

    return saved(request, aboard, row, form, deed, at=at, part="new_stay", said="The stay is written down.")


@require_POST
@needs("own stay")
def change(request: HttpRequest, aboard: Membership, pk: int, stay_id: int) -> HttpResponse:
    """Other times, another answer; or, by its own button, taken away."""
    row, at = changeable(aboard, pk), timezone.now()
    stay = get_object_or_404(Availability, pk=stay_id, person=row)
    part = f"stay{stay_id}"
    form = StayForm(request.POST, vessel=aboard.vessel, prefix=part)
    removes = request.POST.get("remove") == "yes"

    def deed() -> int:
        seen = form.cleaned_data["version"] or 0
        if removes:
            remove_stay(stay_id=stay.pk, seen_version=seen, by=request.user, at=at)
            return row.pk
        moved = any(getattr(stay, name) != value for name, value in form.columns().items())
        if moved or seen != stay.version:
            changed = change_stay(stay_id=stay.pk, seen_version=seen, by=request.user, at=at, **form.columns())
            return _answered(changed, form, request, at)
        return _answered(stay, form, request, at)

    said = "The stay is taken away." if removes else "The stay is written down."
    return saved(request, aboard, row, form, deed, at=at, part=part, said=said)


def _answered(stay: Availability, form: StayForm, request: HttpRequest, at: datetime) -> int:
    """The stay, with the answer written down where it is another one."""
    answer = form.cleaned_data["answer"]
    if answer != stay.answer or answer != Answer.NOT_KNOWN:
        answer_stay(stay_id=stay.pk, seen_version=stay.version, answer=answer, by=request.user, at=at)
    return stay.pk
