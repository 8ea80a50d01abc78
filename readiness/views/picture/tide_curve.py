"""A curve of the tide on paper: its levels, its line and its high and low waters. Text is never scaled."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from readiness.views.picture.axis import Day
from readiness.views.picture.backdrop import extent
from readiness.views.picture.day import HighLow, edge_anchor
from vessel.calc.wording import clock, metres, number

TOP, HIGH = 36, 128  # px: where the plot begins and how high it is
MOST_LEVELS = 6


@dataclass(frozen=True, slots=True)
class Scale:
    """Whole metres from the foot of the plot to its head."""

    low: int
    high: int

    def y(self, height: float) -> float:
        """How far down the picture a height lies, in px."""
        return TOP + HIGH * (1 - (height - self.low) / (self.high - self.low))


@dataclass(frozen=True, slots=True)
class Level:
    """A line of equal height; y in px."""

    y: str
    text: str


@dataclass(frozen=True, slots=True)
class Spot:
    """A place on the paper with its words; empty text where there is nothing to draw."""

    x: str = ""
    y: str = ""
    anchor: str = "middle"
    text: str = ""


def scale_of(height_m: Sequence[float], high_low: Sequence[HighLow]) -> Scale:
    """Room for the curve and its marks, at least a metre; a metre where no height is known."""
    low, high = extent([*height_m, *(mark.height_m for mark in high_low)])
    return Scale(math.floor(low), max(math.ceil(high), math.floor(low) + 1))


def levels(scale: Scale) -> tuple[Level, ...]:
    """Lines at whole metres, the top one with its unit."""
    step = max(1, math.ceil((scale.high - scale.low) / MOST_LEVELS))
    heights = list(range(scale.low, scale.high + 1, step))
    return tuple(
        Level(f"{scale.y(height):.0f}", number(height) + (" m" if height == heights[-1] else "")) for height in heights
    )


def path(paper: Day, at: Sequence[float], height_m: Sequence[float], scale: Scale) -> str:
    """The line in a box of 1000 by HIGH, broken where the height is not known."""
    parts, pen_down = [], False
    for moment, height in zip(at, height_m, strict=True):
        if math.isfinite(height):
            x, y = 10 * paper.share(moment), scale.y(height) - TOP
            parts.append(f"{'L' if pen_down else 'M'}{x:.0f} {y:.1f}")
        pen_down = math.isfinite(height)
    return "".join(parts)


def spots(paper: Day, high_low: Sequence[HighLow], scale: Scale) -> tuple[Spot, ...]:
    """The high and low waters on the paper, each with its time and height."""
    return tuple(
        Spot(
            paper.x(mark.at),
            f"{scale.y(mark.height_m):.0f}",
            edge_anchor(paper.share(mark.at)),
            f"{'HW' if mark.is_high else 'LW'} {clock(mark.at, paper.zone)} {metres(mark.height_m)}",
        )
        for mark in high_low
        if paper.holds(mark.at) and math.isfinite(mark.height_m)
    )
