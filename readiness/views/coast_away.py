"""Taking away a gate, harbour, tide station or stream table: what uses it is shown, and then nothing is taken."""

from dataclasses import dataclass

from django.contrib import messages
from django.db import models
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from readiness.actions.coast_away import take_coast_away
from readiness.models import Gate, Harbour, StreamTable, TideStation
from readiness.queries.coast_use import CoastRow, users_of
from vessel.actions.coming_legs import ask_to_judge
from vessel.forms.person import SeenForm
from vessel.models import Membership
from vessel.views.once import done_once
from vessel.views.permission import needs


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of row: its model, the page it is shown on, and the list it stands in."""

    model: type[CoastRow]
    page: str
    in_list: str


HARBOURS = Kind(Harbour, "readiness:harbour", "readiness:harbours")
GATES = Kind(Gate, "readiness:gate", "readiness:harbours")
STATIONS = Kind(TideStation, "readiness:tide", "readiness:tides")
STREAMS = Kind(StreamTable, "readiness:change_stream", "readiness:tides")


@require_http_methods(["GET", "HEAD", "POST"])
@needs("plan")
def away(request: HttpRequest, aboard: Membership, pk: int, kind: Kind) -> HttpResponse:
    """Asks, with what uses it; then takes it away once. Sent again it leads to the list as the first time."""
    rows: models.QuerySet[CoastRow] = models.QuerySet(kind.model)
    row, at = rows.filter(pk=pk, vessel=aboard.vessel).first(), timezone.now()
    if row is None and request.method != "POST":
        raise Http404("There is no such thing aboard.")
    form = SeenForm(request.POST) if request.method == "POST" else SeenForm(initial={"version": _version(row)})

    def deed() -> int:
        if row is None:
            raise Http404("There is no such thing aboard.")
        take_coast_away(row=row, seen_version=form.cleaned_data["version"], by=request.user, at=at)
        return pk

    if request.method == "POST" and done_once(request, aboard, form, deed, at=at) is not None:
        ask_to_judge(vessel_id=aboard.vessel_id, at=at)
        messages.success(request, "It is taken away. Coming legs are being judged again.")
        return redirect(kind.in_list)
    if row is None:
        raise Http404("There is no such thing aboard.")
    context = {"row": row, "noun": kind.model._meta.verbose_name, "form": form, "users": users_of(row), "kind": kind}  # noqa: SLF001 Django's own way to ask
    return render(request, "readiness/coast/away.html", context, status=422 if form.errors else 200)


def _version(row: CoastRow | None) -> int:
    return row.version if row is not None else 0
