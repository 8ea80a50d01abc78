"""Distance and course over the ground, and a leg cut into steps.

Longitudes are degrees east, wrapped to [-180, 180); differences go the short way round, so the date line is
an ordinary meridian. All figures are on the WGS 84 ellipsoid.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from geographiclib.geodesic import Geodesic
from numpy.typing import NDArray

from readiness.calc.ellipsoid import (
    WGS84,
    isometric_latitude,
    latitude_at_arc,
    meridian_arc,
    parallel_radius,
)
from vessel.units import Array, Degrees, Flags, Metres

Places = Callable[[Array], tuple[Array, Array, Array]]  # metres along -> latitudes, longitudes, courses [deg]

NEARLY_ONE_LATITUDE = 1e-5  # rad; below it the ratio of differences is lost in rounding, the derivative is not


@dataclass(frozen=True)
class Track:
    """A leg cut into steps; nodes are their ends, one more than steps."""

    node_lat_deg: Array  # [node]
    node_lon_deg: Array  # [node]
    node_along_m: Array  # [node], 0 at departure
    step_m: Array  # [step]
    step_course_deg: Array  # [step], true, half-way along the step; NaN when the whole leg has no length
    segment: NDArray[np.int64]  # [step], index of the waypoint the segment begins at

    @property
    def step_along_m(self) -> Array:
        """Distance from departure to the middle of each step."""
        return (self.node_along_m[:-1] + self.node_along_m[1:]) / 2


def cut(lat_deg: Degrees, lon_deg: Degrees, geodesic: Flags, step_m: Metres) -> Track:
    """Cut the segments between waypoints into equal steps no longer than `step_m`.

    `lat_deg[point]`, `lon_deg[point]`, `geodesic[segment]`: True follows the shortest line, False the rhumb
    line. A segment of no length gives one step of 0 m with the course of its neighbour. ValueError for fewer
    than two points, for a position that is not known or lies beyond a pole, or for a step that is not positive.

    Source: [karney]
    """
    lat, lon = np.asarray(lat_deg, float), wrapped(np.asarray(lon_deg, float))
    longest = float(step_m)
    if lat.size < 2 or lat.shape != lon.shape or not np.isfinite([*lat, *lon]).all():
        raise ValueError("A track needs at least two points, each with a known latitude and longitude.")
    if (np.abs(lat) > 90).any():
        raise ValueError("A latitude lies between 90° north and 90° south.")
    if not longest > 0:
        raise ValueError("The step must be longer than 0 m.")
    lines = np.broadcast_to(np.asarray(geodesic, bool), lat.size - 1)
    parts = [
        _steps_of(lat[i : i + 2], lon[i : i + 2], shortest=bool(lines[i]), longest_m=longest)
        for i in range(lat.size - 1)
    ]
    step = np.concatenate([part[2] for part in parts])
    return Track(
        node_lat_deg=np.concatenate([lat[:1], *(part[0] for part in parts)]),
        node_lon_deg=np.concatenate([lon[:1], *(part[1] for part in parts)]),
        node_along_m=np.concatenate([[0.0], np.cumsum(step)]),
        step_m=step,
        step_course_deg=_filled(np.concatenate([part[3] for part in parts])),
        segment=np.repeat(np.arange(lat.size - 1), [part[2].size for part in parts]),
    )


def geodesic(
    lat1_deg: Degrees, lon1_deg: Degrees, lat2_deg: Degrees, lon2_deg: Degrees
) -> tuple[Metres, Degrees, Degrees]:
    """Shortest distance, course on leaving and on arriving, each in (-180, 180]; single positions only.

    Source: [karney]
    """
    line = Geodesic.WGS84.Inverse(float(lat1_deg), float(lon1_deg), float(lat2_deg), float(lon2_deg))
    return float(line["s12"]), float(line["azi1"]), float(line["azi2"])


def rhumb(lat1_deg: Degrees, lon1_deg: Degrees, lat2_deg: Degrees, lon2_deg: Degrees) -> tuple[Metres, Degrees]:
    """Distance along and course [0, 360) of the line of constant course; any shapes that broadcast.

    Not for an end at a pole. Between equal positions the distance is 0 and the course 0.

    Source: [bowditch]
    """
    phi1, phi2 = np.radians(lat1_deg), np.radians(lat2_deg)
    east = np.radians(wrapped(np.subtract(lon2_deg, lon1_deg)))
    north = isometric_latitude(phi2, WGS84) - isometric_latitude(phi1, WGS84)
    return (
        np.hypot(east, north) * _metres_per_isometric(phi1, phi2),
        np.degrees(np.arctan2(east, north)) % 360.0,
    )


def rhumb_forward(
    lat_deg: Degrees, lon_deg: Degrees, course_deg: Degrees, distance_m: Metres
) -> tuple[Degrees, Degrees]:
    """Latitude and longitude reached on a constant course; NaN when the line would run over a pole.

    Source: [bowditch]
    """
    phi1, course = np.radians(lat_deg), np.radians(course_deg)
    arc = meridian_arc(phi1, WGS84) + np.asarray(distance_m) * np.cos(course)
    phi2 = latitude_at_arc(arc, WGS84)
    with np.errstate(invalid="ignore", divide="ignore"):
        east = np.asarray(distance_m) * np.sin(course) / _metres_per_isometric(phi1, phi2)
    return np.degrees(phi2), wrapped(lon_deg + np.degrees(east))


def distance_m(lat1_deg: Degrees, lon1_deg: Degrees, lat2_deg: Degrees, lon2_deg: Degrees) -> Metres:
    """Shortest distance for many pairs at once: sphere of reduced latitudes, one term for the flattening.

    Within 2 parts in a million to 1,200 nmi; not for points nearly opposite each other.

    Source: [andoyer]
    """
    beta1, beta2 = (np.arctan((1 - WGS84.flattening) * np.tan(np.radians(lat))) for lat in (lat1_deg, lat2_deg))
    half_east = np.radians(wrapped(np.subtract(lon2_deg, lon1_deg))) / 2
    half_sum, half_difference = (beta1 + beta2) / 2, (beta2 - beta1) / 2
    chord = np.sin(half_difference) ** 2 + np.cos(beta1) * np.cos(beta2) * np.sin(half_east) ** 2
    angle = 2 * np.arcsin(np.sqrt(chord))
    safe = np.where(chord > 0, chord, 1.0)
    shrunk = (angle - np.sin(angle)) * (np.sin(half_sum) * np.cos(half_difference)) ** 2 / (1 - chord)
    grown = (angle + np.sin(angle)) * (np.cos(half_sum) * np.sin(half_difference)) ** 2 / safe
    return np.asarray(WGS84.equator_m * (angle - WGS84.flattening / 2 * (shrunk + grown)))


def wrapped(lon_deg: Degrees) -> Array:
    """Longitude, or a difference of longitudes, in [-180, 180).

    Source: [practice]
    """
    return np.asarray((np.asarray(lon_deg, float) + 180.0) % 360.0 - 180.0)


def _metres_per_isometric(phi1: Array, phi2: Array) -> Array:
    """Metres run north for each radian of isometric latitude between two latitudes [rad]."""
    apart = np.abs(phi2 - phi1) > NEARLY_ONE_LATITUDE
    stretched = isometric_latitude(phi2, WGS84) - isometric_latitude(phi1, WGS84)
    between = (meridian_arc(phi2, WGS84) - meridian_arc(phi1, WGS84)) / np.where(apart, stretched, 1.0)
    return np.where(apart, between, parallel_radius((phi1 + phi2) / 2, WGS84))


def _steps_of(lat: Array, lon: Array, *, shortest: bool, longest_m: float) -> tuple[Array, Array, Array, Array]:
    """Latitudes and longitudes of the nodes after the first, lengths and courses of the steps."""
    follow = _along_geodesic if shortest else _along_rhumb
    length, places = follow(lat, lon)
    count = max(1, math.ceil(length / longest_m - 1e-9))
    size = np.full(count, length / count)
    if length == 0:
        return lat[1:], lon[1:], size, np.full(count, np.nan)
    number = np.arange(count)
    node_lat, node_lon, _ = places(length * (number + 1) / count)
    node_lat[-1], node_lon[-1] = lat[1], lon[1]
    return node_lat, node_lon, size, places(length * (number + 0.5) / count)[2]


def _along_geodesic(lat: Array, lon: Array) -> tuple[float, Places]:
    line = Geodesic.WGS84.InverseLine(*(float(x) for x in (lat[0], lon[0], lat[1], lon[1])))

    def places(along_m: Array) -> tuple[Array, Array, Array]:
        there = [line.Position(float(metres)) for metres in along_m]
        node_lat, node_lon, course = (np.array([one[name] for one in there]) for name in ("lat2", "lon2", "azi2"))
        return node_lat, wrapped(node_lon), course % 360.0

    return float(line.s13), places


def _along_rhumb(lat: Array, lon: Array) -> tuple[float, Places]:
    length, course = rhumb(lat[0], lon[0], lat[1], lon[1])

    def places(along_m: Array) -> tuple[Array, Array, Array]:
        node_lat, node_lon = rhumb_forward(lat[0], lon[0], course, along_m)
        return np.asarray(node_lat), np.asarray(node_lon), np.full(along_m.size, course)

    return float(length), places


def _filled(course: Array) -> Array:
    """Courses with each gap taken from the last one before it, and those before the first from the first."""
    held = np.flatnonzero(np.isfinite(course))
    if held.size == 0:
        return course
    before = np.searchsorted(held, np.arange(course.size), side="right") - 1
    return course[held[np.maximum(before, 0)]]
