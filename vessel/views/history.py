"""What happened to the vessel, newest first, and whether the chain of it is whole."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe
from django.views.decorators.vary import vary_on_headers

from vessel.calc.change_words import change_lines, private_words
from vessel.models import Membership
from vessel.queries.history import Line, head, history_page, labels_of
from vessel.queries.permission import may
from vessel.views.permission import needs

PAGE_SIZE = 50


@require_safe
@vary_on_headers("HX-Request")
@needs("read")
def history(request: HttpRequest, aboard: Membership) -> HttpResponse:
    """Fifty entries; `?before=` is the number the page ends before, `?noun=` and `?key=` tell of one thing only."""
    typed = request.GET.get("before", "")
    before = int(typed) if typed.isdecimal() and len(typed) < 10 else None
    noun, key = request.GET.get("noun", ""), request.GET.get("key", "")
    lines = history_page(aboard.vessel_id, before=before, size=PAGE_SIZE + 1, noun=noun, noun_key=key)
    shown = lines[:PAGE_SIZE]
    context = {
        "lines": [_told(line, aboard.vessel.home_zone, may(aboard.role, "private")) for line in shown],
        "older": shown[-1].number if len(lines) > PAGE_SIZE else None,
        "noun": noun,
        "key": key,
        "zone": aboard.vessel.home_zone,
        "head": head(aboard.vessel_id),
    }
    part = "_lines" if getattr(request, "htmx", False) else "page"
    return render(request, f"vessel/history/{part}.html", context)


def _told(line: Line, zone: str, may_see_private: bool) -> dict[str, object]:
    """An entry with its changes in words; private text only for those who may see it."""
    labels = labels_of(line.noun)
    return {
        "line": line,
        "changes": change_lines(line.changes, zone, labels),
        "private": private_words(line.private, zone, labels) if may_see_private else "",
    }
