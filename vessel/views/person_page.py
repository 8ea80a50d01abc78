"""The page of one person, with every form; one that was not taken stands in its place with what was typed."""

from collections.abc import Callable
from datetime import datetime

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from vessel.actions.coming_legs import ask_to_judge
from vessel.forms.person import PersonForm, RestForm, SeenForm, StayForm
from vessel.forms.plain import OnceForm
from vessel.models import Availability, Membership, Person
from vessel.queries.permission import may
from vessel.queries.person import SKILLS
from vessel.views.once import done_once

NOT_YOURS = "You may change your own stays and rest only. Nothing was changed."


def found(aboard: Membership, pk: int) -> Person:
    """A person of one's own vessel, or 404."""
    return get_object_or_404(Person, pk=pk, vessel_id=aboard.vessel_id)


def changeable(aboard: Membership, pk: int) -> Person:
    """The same, whose stays and rest one may change: one's own, or anybody's as owner or skipper."""
    row = found(aboard, pk)
    if not _may_change(aboard, row):
        raise PermissionDenied(NOT_YOURS)
    return row


def _may_change(aboard: Membership, row: Person) -> bool:
    return may(aboard.role, "plan") or (may(aboard.role, "own stay") and row.user_id == aboard.user_id)


def saved(
    request: HttpRequest, aboard: Membership, row: Person, form: OnceForm, deed: Callable[[], int], *, at: datetime,
    part: str, said: str,
) -> HttpResponse:  # fmt: skip
    """Do the deed of a form once, and show the person again; or the form with why it was not done."""
    if done_once(request, aboard, form, deed, at=at) is None:
        return person_page(request, aboard, row, **{part: form})
    ask_to_judge(vessel_id=aboard.vessel_id, at=at)
    messages.success(request, f"{said} Coming legs are being judged again.")
    return redirect("vessel:person", pk=row.pk)


def person_page(request: HttpRequest, aboard: Membership, row: Person, **given: OnceForm) -> HttpResponse:
    """Everything one may see of a person: fitness, notes and rest for owner, skipper and the person."""
    own = row.user_id == aboard.user_id
    stays = row.availabilities.filter(aboard_until__gt=timezone.now()).order_by("aboard_from")
    context = {
        "person": row,
        "zone": aboard.vessel.home_zone,
        "skills": [words for column, words in SKILLS.items() if getattr(row, column)],
        "private": own or may(aboard.role, "private"),
        "may_plan": may(aboard.role, "plan"),
        "may_change": _may_change(aboard, row),
        "stays": [(stay, given.get(f"stay{stay.pk}") or _stay_form(aboard, stay)) for stay in stays],
        "last_rest": row.rests.order_by("-at", "-pk").first(),
        "form": given.get("form") or PersonForm(person=row),
        "new_stay": given.get("new_stay") or StayForm(vessel=aboard.vessel, prefix="new"),
        "resting": given.get("resting") or RestForm(),
        "briefing": given.get("briefing") or SeenForm(initial={"version": row.version}, auto_id="brief_%s"),
    }
    return render(request, "vessel/person/page.html", context, status=422 if given else 200)


def _stay_form(aboard: Membership, stay: Availability) -> StayForm:
    return StayForm(vessel=aboard.vessel, stay=stay, prefix=f"stay{stay.pk}")
