"""Harbours with their tides, as pages ask for them."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime

from django.db.models import Max, Min, QuerySet

from readiness.models import Harbour, TideStation, TideStationKind
from readiness.queries.facts_tide import stations_of
from readiness.rules.facts_water import Departures, Station
from readiness.rules.passage import Tide
from readiness.rules.tides import fit_to_use, tide_of

NO_WATERS = "its high and low waters"
NO_STATION = "No tide station is named for this harbour."


@dataclass(frozen=True, slots=True)
class HarbourTide:
    """The tide at a station between two times; `tide` None: it cannot be told, and `why_not` says why."""

    station: Station | None
    tide: Tide | None
    why_not: str = ""


def harbours_of(vessel_id: int) -> "QuerySet[Harbour]":
    """The vessel's harbours with station, shelter and gates, by name. Three queries."""
    rows = Harbour.objects.filter(vessel_id=vessel_id).select_related("vessel", "tide_station__reference")
    return rows.prefetch_related("shelter_sectors", "gates").order_by("name")


def tides_between(station_ids: Iterable[int | None], start: float, end: float) -> Mapping[str, HarbourTide]:
    """The tide of each station by its key, between two times in UTC seconds since 1970. One query."""
    span = Departures(first=datetime.fromtimestamp(start, UTC), every_s=end - start, count=1)
    wanted = {pk for pk in station_ids if pk is not None}
    return {station.key: _tide(station, start, end) for station in stations_of(wanted, span)} if wanted else {}


def tide_at(harbour: Harbour, held: Mapping[str, HarbourTide]) -> HarbourTide:
    """The tide of a harbour out of those that were read; without a station nothing is known. No query."""
    station = harbour.tide_station
    return held.get(station.key if station else "", HarbourTide(None, None, NO_STATION))


def _tide(station: Station, start: float, end: float) -> HarbourTide:
    missing = fit_to_use(station)
    if missing == NO_WATERS:
        return HarbourTide(station, None, f"{station.name} has no high and low waters for these days.")
    if missing:
        return HarbourTide(station, None, f"{station.name} cannot answer; not known: {missing}.")
    tide = tide_of(station, start, end)
    why_not = f"{station.name} cannot answer for these days: its figures do not hold then." if tide is None else ""
    return HarbourTide(station, tide, why_not)


def table_reach(station: TideStation | None) -> tuple[datetime, datetime] | None:
    """The first and the last water of a printed table; None where there is none. One query for a table, else none."""
    if station is None or station.kind != TideStationKind.TABLE:
        return None
    ends = station.events.aggregate(first=Min("at"), last=Max("at"))
    return (ends["first"], ends["last"]) if ends["first"] else None
