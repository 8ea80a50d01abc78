"""The harbours, and one harbour: its tide on a day and over a week, its gates, and what is known of it."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_safe
from django.views.decorators.vary import vary_on_headers

from readiness.models import Harbour
from readiness.queries.harbour import harbours_of, table_reach
from readiness.views.coast_words import gate_terms, known_to_us, price_words, shelter_words, station_terms
from readiness.views.gate_week import way_gate_lines
from readiness.views.harbour_tide import day_called, harbour_lines, harbour_week
from vessel.calc.position import latitude, longitude
from vessel.models import Membership
from vessel.queries.permission import may
from vessel.views.permission import needs


@require_safe
@needs("read")
def harbours(request: HttpRequest, aboard: Membership) -> HttpResponse:
    """Every harbour of the vessel with what its tide and its gates do next, and the gates on the way."""
    now = timezone.now().timestamp()
    context = {
        "lines": harbour_lines(list(harbours_of(aboard.vessel_id)), now),
        "gates": way_gate_lines(aboard.vessel_id, now),
        "may_change": may(aboard.role, "plan"),
    }
    return render(request, "readiness/harbour/list.html", context)


@require_safe
@vary_on_headers("HX-Request")
@needs("read")
def harbour(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """One harbour on one day: `?day=` chooses it, else today; the week shown begins with `?from=`, else that day."""
    row = found(aboard, pk)
    now = timezone.now().timestamp()
    day, said = day_called(request.GET.get("day"), row.zone, now)
    first, not_first = day_called(request.GET.get("from"), row.zone, day.start)
    context = {"harbour": row, "place": row, "said": said or not_first, **harbour_week(row, day, first, now)}
    if not getattr(request, "htmx", False):
        context |= told(row, aboard)
        return render(request, "readiness/harbour/page.html", context)
    return render(request, "readiness/harbour/_tide.html", context)


def told(row: Harbour, aboard: Membership) -> dict[str, object]:
    """What the page tells whatever the day."""
    station = row.tide_station
    return {
        "may_change": may(aboard.role, "plan"),
        "position": f"{latitude(row.lat_deg)} {longitude(row.lon_deg)}",
        "shelter": shelter_words(list(row.shelter_sectors.all())),
        "known": known_to_us(row),
        "price": price_words(row, aboard.vessel.currency),
        "station_terms": list(station_terms(station, table_reach(station))) if station else [],
        "gates": [(gate, gate_terms(gate)) for gate in row.gates.all()],
    }


def found(aboard: Membership, pk: int) -> Harbour:
    """A harbour of one's own vessel; anything else is not there."""
    return get_object_or_404(harbours_of(aboard.vessel_id), pk=pk)
