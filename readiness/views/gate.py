"""One gate, on the way or of a harbour: when it is open this week, and what is known of it."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from readiness.models import Gate
from readiness.views.coast_words import gate_terms
from readiness.views.gate_week import gate_week, zone_of
from readiness.views.harbour_tide import day_called
from vessel.models import Membership
from vessel.queries.permission import may
from vessel.views.permission import needs


@require_safe
@needs("read")
def gate(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """One gate with its week; `?from=` chooses the first day, else today."""
    rows = Gate.objects.select_related("harbour", "vessel", "tide_station", "stream_table__tide_station", "wait_place")
    row, now = get_object_or_404(rows, pk=pk, vessel=aboard.vessel), timezone.now().timestamp()
    first, said = day_called(request.GET.get("from"), zone_of(row), now)
    context = {
        "gate": row,
        "said": said,
        "terms": gate_terms(row),
        "station": row.tide_station or (row.stream_table.tide_station if row.stream_table else None),
        "may_change": may(aboard.role, "plan"),
        **gate_week(row, first, now),
    }
    return render(request, "readiness/gate/page.html", context)
