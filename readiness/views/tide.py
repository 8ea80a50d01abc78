"""The tide stations and stream tables, and one station: its kind, what its figures rest on, and its tide."""

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_safe
from django.views.decorators.vary import vary_on_headers

from readiness.models import StreamTable, TideStation
from readiness.queries.harbour import HarbourTide, table_reach, tides_between
from readiness.queries.stream_table import stream_tables
from readiness.views.coast_words import station_terms, station_words
from readiness.views.harbour_tide import Sun, day_called, told_of_week, weeks_span
from readiness.views.picture.stream_table import Row, StreamPicture, draw_stream
from readiness.views.tide_differences import difference_tables
from vessel.models import Membership
from vessel.queries.permission import may
from vessel.units import DAY
from vessel.views.permission import needs


@dataclass(frozen=True, slots=True)
class StationLine:
    """One station in the list: its kind and, where it cannot answer, why."""

    station: TideStation
    words: str
    why_not: str


@require_safe
@needs("read")
def tides(request: HttpRequest, aboard: Membership) -> HttpResponse:
    """Every tide station and every stream table of the vessel."""
    now = timezone.now().timestamp()
    stations = list(TideStation.objects.filter(vessel=aboard.vessel).select_related("reference").order_by("name"))
    held = tides_between((one.pk for one in stations), now, now + DAY)
    context = {
        "lines": [StationLine(one, station_words(one), held[one.key].why_not) for one in stations],
        "streams": [(table, _picture(table)) for table in stream_tables(aboard.vessel_id)],
        "may_change": may(aboard.role, "plan"),
    }
    return render(request, "readiness/tide/list.html", context)


@require_safe
@vary_on_headers("HX-Request")
@needs("read")
def tide(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """One station on one day by the clock of the home harbour; `?day=` and `?from=` as at a harbour."""
    rows = TideStation.objects.select_related("reference").prefetch_related(
        "harbours", "secondary_ports", "stream_tables"
    )
    row = get_object_or_404(rows, pk=pk, vessel=aboard.vessel)
    now, zone = timezone.now().timestamp(), aboard.vessel.home_zone
    day, said = day_called(request.GET.get("day"), zone, now)
    first, not_first = day_called(request.GET.get("from"), zone, day.start)
    held = tides_between([row.pk], *weeks_span(day, first)).get(row.key, HarbourTide(None, None))
    context = {
        "station": row,
        "place": row,
        "may_change": may(aboard.role, "plan"),
        "said": said or not_first,
        "terms": list(station_terms(row, table_reach(row))),
        "differences": difference_tables(row.differences),
        **told_of_week(held, day, first, gates=(), sun=Sun(), now=now),
    }
    page = "readiness/harbour/_tide.html" if getattr(request, "htmx", False) else "readiness/tide/page.html"
    return render(request, page, context)


def _picture(table: StreamTable) -> StreamPicture | None:
    rows = [
        Row(one.from_high_water_s, one.set_deg, one.rate_neaps_mps, one.rate_springs_mps) for one in table.rows.all()
    ]
    return draw_stream(rows, steady=table.steady, reference=str(table.tide_station or ""))
