"""The page of speed and fuel: her speed table, the speed she keeps in a sea, and what runs really used."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from readiness.queries.speed import speed_of
from readiness.views.picture.fuel_fit import draw_fuel_fit
from readiness.views.speed_words import (
    fit_sentence,
    fit_terms,
    gap_sentence,
    run_cells,
    sea_cells,
    sea_sentence,
)
from vessel.models import Membership
from vessel.queries.permission import may
from vessel.views.permission import needs


@require_safe
@needs("read")
def speed(request: HttpRequest, aboard: Membership) -> HttpResponse:
    """Everything, with what one may change of it."""
    told = speed_of(aboard.vessel_id)
    context = {
        "told": told,
        "zone": aboard.vessel.home_zone,
        "gap": gap_sentence(told),
        "fit_sentence": fit_sentence(told),
        "fit_terms": fit_terms(told),
        "picture": draw_fuel_fit([(run.expected_l, run.use.used_l) for run in told.counted], told.fit),
        "counted": [run_cells(run) for run in told.counted],
        "older": [run_cells(run) for run in told.older],
        "struck": [run_cells(run) for run in told.struck],
        "seas": [sea_cells(row) for row in told.seas],
        "sea_sentence": sea_sentence(told),
        "may_change": may(aboard.role, "change vessel"),
        "may_report": may(aboard.role, "report"),
    }
    return render(request, "readiness/speed/page.html", context)
