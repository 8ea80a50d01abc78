"""Waiving a no-go in writing, where its rule allows it, and taking the waiver back."""

from datetime import datetime

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from readiness.actions.verdict import judge_leg
from readiness.actions.waiver import give_waiver, withdraw_waiver
from readiness.forms.decision import StrikeForm, WaiverForm
from readiness.models import Leg, Waiver
from readiness.queries.facts import facts_for
from readiness.rules.engine import judge
from readiness.rules.finding import Line
from readiness.rules.judgement import Outcome, Waive
from readiness.rules.register import RULE_OF
from readiness.views.decision import answered, decision_page, found, waivable
from vessel.errors import BadInput
from vessel.models import Membership
from vessel.views.once import done_once
from vessel.views.permission import needs


@require_http_methods(["GET", "HEAD", "POST"])
@needs("decide")
def waive(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """The form for one finding, named by `rule` and `cause`, and the waiver."""
    row, at = found(aboard, pk), timezone.now()
    named = request.POST if request.method == "POST" else request.GET
    rule = named.get("rule", "")
    if rule not in RULE_OF:
        raise Http404(f"There is no rule {rule}.")
    until_date = RULE_OF[rule].waive.get(Outcome.NO_GO) == Waive.UNTIL_DATE
    form = WaiverForm(
        request.POST if request.method == "POST" else None, initial=named.dict(), leg=row, until_date=until_date
    )
    if request.method == "POST" and done_once(request, aboard, form, lambda: _give(form, row, request, at), at=at):
        messages.success(request, "The waiver is written down. The finding keeps its word, with “waived” beside it.")
        return answered(aboard, row, at)
    line = _line(row, rule, named.get("cause", ""), at)
    context = {"leg": row, "form": form, "line": line, "until_date": until_date, "zone": row.departure.zone}
    return render(request, "readiness/leg/waive.html", context, status=422 if form.is_bound else 200)


def _give(form: WaiverForm, row: Leg, request: HttpRequest, at: datetime) -> int:
    given = form.cleaned_data
    judge_leg(leg_id=row.pk, at=at, by=request.user)
    return give_waiver(
        leg_id=row.pk, rule=given["rule"], cause=given["cause"], reason=given["reason"], instead=given["instead"],
        told=list(given["told"]), until=given.get("until"), by=request.user, at=at,
    ).pk  # fmt: skip


def _line(row: Leg, rule: str, cause: str, at: datetime) -> Line | None:
    """The finding as it stands at the planned departure; None where it is none that can be waived."""
    try:
        judged = judge(facts_for(leg_id=row.pk, at=at))
    except BadInput:
        return None
    lines = waivable(judged, judged.index_at(row.planned_at.timestamp()))
    return next((line for line in lines if (line.rule, line.cause) == (rule, cause)), None)


@require_POST
@needs("decide")
def withdraw(request: HttpRequest, aboard: Membership, pk: int, waiver_id: int) -> HttpResponse:
    """Takes a waiver back."""
    row, at = found(aboard, pk), timezone.now()
    waiver = get_object_or_404(Waiver, pk=waiver_id, leg=row)
    form = StrikeForm(request.POST)

    def deed() -> int:
        seen = form.cleaned_data["version"] or waiver.version
        return withdraw_waiver(waiver_id=waiver.pk, seen_version=seen, by=request.user, at=at).pk

    if done_once(request, aboard, form, deed, at=at) is None:
        return decision_page(request, aboard, row, refused=form)
    messages.success(request, "The waiver is taken back. The finding stands as it was.")
    return answered(aboard, row, at)
