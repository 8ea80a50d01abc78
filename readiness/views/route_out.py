"""The way to take along: as GPX with planned times, and the table of the leg as CSV."""

import csv
import io
from datetime import UTC, datetime

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.text import slugify
from django.views.decorators.http import require_safe

from readiness.feeds.gpx import GpxPoint
from readiness.feeds.gpx_out import write_route
from readiness.models import Leg
from readiness.queries.facts import facts_for
from readiness.queries.route import way_rows
from readiness.rules.engine import Judged, judge
from readiness.views.decision import found
from readiness.views.leg import chosen_index
from readiness.views.leg_table import LegRow, leg_rows
from vessel.calc.wording import is_known, local_time
from vessel.errors import BadInput
from vessel.models import Membership
from vessel.units import KNOT, NAUTICAL_MILE
from vessel.views.permission import needs

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")
COLUMNS = (
    "number", "name", "along_nmi", "plan_utc", "late_utc", "plan_local", "late_local", "zone", "course_deg",
    "distance_nmi", "set_deg", "rate_kn", "along_kn", "steer_deg", "over_ground_kn", "wind_from_deg", "wind_kn",
    "beaufort", "sea_m", "sea_from", "under_keel_m", "deep_by_chart", "light", "fuel_used_l",
)  # fmt: skip
Cell = str | int | float | None


@require_safe
@needs("read")
def gpx(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """The route as GPX 1.1; planned times where they can be told. `?at=` chooses the departure."""
    row = found(aboard, pk)
    points = [GpxPoint(point.lat_deg, point.lon_deg, point.name) for point, _ in way_rows(row)]
    data = write_route(row.name, points, times=_times(request, row))
    return _file(data, "application/gpx+xml", row, "gpx")


@require_safe
@needs("read")
def table(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """The table of the leg as CSV, figures bare and units in the heads; what is not known is empty."""
    row = found(aboard, pk)
    try:
        judged = judge(facts_for(leg_id=row.pk, at=timezone.now()))
    except BadInput as reason:
        return render(request, "readiness/leg/cannot.html", {"leg": row, "reason": str(reason)})
    sheet = io.StringIO(newline="")
    writer = csv.writer(sheet)
    writer.writerow(COLUMNS)
    for line in leg_rows(judged, _chosen(request, judged, row)):
        writer.writerow([plain_cell(value) for value in _cells(line)])
    return _file(sheet.getvalue().encode("utf-8-sig"), "text/csv; charset=utf-8", row, "csv")


def plain_cell(value: Cell) -> str:
    """A cell that no spreadsheet takes for a formula; a figure is a figure, what is not known is empty."""
    if isinstance(value, str):
        return f"'{value}" if value.startswith(FORMULA_STARTS) else value
    if isinstance(value, float):
        return f"{value:.6g}" if is_known(value) else ""
    return "" if value is None else str(value)


def _cells(row: LegRow) -> list[Cell]:
    way = row.way
    told: list[Cell] = [None] * 11
    if way is not None:
        told = [
            way.course_deg, way.distance_m / NAUTICAL_MILE, way.set_deg, way.rate_mps / KNOT, way.along_mps / KNOT,
            way.steer_deg, way.sog_mps / KNOT, way.wind_from_deg, way.wind_mps / KNOT, way.force, way.sea_m,
        ]  # fmt: skip
    return [
        row.number, row.name, row.along_m / NAUTICAL_MILE, _utc(row.plan_at), _utc(row.late_at),
        _local(row.plan_at, row.zone), _local(row.late_at, row.zone), row.zone, *told, way.sea_from if way else None,
        row.under_keel_m, "yes" if row.is_deep else "no", row.light, row.fuel_l,
    ]  # fmt: skip


def _utc(at: float) -> str:
    return f"{datetime.fromtimestamp(round(at), UTC):%Y-%m-%dT%H:%M:%SZ}" if is_known(at) else ""


def _local(at: float, zone: str) -> str:
    return local_time(at, zone) if is_known(at) else ""


def _times(request: HttpRequest, row: Leg) -> list[float]:
    try:
        judged = judge(facts_for(leg_id=row.pk, at=timezone.now()))
    except BadInput:
        return []
    chosen, passage = _chosen(request, judged, row), judged.passage
    return [float(at) for at in passage.plan.node_at[chosen, passage.point_node]]


def _chosen(request: HttpRequest, judged: Judged, row: Leg) -> int:
    return chosen_index(judged, request.GET.get("at"), row.planned_at)[0]


def _file(data: bytes, media_type: str, row: Leg, ending: str) -> HttpResponse:
    """A download under a name made of plain letters only."""
    name = f"{slugify(row.name)[:60] or 'leg'}.{ending}"
    answer = HttpResponse(data, content_type=media_type)
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer
