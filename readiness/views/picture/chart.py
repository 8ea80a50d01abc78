"""The paper of a chart: a piece of a Mercator chart of a fixed shape, with land, graticule and scale.

x and y are in per cent of the paper, so that one drawing fits every width and text is never scaled.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from readiness.calc.coast import Ring, clipped, latitude_at, mercator_y
from vessel.units import NAUTICAL_MILE, Array
from vessel.views.paper import percent

BOX_WIDE = 2000  # land and track are drawn in a box so wide, stretched to the paper
SHAPES = (("long", 2.4), ("wide", 1.6), ("square", 1.0), ("tall", 0.7))  # width by height
LEAST_HEIGHT_DEG = 1 / 30  # of the equator: two miles, so that two points in one place still make a chart
ROOM = 0.12  # of the extent, on every side
STEPS_MIN = (0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 1200)  # minutes between lines
MOST_LINES, MOST_PARALLELS = 5, {"long": 3}  # on long paper a label has half the room
SCALES_NMI = (0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500)
LONGEST_SCALE = 0.25  # of the width
BLEED = 0.05  # land is drawn so far beyond the paper, so that its shore does not run along the edge


@dataclass(frozen=True, slots=True)
class Line:
    """A line of the graticule with its label; at is its x or y. A parallel's label stands at its start or its end."""

    at: str
    text: str
    anchor: str = "start"


@dataclass(frozen=True, slots=True)
class Scale:
    """The bar of the scale, at the middle latitude."""

    width: str
    text: str


@dataclass(frozen=True, slots=True)
class Paper:
    """What of the globe is drawn: longitudes run on, heights are of a Mercator chart, all in degrees."""

    shape: str
    west: float
    north_y: float
    width: float
    height: float

    @property
    def box_high(self) -> int:
        """Height of the box that land and track are drawn in."""
        return round(BOX_WIDE * self.height / self.width)

    def shares(self, lat_deg: Array, lon_deg: Array) -> tuple[Array, Array]:
        """How far across and down the paper positions lie, 0 to 1, on the turn of the globe nearest to it."""
        middle = self.west + self.width / 2
        lon = np.asarray(lon_deg, float)
        lon = lon - 360.0 * np.round((lon - middle) / 360.0)
        return (lon - self.west) / self.width, (self.north_y - mercator_y(lat_deg)) / self.height

    def path(self, lat_deg: Array, lon_deg: Array, *, closed: bool = False) -> str:
        """A line through positions, in the box; empty for fewer than two."""
        x, y = self.shares(lat_deg, lon_deg)
        return _path(x * BOX_WIDE, y * self.box_high, closed=closed)


def paper_around(lat_deg: Array, lon_deg: Array) -> Paper:
    """The paper that holds positions, none of them nearer to its edge than an eighth of its extent or so."""
    lon, y = np.unwrap(np.asarray(lon_deg, float), period=360.0), mercator_y(lat_deg)
    wide = float(np.ptp(lon))
    high = max(float(np.ptp(y)), LEAST_HEIGHT_DEG)
    shape, ratio = min(SHAPES, key=lambda one: abs(math.log(max(wide, high / 3) / high / one[1])))
    height = max(high, wide / ratio) * (1 + 2 * ROOM)
    width = height * ratio
    middle_x, middle_y = (float(values.min() + values.max()) / 2 for values in (lon, y))
    return Paper(shape, middle_x - width / 2, middle_y + height / 2, width, height)


def land_path(paper: Paper, polygons: Sequence[Sequence[Ring]]) -> str:
    """All land on the paper as one path, to be filled even and odd."""
    box = (-BLEED, -BLEED, 1 + BLEED, 1 + BLEED)
    parts = []
    for ring in (ring for polygon in polygons for ring in polygon):
        lon = np.unwrap(ring[:-1, 0], period=360.0)
        turn = 360.0 * np.round((lon.mean() - paper.west - paper.width / 2) / 360.0)
        x = (lon - turn - paper.west) / paper.width
        y = (paper.north_y - mercator_y(ring[:-1, 1])) / paper.height
        inside_x, inside_y = clipped(x, y, box)
        if inside_x.size >= 3:
            parts.append(_path(inside_x * BOX_WIDE, inside_y * paper.box_high, closed=True))
    return "".join(parts)


def meridians(paper: Paper) -> list[Line]:
    """Lines of longitude with their labels."""
    return [
        Line(percent(100 * (degrees - paper.west) / paper.width), _label((degrees + 180) % 360 - 180, "EW"))
        for degrees in _whole_steps(paper.west, paper.west + paper.width)
    ]


def parallels(paper: Paper) -> list[Line]:
    """Lines of latitude with their labels."""
    south, north = (float(latitude_at(y)) for y in (paper.north_y - paper.height, paper.north_y))
    return [
        Line(percent(100 * float((paper.north_y - mercator_y(degrees)) / paper.height)), _label(degrees, "NS"))
        for degrees in _whole_steps(south, north, MOST_PARALLELS.get(paper.shape, MOST_LINES))
    ]


def scale_of(paper: Paper) -> Scale:
    """The longest round distance that is not a quarter of the width."""
    middle = math.radians(float(latitude_at(paper.north_y - paper.height / 2)))
    width_m = paper.width * 60 * NAUTICAL_MILE * math.cos(middle)
    fitting = [miles for miles in SCALES_NMI if miles * NAUTICAL_MILE <= LONGEST_SCALE * width_m] or [SCALES_NMI[0]]
    miles = fitting[-1]
    return Scale(percent(100 * miles * NAUTICAL_MILE / width_m), f"{miles:g} nmi")


def _whole_steps(low: float, high: float, most: int = MOST_LINES) -> list[float]:
    step = next((step for step in STEPS_MIN if (high - low) * 60 / step <= most), STEPS_MIN[-1])
    first, last = math.ceil(low * 60 / step - 1e-9), math.floor(high * 60 / step + 1e-9)
    return [number * step / 60 for number in range(first, last + 1)]


def _label(degrees: float, letters: str) -> str:
    tenths = round(abs(degrees) * 600)
    whole, rest = divmod(tenths, 600)
    letter = letters[0 if degrees > 0 else 1] if tenths else ""
    minutes = f"{rest // 10:02d}" if rest % 10 == 0 else f"{rest / 10:04.1f}"
    return f"{whole}°{minutes}′{letter}"


def _path(x: Array, y: Array, *, closed: bool) -> str:
    """Through points in the box, those on the same unit of it drawn once."""
    points = np.rint(np.column_stack([x, y])).astype(int)
    kept = np.concatenate([[True], (np.diff(points, axis=0) != 0).any(axis=1)])
    drawn = [f"{across} {down}" for across, down in points[kept]]
    return f"M{'L'.join(drawn)}{'Z' if closed else ''}" if len(drawn) > 1 else ""
