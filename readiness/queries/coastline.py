"""Reads of coastlines: the land near a line, and how far off its shore lies where that can be known."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Any

import numpy as np
from django.db.models import Q

from readiness.calc.coast import NORTHMOST_DEG, Box, Land, Ring, edge_distance, land_of, meets_land, nearest_shore
from readiness.calc.track import cut, distance_m
from readiness.models import Coastline, LandPolygon
from readiness.rules.words_of_trade import LandOnWay, TrackKind
from vessel.units import NAUTICAL_MILE, Array

MARGIN_DEG = 0.5  # so far around a line land is looked for: farther off no rule asks for it
HALF_TURN = 180.0
WHOLE_TURNS = (-360.0, 0.0, 360.0)
PIECE_M = 0.25 * NAUTICAL_MILE  # a line is looked at in pieces so long, or longer where it is very long
MOST_PIECES = 400
END_M = 0.5 * NAUTICAL_MILE  # so near to its ends a coastline's own coarseness may put a harbour on land [own]

Row = Mapping[str, Any]
Shore = tuple[float, float]  # distance in metres and bearing in degrees, NaN where not known


@dataclass(frozen=True)
class Coast:
    """Land near a line: polygons as taken in, the areas in which all land is drawn, and where they are from."""

    polygons: tuple[tuple[Ring, ...], ...]
    areas: tuple[Box, ...]  # west, south, east, north
    names: tuple[str, ...]

    def shores_along(self, places: Sequence[tuple[float, float]], geodesic: Sequence[bool]) -> list[Shore]:
        """The shore of each segment between places."""
        pairs = zip(pairwise(places), geodesic, strict=True)
        return [self.shore_off(*segment_line(here, there, geodesic=kind)) for (here, there), kind in pairs]

    def land_along(self, places: Sequence[tuple[float, float]], geodesic: Sequence[bool]) -> list[LandOnWay]:
        """What is said of each segment between places, the first and last of which are where the leg begins and ends."""
        pairs = zip(pairwise(places), geodesic, strict=True)
        lines = [segment_line(here, there, geodesic=kind) for (here, there), kind in pairs]
        return [self._land_on(*line, (places[0], places[-1])) for line in lines]

    def _land_on(self, lat_deg: Array, lon_deg: Array, ends: Sequence[tuple[float, float]]) -> LandOnWay:
        met = meets_land(lat_deg, lon_deg, self.land)[0]
        off = np.min([np.asarray(distance_m(lat_deg, lon_deg, lat, lon)) for lat, lon in ends], axis=0)
        at_an_end = np.maximum(off[:-1], off[1:]) <= END_M
        if (met & ~at_an_end).any():
            return LandOnWay.CROSSED
        if not (self._to_edge(lat_deg, lon_deg) > 0).all():
            return LandOnWay.NOT_LOOKED
        return LandOnWay.AT_AN_END if met.any() else LandOnWay.CLEAR

    def _to_edge(self, lat_deg: Array, lon_deg: Array) -> Array:
        """How far each point lies inside what is drawn; 0 outside it."""
        inside = [edge_distance(lat_deg, lon_deg, area) for area in self.areas]
        return np.asarray(np.max(inside or [np.zeros(lat_deg.shape)], axis=0))

    @cached_property
    def land(self) -> Land:
        """Its sides."""
        return land_of(self.polygons)

    def shore_off(self, lat_deg: Array, lon_deg: Array) -> Shore:
        """Distance and bearing of the shore nearest to any of the points; NaN where it cannot be known.

        It is known only where land is nearer than the edge of what is drawn: beyond it there may be nearer land.
        """
        off, toward = nearest_shore(lat_deg, lon_deg, self.land)
        edge = self._to_edge(lat_deg, lon_deg)
        if np.isnan(off).any() or off.min() > edge.min():
            return float("nan"), float("nan")
        nearest = int(off.argmin())
        return float(off[nearest]), float(toward[nearest])


def segment_line(here: tuple[float, float], there: tuple[float, float], *, geodesic: bool) -> tuple[Array, Array]:
    """Positions along a segment between two of them, close enough to look for land."""
    ends = np.array([here[0], there[0]]), np.array([here[1], there[1]]), np.array([geodesic])
    length = float(cut(*ends, 1e9).node_along_m[-1])
    track = cut(*ends, max(PIECE_M, length / MOST_PIECES))
    return track.node_lat_deg, track.node_lon_deg


def coast_near(vessel_id: int, lat_deg: Array, lon_deg: Array, margin_deg: float = MARGIN_DEG) -> Coast:
    """The land within a margin around points, of all coastlines of a vessel. Two queries."""
    held = list(Coastline.objects.filter(vessel_id=vessel_id).order_by("pk"))
    if not held or not len(lat_deg):
        return Coast((), (), ())
    lon = np.unwrap(np.asarray(lon_deg, float), period=360.0)
    south, north = float(np.min(lat_deg)) - margin_deg, float(np.max(lat_deg)) + margin_deg
    wider = margin_deg / max(float(np.cos(np.radians(np.max(np.abs(lat_deg))))), 0.08)
    west, east = float(lon.min()) - wider, float(lon.max()) + wider
    near = Q()
    for turn in WHOLE_TURNS:
        near |= Q(west_deg__lte=east + turn, east_deg__gte=west + turn)
    rows = LandPolygon.objects.filter(near, coastline__in=held, south_deg__lte=north, north_deg__gte=south)
    polygons = tuple(
        tuple(np.asarray(ring, float) for ring in rings)
        for rings in rows.order_by("pk").values_list("rings", flat=True)
    )
    areas = tuple((row.west_deg, row.south_deg, row.east_deg, row.north_deg) for row in held)
    return Coast(polygons, areas, tuple(row.name for row in held))


def land_on(vessel_id: int, points: Sequence[Row], segments: Sequence[Row]) -> list[LandOnWay]:
    """What the vessel's coastlines say of each segment of a way, in columns of LegPoint and LegSegment. Two queries.

    One that leads to or from no place on earth is not looked at.
    """
    places = [(float(point["lat_deg"]), float(point["lon_deg"])) for point in points]
    if not all(abs(lat) <= NORTHMOST_DEG and abs(lon) <= HALF_TURN for lat, lon in places):
        return [LandOnWay.NOT_LOOKED for _ in segments]
    shortest = [segment.get("kind") == TrackKind.GEODESIC for segment in segments]
    coast = coast_near(vessel_id, *np.array(places).T)
    return coast.land_along(places, shortest + [False] * (len(places) - 1 - len(segments)))[: len(segments)]
