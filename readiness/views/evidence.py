"""From a finding to the fact behind it: an address by kind and key that leads to the page of the thing."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_safe

from maintenance.models import Defect
from vessel.models import Membership
from vessel.views.permission import needs


@require_safe
@needs("read")
def see(_request: HttpRequest, aboard: Membership, kind: str, key: str) -> HttpResponse:
    """Go to the page of a thing that a finding names. 404 where there is no such thing aboard, or no page of it."""
    number = key.removeprefix("DEF-")
    if kind != "defect" or not number.isdecimal():
        raise Http404(f"There is no page of {kind} {key}.")
    defect = get_object_or_404(Defect, vessel=aboard.vessel, number=int(number))
    return redirect("maintenance:defect", pk=defect.pk)
