"""Writing down a tide station of any kind, and a stream table."""

from collections.abc import Callable
from datetime import datetime
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from readiness.actions.coast import add_tide_station, take_in_stream_table
from readiness.actions.harbour import free_key
from readiness.actions.tide_station import add_fitted_station, add_station_of_file
from readiness.feeds.take import take_differences, take_series, take_stream_table, take_tide
from readiness.forms.tide import (
    FILE,
    FIT,
    PORT,
    ChangeForm,
    StationForm,
    StreamForm,
    change_initial,
    end_of,
    start_of,
)
from readiness.models import StreamTable, TideStation, TideStationKind
from vessel.actions.coming_legs import ask_to_judge
from vessel.actions.particulars import change
from vessel.models import Membership
from vessel.views.once import done_once
from vessel.views.permission import needs


@require_http_methods(["GET", "HEAD", "POST"])
@needs("plan")
def add(request: HttpRequest, aboard: Membership) -> HttpResponse:
    """A new tide station, by file or by differences."""
    form, at = StationForm(request.POST or None, request.FILES or None, vessel=aboard.vessel), timezone.now()
    if request.method == "POST":
        field = "file" if request.FILES else ""
        pk = done_once(request, aboard, form, lambda: _written(form, request, aboard, at).pk, at=at, field=field)
        if pk is not None:
            ask_to_judge(vessel_id=aboard.vessel_id, at=at)
            messages.success(request, f"{form.cleaned_data['name']} is saved. Coming legs are being judged again.")
            return redirect("readiness:tide", pk=pk)
    return render(request, "readiness/tide/add.html", {"form": form}, status=422 if form.errors else 200)


def _written(form: StationForm, request: HttpRequest, aboard: Membership, at: datetime) -> TideStation:
    given, vessel = form.cleaned_data, aboard.vessel
    same: dict[str, Any] = {"vessel": vessel, "by": request.user, "at": at, "name": given["name"]}
    same["key"] = free_key(TideStation, vessel, given["name"])
    return _WAYS[given["what"]](form, same)


def _of_file(form: StationForm, same: dict[str, Any]) -> TideStation:
    file = take_tide(form.cleaned_data["file"].read(), form.notes())
    return add_station_of_file(file=file, differences_applied=form.cleaned_data["differences_applied"], **same)


def _of_observations(form: StationForm, same: dict[str, Any]) -> TideStation:
    observed = take_series(form.cleaned_data["file"].read(), form.notes())
    return add_fitted_station(observed=observed, **same)


def _of_differences(form: StationForm, same: dict[str, Any]) -> TideStation:
    given = form.cleaned_data
    differences = take_differences(given["file"].read()) if given["file"] else form.differences()
    return add_tide_station(
        kind=TideStationKind.SECONDARY, reference=given["reference"], differences=differences,
        datum=given["datum"] or None, source=given["source"], valid_from=start_of(given["valid_from"]),
        valid_to=end_of(given["valid_to"]), **same,
    )  # fmt: skip


_WAYS: dict[str, Callable[[StationForm, dict[str, Any]], TideStation]] = {
    FILE: _of_file,
    FIT: _of_observations,
    PORT: _of_differences,
}


@require_http_methods(["GET", "HEAD", "POST"])
@needs("plan")
def change_one(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """What is said about a station, changed."""
    row = get_object_or_404(TideStation.objects.select_related("vessel", "reference"), pk=pk, vessel=aboard.vessel)
    form, at = ChangeForm(request.POST or None, initial=change_initial(row)), timezone.now()

    def deed() -> int:
        seen = form.cleaned_data["version"]
        return change(row, vessel=aboard.vessel, seen_version=seen, by=request.user, at=at, **form.columns()).pk

    if request.method == "POST" and done_once(request, aboard, form, deed, at=at) is not None:
        ask_to_judge(vessel_id=aboard.vessel_id, at=at)
        messages.success(request, f"{form.cleaned_data['name']} is saved. Coming legs are being judged again.")
        return redirect("readiness:tide", pk=pk)
    context = {"form": form, "station": row}
    return render(request, "readiness/tide/change.html", context, status=422 if form.errors else 200)


@require_http_methods(["GET", "HEAD", "POST"])
@needs("plan")
def add_stream(request: HttpRequest, aboard: Membership) -> HttpResponse:
    """A new stream table, by file."""
    form, at = StreamForm(request.POST or None, request.FILES or None), timezone.now()

    def deed() -> int:
        file = take_stream_table(form.cleaned_data["file"].read())
        key = free_key(StreamTable, aboard.vessel, file.name)
        return take_in_stream_table(vessel=aboard.vessel, file=file, key=key, by=request.user, at=at).pk

    if request.method == "POST" and done_once(request, aboard, form, deed, at=at, field="file") is not None:
        ask_to_judge(vessel_id=aboard.vessel_id, at=at)
        messages.success(request, "The stream table is saved. Coming legs are being judged again.")
        return redirect("readiness:tides")
    return render(request, "readiness/tide/add_stream.html", {"form": form}, status=422 if form.errors else 200)
