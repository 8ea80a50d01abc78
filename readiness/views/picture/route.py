"""The route on a chart of polygons: land, graticule, the way with its points, refuges, gates, and where she is when."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from readiness.calc.coast import Ring
from readiness.calc.track import cut
from readiness.views.picture.chart import (
    BOX_WIDE,
    Line,
    Paper,
    Scale,
    land_path,
    meridians,
    paper_around,
    parallels,
    scale_of,
)
from readiness.views.picture.chart_names import Name, Named, place_names
from vessel.units import NAUTICAL_MILE, Array
from vessel.views.paper import percent

PHONE_PX, DESK_PX = 326.0, 800.0  # the narrowest paper on each
STEPS_DRAWN = 40  # a geodesic is drawn in so many pieces a segment at most
SHORTEST_STEP_M = 0.25 * NAUTICAL_MILE
TICK_PX = 7.0
PIECE = 0.01  # of the paper: the track is kept clear of names in pieces this long
LABEL_WIDE, LABEL_HIGH = 20.0, 8.0  # per cent of the narrowest paper that a label and a point beside it take
SAME_PX = 15.0  # of two points nearer than this on a phone only the first shows its number


@dataclass(frozen=True, slots=True)
class Waypoint:
    """A point of the way; `gate` is the name of a gate that stands there, `number` its own where some are left out."""

    name: str
    lat_deg: float
    lon_deg: float
    gate: str = ""
    number: int = 0


@dataclass(frozen=True, slots=True)
class Place:
    """A refuge."""

    name: str
    lat_deg: float
    lon_deg: float


@dataclass(frozen=True, slots=True)
class Moment:
    """Where she is at a full hour, by plan."""

    text: str
    lat_deg: float
    lon_deg: float
    course_deg: float


@dataclass(frozen=True, slots=True)
class Route:
    """All that is to be drawn."""

    points: Sequence[Waypoint]
    geodesic: Sequence[bool]
    refuges: Sequence[Place] = ()
    moments: Sequence[Moment] = ()
    polygons: Sequence[Sequence[Ring]] = ()
    sentence: str = ""


@dataclass(frozen=True, slots=True)
class Spot:
    """A point on the paper with its name on each size of it; a number stands beside a point of the way."""

    x: str
    y: str
    number: int
    name: str
    gate: str
    shows_number: bool
    on_phone: Name | None
    on_desk: Name | None
    dx: str = ""  # a tick runs from `from_x`, `from_y` to here, in px
    dy: str = ""
    from_x: str = ""
    from_y: str = ""


@dataclass(frozen=True, slots=True)
class RoutePicture:
    """All that the template draws; x and y in per cent, paths in a box of box_wide by box_high."""

    paper: Paper
    box_wide: int
    box_high: int
    sentence: str
    land: str
    track: str
    meridians: list[Line]
    parallels: list[Line]
    scale: Scale
    points: list[Spot]
    refuges: list[Spot]
    moments: list[Spot]
    has_land: bool


def draw_route(route: Route) -> RoutePicture:
    """The picture of a route of two points or more."""
    lat, lon = _positions(route.points)
    all_lat, all_lon = _positions([*route.points, *route.refuges])
    paper = paper_around(all_lat, all_lon)
    spots = _spots(paper, route)
    ways, refuges = len(route.points), len(route.refuges)
    land = land_path(paper, route.polygons)
    return RoutePicture(
        paper=paper,
        box_wide=BOX_WIDE,
        box_high=paper.box_high,
        sentence=route.sentence,
        land=land,
        track=paper.path(*line_of(lat, lon, route.geodesic)),
        meridians=meridians(paper),
        parallels=_clear_of(parallels(paper), spots),
        scale=scale_of(paper),
        points=spots[:ways],
        refuges=spots[ways : ways + refuges],
        moments=spots[ways + refuges :],
        has_land=bool(land),
    )


def _clear_of(lines: Sequence[Line], spots: Sequence[Spot]) -> list[Line]:
    """Parallels with their label at the end no point stands on; without one where points stand on both."""

    def is_free(line: Line, edge: float) -> bool:
        return not any(
            abs(float(spot.x) - edge) < LABEL_WIDE and abs(float(spot.y) - float(line.at)) < LABEL_HIGH
            for spot in spots
        )

    ends = [("start", 0.0), ("end", 100.0)]
    free = [next((anchor for anchor, edge in ends if is_free(line, edge)), "") for line in lines]
    return [
        replace(line, anchor=anchor, text=line.text if anchor else "") for line, anchor in zip(lines, free, strict=True)
    ]


def line_of(lat_deg: Array, lon_deg: Array, geodesic: Sequence[bool]) -> tuple[Array, Array]:
    """Positions along the way, close enough to draw it and to look whether it meets land."""
    longest = max(SHORTEST_STEP_M, float(_length(lat_deg, lon_deg)) / (STEPS_DRAWN * max(lat_deg.size - 1, 1)))
    track = cut(lat_deg, lon_deg, np.array(geodesic, bool), longest)
    return track.node_lat_deg, track.node_lon_deg


def _length(lat_deg: Array, lon_deg: Array) -> float:
    return float(cut(lat_deg, lon_deg, np.zeros(lat_deg.size - 1, bool), 1e9).node_along_m[-1])


def _positions(places: Sequence[Waypoint | Place | Moment]) -> tuple[Array, Array]:
    return np.array([place.lat_deg for place in places]), np.array([place.lon_deg for place in places])


def _spots(paper: Paper, route: Route) -> list[Spot]:
    """Points of the way, refuges and moments in this order, which is also the order in which names find a place."""
    drawn: list[Waypoint | Place | Moment] = [*route.points, *route.refuges, *route.moments]
    x, y = paper.shares(*_positions(drawn))
    texts = [place.text if isinstance(place, Moment) else place.name for place in drawn]
    named = [Named(float(across), float(down), text) for across, down, text in zip(x, y, texts, strict=True)]
    line = _pieces(paper, route)
    sizes = [place_names(named, line, width, width * paper.height / paper.width) for width in (PHONE_PX, DESK_PX)]
    numbered = _numbered(paper, named[: len(route.points)])
    return [
        Spot(
            x=percent(100 * one.x),
            y=percent(100 * one.y),
            number=getattr(drawn[place], "number", 0) or place + 1,
            name=one.text,
            gate=getattr(drawn[place], "gate", ""),
            shows_number=place in numbered,
            on_phone=sizes[0][place],
            on_desk=sizes[1][place],
            **_across(drawn[place]),
        )
        for place, one in enumerate(named)
    ]


def _pieces(paper: Paper, route: Route) -> list[tuple[float, float]]:
    """Places along the track, close enough that no name slips between two of them."""
    x, y = paper.shares(*line_of(*_positions(route.points), route.geodesic))
    length = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(x), np.diff(y)))])
    every = np.arange(0.0, float(length[-1]), PIECE)
    return list(zip(np.interp(every, length, x).tolist(), np.interp(every, length, y).tolist(), strict=True))


def _across(place: Waypoint | Place | Moment) -> dict[str, str]:
    """How a tick lies across the course."""
    if not isinstance(place, Moment):
        return {}
    angle = math.radians(place.course_deg)
    across, down = TICK_PX * math.cos(angle), TICK_PX * math.sin(angle)
    ends = {"dx": across, "dy": down, "from_x": -across, "from_y": -down}
    return {name: f"{px:z.1f}" for name, px in ends.items()}


def _numbered(paper: Paper, points: Sequence[Named]) -> set[int]:
    """Which points show their number on the narrowest paper: the ends, and those not on top of one that does."""
    high = PHONE_PX * paper.height / paper.width
    shown: list[int] = []
    for place in (0, len(points) - 1, *range(1, len(points) - 1)):
        here = points[place]
        apart = (math.hypot((here.x - points[one].x) * PHONE_PX, (here.y - points[one].y) * high) for one in shown)
        if place in shown or all(px >= SAME_PX for px in apart):
            shown.append(place)
    return set(shown)
