"""What a GPX file offers as the way of a leg: its routes and tracks, each thinned to few enough points, and said."""

from collections.abc import Sequence

import numpy as np

from readiness.calc.thin import kept_points
from readiness.calc.track import distance_m
from readiness.feeds.gpx import GpxFile, GpxPoint, GpxRoute
from vessel.calc.wording import miles, number

CLOSE_M = 20.0  # a point that lies no farther off the line is left out of a long one [own]
FEW = 60  # points a person can look through [own]
MOST = 30  # routes and tracks offered


def lines_of(file: GpxFile) -> list[tuple[str, list[GpxPoint]]]:
    """What is said of each line, and its points; lines of fewer than two points lead nowhere and are left out."""
    named = [("Route", route) for route in file.routes] + [("Track", line) for line in file.lines]
    lines = [_line(kind, route) for kind, route in named if len(route.points) > 1]
    return lines[:MOST]


def thinned(points: Sequence[GpxPoint]) -> tuple[list[GpxPoint], float]:
    """Few enough of the points, and how far off the line one left out may lie, in metres; 0 where none is."""
    if len(points) <= FEW:
        return list(points), 0.0
    lat, lon = np.array([(point.lat, point.lon) for point in points]).T
    within_m = CLOSE_M
    while (kept := kept_points(lat, lon, within_m)).sum() > FEW:
        within_m *= 2
    return [point for point, stays in zip(points, kept, strict=True) if stays], within_m


def _line(kind: str, route: GpxRoute) -> tuple[str, list[GpxPoint]]:
    lat, lon = np.array([(point.lat, point.lon) for point in route.points]).T
    length = float(np.sum(distance_m(lat[:-1], lon[:-1], lat[1:], lon[1:])))
    points, within_m = thinned(route.points)
    what = f"{kind} {route.name or 'without a name'}: {miles(length)}, {number(len(route.points))} points"
    if within_m:
        what += f", thinned to {len(points)}: none left out lies farther than {number(within_m)} m from the line"
    return f"{what}.", points
