"""From a finding to the fact behind it: an address by kind and key that leads to the page of the thing."""

from collections.abc import Callable, Mapping

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_safe

from maintenance.models import Defect
from readiness.models import Gate, Harbour, Leg, TideStation
from vessel.models import Membership
from vessel.views.permission import needs


@require_safe
@needs("read")
def see(_request: HttpRequest, aboard: Membership, kind: str, key: str) -> HttpResponse:
    """Go to the page of a thing that a finding names. 404 where there is no such thing aboard, or no page of it."""
    if kind not in _PAGES:
        raise Http404(f"There is no page of {kind} {key}.")
    return _PAGES[kind](aboard, key)


def _defect(aboard: Membership, key: str) -> HttpResponse:
    number = key.removeprefix("DEF-")
    if not number.isdecimal():
        raise Http404(f"There is no page of defect {key}.")
    return redirect("maintenance:defect", pk=get_object_or_404(Defect, vessel=aboard.vessel, number=int(number)).pk)


def _gate(aboard: Membership, key: str) -> HttpResponse:
    """The harbour it belongs to; one on the way has a page of its own."""
    gate = get_object_or_404(Gate, vessel=aboard.vessel, key=key)
    return (
        redirect("readiness:harbour", pk=gate.harbour_id) if gate.harbour_id else redirect("readiness:gate", pk=gate.pk)
    )


def _place(aboard: Membership, key: str) -> HttpResponse:
    return redirect("readiness:harbour", pk=get_object_or_404(Harbour, vessel=aboard.vessel, key=key).pk)


def _station(aboard: Membership, key: str) -> HttpResponse:
    return redirect("readiness:tide", pk=get_object_or_404(TideStation, vessel=aboard.vessel, key=key).pk)


def _who_sails(aboard: Membership, key: str) -> HttpResponse:
    return redirect("readiness:leg_crew", pk=get_object_or_404(Leg, vessel=aboard.vessel, key=key).pk)


def _route(aboard: Membership, key: str) -> HttpResponse:
    return redirect("readiness:route", pk=get_object_or_404(Leg, vessel=aboard.vessel, key=key).pk)


_PAGES: Mapping[str, Callable[[Membership, str], HttpResponse]] = {
    "defect": _defect,
    "gate": _gate,
    "place": _place,
    "route": _route,
    "station": _station,
    "who sails": _who_sails,
}
