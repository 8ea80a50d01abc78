"""The crew: who may sail in her, what each can do, when each is aboard, and how rested."""

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from vessel.actions.coming_legs import ask_to_judge
from vessel.actions.person import add_person, brief_person, change_person, erase_person, tell_rest
from vessel.forms.person import PersonForm, RestForm, SeenForm
from vessel.models import Membership
from vessel.queries.permission import may
from vessel.queries.person import people_of
from vessel.views.once import done_once
from vessel.views.permission import needs
from vessel.views.person_page import NOT_YOURS, changeable, found, person_page, saved


@require_safe
@needs("people")
def crew(request: HttpRequest, aboard: Membership) -> HttpResponse:
    """Everybody."""
    context = {
        "people": people_of(aboard.vessel_id, timezone.now()),
        "zone": aboard.vessel.home_zone,
        "may_plan": may(aboard.role, "plan"),
        "private": may(aboard.role, "private"),
        "user_id": aboard.user_id,
    }
    return render(request, "vessel/person/list.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@needs("plan")
def add(request: HttpRequest, aboard: Membership) -> HttpResponse:
    """A new person."""
    form, at = PersonForm(request.POST or None), timezone.now()

    def deed() -> int:
        return add_person(vessel=aboard.vessel, by=request.user, at=at, **form.columns()).pk

    if request.method == "POST" and (pk := done_once(request, aboard, form, deed, at=at)) is not None:
        messages.success(request, "Written down. Now say when they are aboard.")
        return redirect("vessel:person", pk=pk)
    return render(request, "vessel/person/add.html", {"form": form}, status=422 if form.errors else 200)


@require_http_methods(["GET", "HEAD", "POST"])
@needs("people")
def person(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """One person; the form is for owner and skipper."""
    row, at = found(aboard, pk), timezone.now()
    if request.method != "POST":
        return person_page(request, aboard, row)
    if not may(aboard.role, "plan"):
        raise PermissionDenied(NOT_YOURS)
    form = PersonForm(request.POST, person=row)

    def deed() -> int:
        seen = form.cleaned_data["version"] or 0
        return change_person(person_id=row.pk, seen_version=seen, by=request.user, at=at, **form.columns()).pk

    return saved(request, aboard, row, form, deed, at=at, part="form", said="Written down.")


@require_POST
@needs("plan")
def brief(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """The safety brief was given."""
    row, at = found(aboard, pk), timezone.now()
    form = SeenForm(request.POST)

    def deed() -> int:
        return brief_person(person_id=row.pk, seen_version=form.cleaned_data["version"], by=request.user, at=at).pk

    return saved(
        request, aboard, row, form, deed, at=at, part="briefing", said="Written down: the safety brief was given."
    )


@require_POST
@needs("own stay")
def rest(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """Rest as told, up to now."""
    row, at = changeable(aboard, pk), timezone.now()
    form = RestForm(request.POST)

    def deed() -> int:
        return tell_rest(person_id=row.pk, by=request.user, at=at, **form.hours()).pk

    return saved(request, aboard, row, form, deed, at=at, part="resting", said="The rest is written down.")


@require_http_methods(["GET", "HEAD", "POST"])
@needs("plan")
def erase(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """Asks first; then the record goes with stays and rest."""
    row, at = found(aboard, pk), timezone.now()
    form = SeenForm(request.POST or None, initial={"version": row.version})
    if request.method == "POST" and form.is_valid():
        erase_person(person_id=row.pk, by=request.user, at=at)
        ask_to_judge(vessel_id=aboard.vessel_id, at=at)
        messages.success(request, "The record is erased. What they did stays in the history under a token, not a name.")
        return redirect("vessel:crew")
    return render(request, "vessel/person/erase.html", {"person": row, "form": form})
