"""The route editor: points and segments in a form, drawn above it; the server does every sum."""

from collections.abc import Callable
from datetime import datetime

import numpy as np
from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from readiness.actions.leg import change_way
from readiness.forms.route import RouteForm, Row, put_in, reversed_rows, rows_of, swapped, taken_out, with_rows
from readiness.forms.route_point import filled
from readiness.models import Leg, LegStatus
from readiness.queries.coastline import coast_near
from readiness.queries.route import Ties, ties_of, way_rows
from readiness.rules.words_of_trade import TrackKind
from readiness.views.decision import found
from readiness.views.route_sketch import nearest_segment, sketch_of
from vessel.actions.coming_legs import ask_to_judge
from vessel.models import Membership
from vessel.views.once import done_once
from vessel.views.permission import needs

Move = Callable[[list[Row], int], list[Row]]
MOVES: dict[str, Move] = {
    "up": lambda rows, place: swapped(rows, place - 1),
    "down": swapped,
    "out": taken_out,
    "in": lambda rows, place: put_in(rows, place, name=f"Point {place + 2}"),
    "reverse": lambda rows, _place: reversed_rows(rows),
    "look": lambda rows, _place: rows,
}


@require_http_methods(["GET", "HEAD", "POST"])
@needs("plan")
def edit(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """The editor. A button moves rows and saves nothing; Save writes the whole way at once."""
    row, at, ties = found(aboard, pk), timezone.now(), ties_of(aboard.vessel_id)
    if request.method != "POST":
        return _page(request, row, _as_it_stands(row, ties), ties)
    if request.POST.get("do") == "save":
        return _save(request, aboard, row, ties, at)
    moved = with_rows(request.POST, _moved(request.POST, ties))
    return _page(request, row, _unsaid(moved, ties), ties, sent=moved)


def _save(request: HttpRequest, aboard: Membership, row: Leg, ties: Ties, at: datetime) -> HttpResponse:
    form = RouteForm(request.POST, ties=ties)

    def deed() -> int:
        shores = sketch_of(form, row)
        segments = [point.segment(shores.shore_of(number)) for number, point in enumerate(form.rows[:-1], start=1)]
        return change_way(
            leg_id=row.pk, seen_version=form.cleaned_data["version"], by=request.user, at=at,
            points=[point.point() for point in form.rows], segments=segments,
        ).pk  # fmt: skip

    if done_once(request, aboard, form, deed, at=at) is None:
        return _page(request, row, form, ties, sent=request.POST, status=422)
    ask_to_judge(vessel_id=aboard.vessel_id, at=at)
    messages.success(request, "The route is saved. The leg is being judged again.")
    for number, point in enumerate(form.rows, start=1):
        if asked := point.moved():
            messages.warning(request, f"Point {number} was {asked}")
    return redirect("readiness:leg" if row.crew_rows.exists() else "readiness:leg_crew", pk=row.pk)


def _page(
    request: HttpRequest, row: Leg, form: RouteForm, ties: Ties, sent: QueryDict | None = None, status: int = 200
) -> HttpResponse:
    """The page, the editor alone, or only the sketch with what stands beside the fields."""
    bound = form if form.is_bound else RouteForm(sent, ties=ties) if sent else _bound(form, ties)
    is_part = bool(getattr(request, "htmx", False))
    part = "_sketch" if is_part and request.POST.get("do") == "look" else "_editor" if is_part else "edit"
    sketch = sketch_of(bound, row)
    context = {
        "leg": row, "form": form, "sketch": sketch, "is_planned": row.status == LegStatus.PLANNED, "aside": is_part,
        "rows": [
            (number, point, sketch.segments.get(number), sketch.moved.get(number, ""))
            for number, point in enumerate(form.rows, start=1)
        ],
    }  # fmt: skip
    return render(request, f"readiness/route/{part}.html", context, status=status)


def _moved(data: QueryDict, ties: Ties) -> list[Row]:
    """The rows as the button that was pressed leaves them."""
    rows, (do, _, place) = rows_of(data), data.get("do", "look").partition("-")
    if do != "add":
        return MOVES.get(do, MOVES["look"])(rows, int(place) if place.isdecimal() else 0)
    lat, lon = str(data.get("add_lat", ""))[:40], str(data.get("add_lon", ""))[:40]
    number = nearest_segment(RouteForm(data, ties=ties).positions(), lat, lon)
    return put_in(rows, number, name=f"Point {number + 2}", lat=lat, lon=lon)


def _unsaid(data: QueryDict, ties: Ties) -> RouteForm:
    """A form with what was typed and no word on it yet: nobody asked to save."""
    head = {name: data.get(name, "") for name in ("once", "version")}
    return RouteForm(initial=head, filled=rows_of(data), ties=ties)


def _bound(form: RouteForm, ties: Ties) -> RouteForm:
    """The same form as if it had been sent."""
    data = QueryDict(mutable=True)
    data["count"] = str(len(form.rows))
    for row in form.rows:
        for name in row.fields:
            value = row[name].value()
            data[row.add_prefix(name)] = "" if value is None else str(value)
    return RouteForm(data, ties=ties)


def _as_it_stands(leg: Leg, ties: Ties) -> RouteForm:
    rows = way_rows(leg)
    places = [(point.lat_deg, point.lon_deg) for point, _ in rows]
    kinds = [segment is not None and segment.kind == TrackKind.GEODESIC for _, segment in rows[:-1]]
    shores = coast_near(leg.vessel_id, *np.array(places).reshape(-1, 2).T).shores_along(places, kinds)
    names = [point.name for point, _ in rows[1:]] + [""]
    words = [
        filled(point, segment, after, shore)
        for (point, segment), after, shore in zip(rows, names, [*shores, (np.nan, np.nan)], strict=False)
    ]
    return RouteForm(initial={"version": leg.version}, filled=words, ties=ties)
