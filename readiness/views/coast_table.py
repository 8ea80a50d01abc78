"""More rows for a printed table by another file, and a stream table changed with its rows."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from readiness.actions.coast_table import add_table_rows, change_stream_table
from readiness.feeds.take import take_tide
from readiness.forms.stream import StreamChangeForm
from readiness.forms.tide import TableRowsForm, table_rows_initial
from readiness.models import StreamTable, TideStation, TideStationKind
from readiness.queries.harbour import table_reach
from vessel.actions.coming_legs import ask_to_judge
from vessel.models import Membership
from vessel.views.once import done_once
from vessel.views.permission import needs


@require_http_methods(["GET", "HEAD", "POST"])
@needs("plan")
def more_rows(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """Another file of high and low waters put to a printed table."""
    tables = TideStation.objects.select_related("vessel").filter(kind=TideStationKind.TABLE, vessel=aboard.vessel)
    row, at = get_object_or_404(tables, pk=pk), timezone.now()
    form = TableRowsForm(request.POST or None, request.FILES or None, initial=table_rows_initial(row))

    def deed() -> int:
        file, seen = take_tide(form.cleaned_data["file"].read(), form.notes()), form.cleaned_data["version"]
        add_table_rows(station=row, seen_version=seen, file=file, by=request.user, at=at, **form.columns())
        return pk

    if request.method == "POST" and done_once(request, aboard, form, deed, at=at, field="file") is not None:
        ask_to_judge(vessel_id=aboard.vessel_id, at=at)
        messages.success(request, f"{row.name} has more rows. Coming legs are being judged again.")
        return redirect("readiness:tide", pk=pk)
    context = {"form": form, "station": row, "reach": table_reach(row)}
    return render(request, "readiness/tide/more_rows.html", context, status=422 if form.errors else 200)


@require_http_methods(["GET", "HEAD", "POST"])
@needs("plan")
def change_stream(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """A stream table and its rows, changed."""
    row = get_object_or_404(StreamTable.objects.select_related("vessel"), pk=pk, vessel=aboard.vessel)
    form, at = StreamChangeForm(request.POST or None, table=row), timezone.now()

    def deed() -> int:
        seen = form.cleaned_data["version"]
        return change_stream_table(
            table=row, seen_version=seen, rows=form.new_rows(), by=request.user, at=at, **form.columns()
        ).pk

    if request.method == "POST" and done_once(request, aboard, form, deed, at=at) is not None:
        ask_to_judge(vessel_id=aboard.vessel_id, at=at)
        messages.success(request, f"{form.cleaned_data['name']} is saved. Coming legs are being judged again.")
        return redirect("readiness:tides")
    context = {"form": form, "table": row}
    return render(request, "readiness/tide/change_stream.html", context, status=422 if form.errors else 200)
