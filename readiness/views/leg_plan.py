"""The plan of a leg: when and how, who ashore knows, refuges, what the keeper said, and a copy on another day."""

from collections.abc import Callable
from datetime import datetime

from django.contrib import messages
from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from readiness.actions.leg import change_leg, change_refuges, note_keeper
from readiness.actions.leg_copy import copy_leg
from readiness.forms.leg_plan import ContactForm, CopyForm, KeeperForm, PlanForm, RefugesForm
from readiness.models import Gate, KeeperPromise, Leg, LegStatus
from readiness.rules.words_of_trade import GateKind
from readiness.views.decision import found
from vessel.actions.coming_legs import ask_to_judge
from vessel.forms.known import MEANT, WORD_FOR
from vessel.forms.plain import OnceForm
from vessel.models import Membership
from vessel.views.once import done_once
from vessel.views.permission import needs


@require_http_methods(["GET", "HEAD", "POST"])
@needs("plan")
def plan(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """The page, and the plan itself; `?at=` puts a departure into the form that is not planned yet."""
    row, at = found(aboard, pk), timezone.now()
    if request.method != "POST":
        return plan_page(request, row, plan=PlanForm(leg=row, initial=_asked(request.GET.get("at", ""))))
    form = PlanForm(request.POST, leg=row, at=at)

    def deed() -> int:
        changes = form.columns()
        if row.overdue_at is not None and changes["planned_at"] >= row.overdue_at:
            changes |= {"overdue_at": None, "contact_acknowledged": None}
        return change_leg(
            leg_id=row.pk, seen_version=form.cleaned_data["version"], by=request.user, at=at, **changes
        ).pk

    return _saved(request, aboard, row, form, deed, at, part="plan", said="The plan is changed")


def _asked(typed: str) -> dict[str, object]:
    """A departure named in the address, where it is one."""
    try:
        moment = datetime.fromisoformat(typed)
    except ValueError:
        return {}
    return {"planned_at": moment} if moment.tzinfo else {}


@require_POST
@needs("plan")
def contact(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """The person ashore."""
    row, at = found(aboard, pk), timezone.now()
    form = ContactForm(request.POST, leg=row)

    def deed() -> int:
        seen = form.cleaned_data["version"]
        return change_leg(leg_id=row.pk, seen_version=seen, by=request.user, at=at, **form.columns()).pk

    return _saved(request, aboard, row, form, deed, at, part="contact", said="The shore contact is written down")


@require_POST
@needs("plan")
def refuges(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """Where she can run to."""
    row, at = found(aboard, pk), timezone.now()
    form = RefugesForm(request.POST, leg=row)

    def deed() -> int:
        given = form.cleaned_data
        return change_refuges(
            leg_id=row.pk, seen_version=given["version"], by=request.user, at=at, refuges=given["refuges"]
        ).pk

    return _saved(request, aboard, row, form, deed, at, part="refuges", said="The refuges are written down")


@require_POST
@needs("plan")
def keeper(request: HttpRequest, aboard: Membership, pk: int, gate_id: int) -> HttpResponse:
    """What a keeper said for this leg."""
    row, at = found(aboard, pk), timezone.now()
    gate = get_object_or_404(Gate, pk=gate_id, leg_points__leg=row)
    form = KeeperForm(request.POST, prefix=f"gate{gate_id}")

    def deed() -> int:
        given = form.cleaned_data
        confirmed = MEANT[given["answer"]]
        note_keeper(leg_id=row.pk, gate=gate, confirmed=confirmed, keeper=given["keeper"], by=request.user, at=at)
        return row.pk

    return _saved(request, aboard, row, form, deed, at, part=f"gate{gate_id}", said=f"{gate.name}: written down")


@require_POST
@needs("plan")
def copy(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """The same leg on another day."""
    row, at = found(aboard, pk), timezone.now()
    form = CopyForm(request.POST, leg=row, at=at, prefix="copy")

    def deed() -> int:
        given = form.cleaned_data
        return copy_leg(leg_id=row.pk, name=given["name"], planned_at=given["planned_at"], by=request.user, at=at).pk

    new = done_once(request, aboard, form, deed, at=at)
    if new is None:
        return plan_page(request, row, copy=form)
    ask_to_judge(vessel_id=aboard.vessel_id, at=at)
    messages.success(request, "The new leg is planned. Its shore contact is not told yet, no keeper asked.")
    return redirect("readiness:plan", pk=new)


def _saved(
    request: HttpRequest, aboard: Membership, row: Leg, form: OnceForm, deed: Callable[[], int], at: datetime, *,
    part: str, said: str,
) -> HttpResponse:  # fmt: skip
    if done_once(request, aboard, form, deed, at=at) is None:
        return plan_page(request, row, **{part: form})
    ask_to_judge(vessel_id=aboard.vessel_id, at=at)
    messages.success(request, f"{said}. The leg is being judged again.")
    return redirect(f"/legs/{row.pk}/plan/#{part}")


def plan_page(request: HttpRequest, row: Leg, **given: OnceForm) -> HttpResponse:
    """The page with every form; one that was not taken stands in its place with what was typed."""
    asked = Q(kind=GateKind.LOCK) | Q(keeper_promises__leg=row)  # nobody takes lines at another kind of gate
    gates = Gate.objects.filter(asked, leg_points__leg=row).distinct().order_by("key")
    promises = {promise.gate_id: promise for promise in KeeperPromise.objects.filter(leg=row)}
    context = {
        "leg": row,
        "zone": row.departure.zone,
        "is_coming": row.status == LegStatus.PLANNED,
        "plan": given.get("plan") or PlanForm(leg=row),
        "contact": given.get("contact") or ContactForm(leg=row),
        "refuges": given.get("refuges") or RefugesForm(leg=row),
        "copy": given.get("copy") or CopyForm(leg=row, prefix="copy"),
        "gates": [
            {
                "gate": gate,
                "promise": promises.get(gate.pk),
                "form": given.get(f"gate{gate.pk}") or _keeper_form(gate, promises.get(gate.pk)),
            }
            for gate in gates
        ],
    }
    wrong = any(form.is_bound for form in given.values())
    return render(request, "readiness/leg/plan.html", context, status=422 if wrong else 200)


def _keeper_form(gate: Gate, promise: KeeperPromise | None) -> KeeperForm:
    stands = {"answer": WORD_FOR[promise.confirmed], "keeper": promise.keeper} if promise else {}
    return KeeperForm(initial=stands, prefix=f"gate{gate.pk}")
