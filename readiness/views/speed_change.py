"""Writing down and changing rows of the speed table and of the speed kept in a sea; booking and striking out runs."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime

from django.contrib import messages
from django.db import models
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from readiness.actions.fuel_use import book_run
from readiness.actions.speed_point import refuse_fall
from readiness.forms.speed import FuelUseForm, RowForm, SeaSpeedForm, SpeedPointForm
from vessel.actions.coming_legs import ask_to_judge
from vessel.actions.fuel_use import strike_fuel_use
from vessel.actions.particulars import change, take_away, write_down
from vessel.errors import BadInput
from vessel.forms.person import SeenForm
from vessel.forms.plain import OnceForm
from vessel.models import FuelUse, Membership, SeaSpeed, SpeedPoint
from vessel.views.once import done_once
from vessel.views.permission import needs

PAGE = "readiness/speed/change.html"
JUDGED_AGAIN = "Coming legs are being judged again."


@dataclass(frozen=True, slots=True)
class Table:
    """A table of the vessel whose rows are typed, and what its pages are called."""

    model: type[SpeedPoint | SeaSpeed]
    form: type[RowForm]
    key: str
    added: str
    changed: str
    intro: str
    page: str
    away: str

    def found(self, aboard: Membership, pk: int) -> SpeedPoint | SeaSpeed:
        """A row of one's own vessel, or 404."""
        return get_object_or_404(models.QuerySet(self.model), pk=pk, vessel=aboard.vessel)

    def only(self, aboard: Membership, form: RowForm, pk: int = 0) -> None:
        """Raises BadInput where another row has the engine speed, or the height, that was typed."""
        typed = {self.key: form.cleaned_data[self.key]}
        if models.QuerySet(self.model).filter(vessel=aboard.vessel, **typed).exclude(pk=pk).exists():
            raise BadInput(f"The table has a row of {self.model(**typed)} already. Change that one.")
        if self.model is SpeedPoint:
            given = form.cleaned_data
            refuse_fall(vessel_id=aboard.vessel_id, rpm=given["rpm"], speed_mps=given["speed_mps"], row_id=pk)


SPEEDS = Table(
    model=SpeedPoint, form=SpeedPointForm, key="rpm", added="Add an engine speed", changed="Change {}",
    intro="As measured, there and back over a known distance or by the log, and by filling up again.",
    page="readiness:change_speed_point", away="readiness:away_speed_point",
)  # fmt: skip
SEAS = Table(
    model=SeaSpeed, form=SeaSpeedForm, key="height_m", added="Add a height of sea", changed="Change a sea of {}",
    intro="As measured at sea: the share of her speed in still water that she keeps at the same engine speed.",
    page="readiness:change_sea_speed", away="readiness:away_sea_speed",
)  # fmt: skip
RUN = {
    "title": "Write down a run",
    "intro": "From full tank to full tank at one engine speed tells most. A wrong one is struck out, never changed.",
}


@require_http_methods(["GET", "HEAD", "POST"])
@needs("change vessel")
def add(request: HttpRequest, aboard: Membership, table: Table) -> HttpResponse:
    """A new row of a table."""
    form = table.form(request.POST or None)

    def deed(at: datetime) -> int:
        table.only(aboard, form)
        return write_down(table.model, vessel=aboard.vessel, by=request.user, at=at, **form.columns()).pk

    said, context = "The row is written down.", {"title": table.added, "intro": table.intro}
    return _formed(request, aboard, form, deed, said=said, field=table.key, context=context)


@require_http_methods(["GET", "HEAD", "POST"])
@needs("change vessel")
def change_row(request: HttpRequest, aboard: Membership, pk: int, table: Table) -> HttpResponse:
    """A row changed, unless somebody else changed it meanwhile."""
    row = table.found(aboard, pk)
    form = table.form(request.POST or None, row=row)

    def deed(at: datetime) -> int:
        table.only(aboard, form, row.pk)
        seen = form.cleaned_data["version"]
        return change(row, vessel=aboard.vessel, seen_version=seen, by=request.user, at=at, **form.columns()).pk

    return _formed(request, aboard, form, deed, said="The row is changed.", field=table.key, context=_about(table, row))


@require_POST
@needs("change vessel")
def away(request: HttpRequest, aboard: Membership, pk: int, table: Table) -> HttpResponse:
    """A row taken out of its table, if it still is as it was seen."""
    row, seen = table.found(aboard, pk), SeenForm(request.POST)
    form = table.form(row=row)

    def deed(at: datetime) -> int:
        take_away(row, vessel=aboard.vessel, seen_version=seen.cleaned_data["version"], by=request.user, at=at)
        return pk

    said = f"The row of {row} is taken out."
    return _formed(
        request, aboard, seen, deed, said=said, context={**_about(table, row), "form": form, "refused": seen}
    )


@require_http_methods(["GET", "HEAD", "POST"])
@needs("report")
def add_run(request: HttpRequest, aboard: Membership) -> HttpResponse:
    """What a run really used."""
    form = FuelUseForm(request.POST or None, vessel=aboard.vessel)

    def deed(at: datetime) -> int:
        return book_run(vessel=aboard.vessel, by=request.user, at=at, **form.columns()).pk

    said = "The run is written down."
    return _formed(request, aboard, form, deed, said=said, field="ended_at", context=RUN)


@require_http_methods(["GET", "HEAD", "POST"])
@needs("report")
def strike_run(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """Shows the run and asks; then it stays readable and counts no more."""
    use = get_object_or_404(FuelUse, pk=pk, vessel=aboard.vessel)
    form = OnceForm(request.POST if request.method == "POST" else None)

    def deed(at: datetime) -> int:
        return strike_fuel_use(fuel_use_id=use.pk, by=request.user, at=at).pk

    said = "The run is struck out: it stays readable and counts no more."
    page = "readiness/speed/strike.html"
    return _formed(
        request, aboard, form, deed, said=said, page=page, context={"use": use, "zone": aboard.vessel.home_zone}
    )


def _about(table: Table, row: SpeedPoint | SeaSpeed) -> dict[str, object]:
    """What the page of a row shows beside its form."""
    seen = SeenForm(initial={"version": row.version}, auto_id="away_%s")
    return {
        "title": table.changed.format(row),
        "intro": table.intro,
        "row": row,
        "change": table.page,
        "away": table.away,
        "seen": seen,
    }


def _formed(
    request: HttpRequest, aboard: Membership, form: OnceForm, deed: Callable[[datetime], int], *, said: str,
    context: Mapping[str, object], field: str = "", page: str = PAGE,
) -> HttpResponse:  # fmt: skip
    """The form; or its deed, done once, and then the page of speed and fuel."""
    at = timezone.now()
    if request.method == "POST" and done_once(request, aboard, form, lambda: deed(at), at=at, field=field) is not None:
        ask_to_judge(vessel_id=aboard.vessel_id, at=at)
        messages.success(request, f"{said} {JUDGED_AGAIN}")
        return redirect("readiness:speed")
    return render(request, page, {"form": form, **context}, status=422 if form.errors else 200)
