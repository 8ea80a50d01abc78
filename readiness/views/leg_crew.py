"""Who sails a leg."""

from datetime import timedelta

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from readiness.actions.leg import change_crew
from readiness.forms.leg_crew import SailForm
from readiness.models import LegStatus
from readiness.views.decision import found
from vessel.actions.coming_legs import ask_to_judge
from vessel.models import Membership
from vessel.queries.person import people_of
from vessel.views.once import done_once
from vessel.views.permission import needs

AROUND = timedelta(days=1)  # stays shown beside a name: those that touch the day from the planned departure on


@require_http_methods(["GET", "HEAD", "POST"])
@needs("plan")
def crew(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """Ticks and one skipper, each with skills and stays beside the name."""
    row, at = found(aboard, pk), timezone.now()
    form = SailForm(request.POST, leg=row) if request.method == "POST" else SailForm(leg=row)

    def deed() -> int:
        seen = form.cleaned_data["version"]
        return change_crew(leg_id=row.pk, seen_version=seen, by=request.user, at=at, crew=form.crew()).pk

    if request.method == "POST" and done_once(request, aboard, form, deed, at=at) is not None:
        ask_to_judge(vessel_id=aboard.vessel_id, at=at)
        messages.success(request, "The crew is written down. The leg is being judged again.")
        return redirect("readiness:leg_crew", pk=pk)
    ticked, skipper = {str(one) for one in form["sails"].value() or ()}, str(form["skipper"].value())
    people = [
        {
            "told": told,
            "sails": str(told.person.pk) in ticked,
            "is_skipper": str(told.person.pk) == skipper,
            "stays": [
                stay for stay in told.stays if stay.aboard_from < row.planned_at + AROUND < stay.aboard_until + AROUND
            ],
        }
        for told in people_of(aboard.vessel_id, min(at, row.planned_at))
    ]
    context = {"leg": row, "form": form, "people": people, "zone": row.departure.zone,
               "is_coming": row.status == LegStatus.PLANNED}  # fmt: skip
    return render(request, "readiness/leg/crew.html", context, status=422 if form.is_bound else 200)
