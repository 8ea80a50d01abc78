"""A condition of a go if: met, with how one knows; and not met after all."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.views.decorators.http import require_POST

from readiness.actions.condition import meet_condition, strike_condition
from readiness.actions.verdict import judge_leg
from readiness.forms.decision import MetForm, StrikeForm
from readiness.models import ConditionMet
from readiness.views.decision import answered, decision_page, found
from vessel.models import Membership
from vessel.views.once import done_once
from vessel.views.permission import needs


@require_POST
@needs("decide")
def meet(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """Says that a condition is met for the planned departure."""
    row, at = found(aboard, pk), timezone.now()
    form = MetForm(request.POST)

    def deed() -> int:
        given = form.cleaned_data
        judge_leg(leg_id=row.pk, at=at, by=request.user)
        return meet_condition(
            leg_id=row.pk, rule=given["rule"], cause=given["cause"], note=given["note"], by=request.user, at=at
        ).pk

    if done_once(request, aboard, form, deed, at=at) is None:
        return decision_page(request, aboard, row, refused=form)
    messages.success(request, "Written down: the condition is met.")
    return answered(aboard, row, at)


@require_POST
@needs("decide")
def strike(request: HttpRequest, aboard: Membership, pk: int, met_id: int) -> HttpResponse:
    """It was not met after all."""
    row, at = found(aboard, pk), timezone.now()
    met = get_object_or_404(ConditionMet, pk=met_id, leg=row)
    form = StrikeForm(request.POST)

    def deed() -> int:
        return strike_condition(met_id=met.pk, by=request.user, at=at).pk

    if done_once(request, aboard, form, deed, at=at) is None:
        return decision_page(request, aboard, row, refused=form)
    messages.success(request, "Struck out: the condition stands again.")
    return answered(aboard, row, at)
