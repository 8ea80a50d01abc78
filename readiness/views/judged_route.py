"""The chosen departure on the chart: her way, her refuges and where she is at each full hour by plan."""

import math
from datetime import UTC, datetime, timedelta

import numpy as np

from readiness.queries.coastline import Coast, coast_near
from readiness.rules.engine import Judged
from readiness.rules.telling import departure_zone, zone_or_none
from readiness.rules.words_of_trade import TrackKind
from readiness.views.picture.route import Moment, Place, Route, RoutePicture, Waypoint, draw_route
from vessel.calc.wording import clock, is_known, miles
from vessel.units import HOUR

MOST_MOMENTS = 14
HOURS_APART = (1, 2, 3, 6, 12, 24)


def coast_of(judged: Judged, vessel_id: int) -> Coast:
    """The land about her way and her refuges. Two queries."""
    keys = set(judged.facts.leg.refuges)
    places = [*judged.facts.leg.points, *(place for place in judged.facts.water.places if place.key in keys)]
    lat, lon = (np.array([getattr(place, name) for place in places]) for name in ("lat_deg", "lon_deg"))
    return coast_near(vessel_id, lat, lon)


def route_of_choice(judged: Judged, chosen: int, coast: Coast) -> RoutePicture:
    """The picture of the leg at one departure."""
    facts = judged.facts
    gates = {gate.key: gate.name for gate in facts.water.gates}
    places = {place.key: place for place in facts.water.places}
    return draw_route(
        Route(
            points=[
                Waypoint(point.name, point.lat_deg, point.lon_deg, gates.get(point.gate or "", ""))
                for point in facts.leg.points
            ],
            geodesic=[segment.kind == TrackKind.GEODESIC for segment in facts.leg.segments],
            refuges=[
                Place(places[key].name, places[key].lat_deg, places[key].lon_deg)
                for key in facts.leg.refuges
                if key in places
            ],
            moments=_moments(judged, chosen),
            polygons=coast.polygons,
            sentence=_sentence(judged, chosen),
        )
    )


def _sentence(judged: Judged, chosen: int) -> str:
    passage, zone = judged.passage, departure_zone(judged.facts)
    there = float(passage.plan.arrives_at[chosen])
    count = len(judged.facts.leg.segments)
    way = f"{miles(float(passage.track.node_along_m[-1]))} in {count} segment{'s' if count > 1 else ''}"
    times = f"leaving {clock(float(passage.departure_at[chosen]), zone)}, there by plan {clock(there, zone)}"
    if not is_known(there):
        return f"{way}; when she is where is not known."
    off = float(passage.refuge_m[chosen])
    refuge = f"never farther than {miles(off)} from a refuge she can use" if is_known(off) else "refuges not known"
    return f"{way}, {times}; {refuge}."


def _moments(judged: Judged, chosen: int) -> list[Moment]:
    """Where she is by plan at full hours of the harbour's clock, few enough to be told apart."""
    passage, track = judged.passage, judged.passage.track
    at, zone = passage.plan.node_at[chosen], departure_zone(judged.facts)
    if np.isnan(at).any():
        return []
    hours = _full_hours(float(at[0]), float(at[-1]), zone)
    lon = np.unwrap(track.node_lon_deg, period=360.0)
    lat_there, lon_there = (np.interp(hours, at, values) for values in (track.node_lat_deg, lon))
    step = np.clip(np.searchsorted(at, hours, side="right") - 1, 0, track.step_m.size - 1)
    return [
        Moment(clock(hour, zone), float(here), float(over), float(track.step_course_deg[place]))
        for hour, here, over, place in zip(hours, lat_there, lon_there, step, strict=True)
    ]


def _full_hours(start: float, end: float, zone: str) -> list[float]:
    """Full hours of a clock strictly between two moments, an hour apart or more."""
    every = next((h for h in HOURS_APART if (end - start) / HOUR / h <= MOST_MOMENTS), HOURS_APART[-1]) * HOUR
    local = datetime.fromtimestamp(start, zone_or_none(zone) or UTC)
    ahead = (local.utcoffset() or timedelta(0)).total_seconds()
    first = (math.floor((start + ahead) / every) + 1) * every - ahead
    return [first + number * every for number in range(max(0, math.ceil((end - first) / every)))]
