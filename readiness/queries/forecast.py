"""The forecasts held, the one that is used, and the newest look at the warnings, as pages ask for them."""

from django.db.models import F, QuerySet

from readiness.models import Forecast, ForecastFeed, Harbour, WarningLook

# What the legs are judged on comes first; one without a time of issue is used only where there is no other.
NEWEST_FIRST = (F("issued_at").desc(nulls_last=True), F("taken_in_at").desc(), F("pk").desc())


def held_forecasts(vessel_id: int) -> "QuerySet[Forecast]":
    """Every forecast of the vessel without its numbers; the first is the one that legs are judged on. One query."""
    return Forecast.objects.filter(vessel_id=vessel_id).defer("packed").order_by(*NEWEST_FIRST)


def newest_look(vessel_id: int) -> WarningLook | None:
    """The newest look at the warnings. One query."""
    return WarningLook.objects.filter(vessel_id=vessel_id).order_by("-looked_at", "-pk").first()


def feeds_of(vessel_id: int) -> "QuerySet[ForecastFeed]":
    """The feeds of the vessel by name. One query."""
    return ForecastFeed.objects.filter(vessel_id=vessel_id).order_by("name")


def places_of(vessel_id: int) -> "QuerySet[Harbour]":
    """The harbours a forecast is shown at, by name. One query."""
    return Harbour.objects.filter(vessel_id=vessel_id).only("pk", "name", "zone", "lat_deg", "lon_deg").order_by("name")
