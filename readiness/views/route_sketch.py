"""What a route that is being typed comes to: its picture, course and length of each segment, and where it meets land."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from readiness.calc.coast import meets_land, mercator_y
from readiness.calc.track import cut, rhumb, wrapped
from readiness.forms.route import RouteForm
from readiness.models import Leg
from readiness.queries.coastline import Coast, Shore, coast_near, segment_line
from readiness.rules.words_of_trade import TrackKind
from readiness.views.picture.route import Place, Route, RoutePicture, Waypoint, draw_route
from vessel.calc.position import latitude, longitude, parse_angle
from vessel.calc.wording import counted, is_known, miles
from vessel.errors import BadInput
from vessel.units import Array

NOT_KNOWN: Shore = (math.nan, math.nan)


@dataclass(frozen=True, slots=True)
class Segment:
    """From one point to the next, both with a position that can be read."""

    number: int
    course_deg: float
    distance_m: float
    shore: Shore = NOT_KNOWN
    caution: str = ""


@dataclass(frozen=True, slots=True)
class Sketch:
    """All that is told of a route while it is typed."""

    picture: RoutePicture | None
    sentence: str
    cautions: list[str] = field(default_factory=list)
    segments: dict[int, Segment] = field(default_factory=dict)
    has_coast: bool = False
    moved: dict[int, str] = field(default_factory=dict)

    def shore_of(self, number: int) -> tuple[float | None, float | None]:
        """What is kept of a segment as its shore: None where not known."""
        off, toward = self.segments[number].shore if number in self.segments else NOT_KNOWN
        return (off, toward if is_known(toward) else None) if is_known(off) else (None, None)


@dataclass(frozen=True, slots=True)
class _Typed:
    """A point whose position can be read."""

    number: int
    name: str
    lat: float
    lon: float
    gate: str
    geodesic: bool


def sketch_of(form: RouteForm, leg: Leg) -> Sketch:
    """The sketch of a bound form. A few queries, however long the route."""
    points = _typed(form)
    unread = [str(place + 1) for place, position in enumerate(form.positions()) if position is None]
    cautions = [f"Point {number} has no position that can be read yet." for number in unread]
    if len(points) < 2:
        return Sketch(None, "A route is drawn once two points have a position.", cautions)
    refuges = [Place(row.name, row.lat_deg, row.lon_deg) for row in leg.refuges.all()]
    places = [(point.lat, point.lon) for point in points] + [(place.lat_deg, place.lon_deg) for place in refuges]
    coast = coast_near(leg.vessel_id, *np.array(places).T)
    segments = {
        here.number: _segment(here, there, coast) for here, there in pairwise(points) if there.number == here.number + 1
    }
    cautions += [segment.caution for segment in segments.values() if segment.caution]
    moved = {number: asked for number, row in enumerate(form.rows, start=1) if (asked := row.moved())}
    cautions += [f"Point {number} was {asked}" for number, asked in moved.items()]
    return Sketch(
        picture=_picture(points, refuges, coast),
        sentence=_sentence(points, segments),
        cautions=cautions,
        segments=segments,
        has_coast=bool(coast.areas),
        moved=moved,
    )


def nearest_segment(positions: Sequence[tuple[float, float] | None], lat: str, lon: str) -> int:
    """Which place of a route a new point comes after: that of the nearest segment, or the last one."""
    try:
        there = np.array([parse_angle(lon, "longitude"), float(mercator_y(parse_angle(lat, "latitude")))])
    except BadInput:
        return len(positions) - 1
    best, least = len(positions) - 1, math.inf
    for place, (one, other) in enumerate(pairwise(positions)):
        if one is not None and other is not None:
            off = _off_line(there, one, other)
            best, least = (place, off) if off < least else (best, least)
    return best


def _off_line(there: Array, one: tuple[float, float], other: tuple[float, float]) -> float:
    """How far a place lies from a segment on the chart, in degrees of the equator."""
    start, go = (
        np.array([float(wrapped(lon - origin)), float(mercator_y(lat)) - base])
        for (lat, lon), origin, base in ((one, there[0], there[1]), (other, one[1], float(mercator_y(one[0]))))
    )
    length = float(go @ go)
    share = min(max(-float(start @ go) / length, 0.0), 1.0) if length else 0.0
    return float(np.hypot(*(start + share * go)))


def _typed(form: RouteForm) -> list[_Typed]:
    form.positions()
    found = []
    for number, row in enumerate(form.rows, start=1):
        if position := row.position():
            given = row.cleaned_data
            gate = row.ties.gates.get(int(given.get("gate") or 0))
            kind = given.get("kind") == TrackKind.GEODESIC
            name = given.get("name") or f"Point {number}"
            found.append(_Typed(number, name, *position, gate.name if gate else "", kind))
    return found


def _segment(here: _Typed, there: _Typed, coast: Coast) -> Segment:
    lat, lon = segment_line((here.lat, here.lon), (there.lat, there.lon), geodesic=here.geodesic)
    distance = float(cut(lat, lon, np.zeros(lat.size - 1, bool), 1e9).node_along_m[-1])
    course = float(rhumb(lat[0], lon[0], lat[1], lon[1])[1]) if distance > 0 else math.nan
    if not coast.areas:
        return Segment(here.number, course, distance)
    met, at_lat, at_lon = meets_land(lat, lon, coast.land)
    caution = ""
    if met.any():
        first = int(met.argmax())
        caution = f"Segment {here.number} crosses land near {latitude(float(at_lat[first]))} {longitude(float(at_lon[first]))}."
    return Segment(here.number, course, distance, coast.shore_off(lat, lon), caution)


def _picture(points: Sequence[_Typed], refuges: Sequence[Place], coast: Coast) -> RoutePicture:
    return draw_route(
        Route(
            points=[Waypoint(point.name, point.lat, point.lon, point.gate, point.number) for point in points],
            geodesic=[point.geodesic for point in points[:-1]],
            refuges=refuges,
            polygons=coast.polygons,
        )
    )


def _sentence(points: Sequence[_Typed], segments: dict[int, Segment]) -> str:
    whole = sum(segment.distance_m for segment in segments.values())
    return f"{points[0].name} to {points[-1].name}: {miles(whole)} in {counted(len(segments), 'segment')}."
