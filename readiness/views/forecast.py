"""The forecasts held and which is used, the warnings, the feeds; and one forecast over time at a harbour."""

from datetime import datetime

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_safe
from django.views.decorators.vary import vary_on_headers

from readiness.feeds.forecast import ForecastFile, known_in, unpack
from readiness.models import Forecast, Harbour
from readiness.queries.forecast import feeds_of, held_forecasts, newest_look, places_of
from readiness.queries.forecast_feed import state_words
from readiness.views.forecast_doubts import doubts_of
from readiness.views.forecast_weather import weather_at
from readiness.views.forecast_words import WHY_USED, forecast_line, forecast_terms, look_sentence, warning_words
from readiness.views.picture.tide_week import zone_words
from readiness.views.picture.weather_rows import draw_weather
from vessel.errors import BadInput
from vessel.models import Membership
from vessel.queries.history import names_of
from vessel.queries.permission import may
from vessel.views.permission import needs

SHOWN = 20  # of the forecasts held; all are kept


@require_safe
@needs("read")
def forecasts(request: HttpRequest, aboard: Membership) -> HttpResponse:
    """What is held, the newest first."""
    return render(request, "readiness/forecast/list.html", told(aboard, timezone.now()))


def told(aboard: Membership, at: datetime) -> dict[str, object]:
    """Everything the list tells. Three queries."""
    now, zone = at.timestamp(), aboard.vessel.home_zone
    rows = list(held_forecasts(aboard.vessel_id)[:SHOWN])
    look = newest_look(aboard.vessel_id)
    return {
        "zone": zone,
        "lines": [forecast_line(row, now, is_used=place == 0) for place, row in enumerate(rows)],
        "why_used": WHY_USED,
        "look": look,
        "look_sentence": look_sentence(look, zone, now),
        "warnings": [warning_words(item, zone) for item in look.items] if look else [],
        "feeds": [(feed, state_words(feed, at)) for feed in feeds_of(aboard.vessel_id)],
        "may_change": may(aboard.role, "plan"),
        "may_feed": may(aboard.role, "feeds"),
    }


@require_safe
@vary_on_headers("HX-Request")
@needs("read")
def forecast(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """One forecast; `?at=` chooses the harbour, else the first within its waters, else the first by name."""
    row = get_object_or_404(Forecast, pk=pk, vessel=aboard.vessel)
    now, zone = timezone.now().timestamp(), aboard.vessel.home_zone
    places = list(places_of(aboard.vessel_id))
    place = _chosen(places, request.GET.get("at"), row)
    newest = held_forecasts(aboard.vessel_id).values_list("pk", flat=True).first()
    context = {
        "forecast": row,
        "terms": list(forecast_terms(row, names_of(aboard.vessel_id).get(row.by) or row.by, zone, now)),
        "is_used": row.pk == newest,
        "why_used": WHY_USED,
        "places": places,
        "place": place,
        **_drawn(row, place, now, zone),
    }
    page = "_weather" if getattr(request, "htmx", False) else "page"
    return render(request, f"readiness/forecast/{page}.html", context)


def _drawn(row: Forecast, place: Harbour | None, now: float, zone: str) -> dict[str, object]:
    try:
        held = unpack(bytes(row.packed))
    except BadInput as reason:
        return {"damaged": str(reason), "doubts": row.warnings}
    lacks = doubts_of(known_in(held), row.last_at.timestamp(), now, zone)
    doubts: dict[str, object] = {"doubts": [*row.warnings, *lacks]}
    if place is None:
        return doubts
    return {**doubts, "picture": draw_weather(weather_at(held, place, now)), "clock_words": _clock(held, place, now)}


def _clock(held: ForecastFile, place: Harbour, now: float) -> str:
    return zone_words(now, max(now, float(held.at[-1])), place.zone)


def _chosen(places: list[Harbour], typed: str | None, row: Forecast) -> Harbour | None:
    asked = [place for place in places if str(place.pk) == typed]
    inside = [place for place in places if _covers(row, place)]
    return next(iter([*asked, *inside, *places]), None)


def _covers(row: Forecast, place: Harbour) -> bool:
    turns = (place.lon_deg + turn for turn in (-360.0, 0.0, 360.0))
    inside = row.south_deg <= place.lat_deg <= row.north_deg
    return inside and any(row.west_deg <= lon_deg <= row.east_deg for lon_deg in turns)
