"""A tidal stream table as a picture: rate by the hour from high water, and which way the water goes."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from vessel.calc.wording import MINUS, compass_point, degrees, knots
from vessel.units import HOUR, KNOT
from vessel.views.paper import percent

HIGH = 64  # px of the plot
LEAST_TOP_KN = 1.0
AFTER_LAST_S = HOUR  # how long the last row is drawn for where nothing follows


@dataclass(frozen=True, slots=True)
class Row:
    """From `from_s` after high water (before it is negative) until the next row."""

    from_s: float
    set_deg: float
    neaps_mps: float
    springs_mps: float


@dataclass(frozen=True, slots=True)
class Bar:
    """One row drawn; y and height in px, x and width in per cent of the paper."""

    x: str
    width: str
    springs_y: str
    springs_high: str
    neaps_y: str
    middle: str
    toward: str


@dataclass(frozen=True, slots=True)
class Line:
    """One row in words."""

    when: str
    toward: str
    neaps: str
    springs: str


@dataclass(frozen=True, slots=True)
class StreamPicture:
    """All that the template draws."""

    sentence: str
    bars: tuple[Bar, ...]
    high_water_x: str
    top: str
    ends: tuple[str, str]
    lines: tuple[Line, ...]


def draw_stream(rows: Sequence[Row], *, steady: bool, reference: str) -> StreamPicture | None:
    """The picture of a table; None without rows. A steady stream has one row that lasts."""
    if not rows:
        return None
    edges = [row.from_s for row in rows] + [rows[-1].from_s + _last_lasts(rows)]
    start, end = edges[0], edges[-1]
    top = max(LEAST_TOP_KN * KNOT, *(row.springs_mps for row in rows))
    share = {edge: 100 * (edge - start) / (end - start) for edge in edges}
    bars = [_bar(row, share[a], share[b], top) for row, (a, b) in zip(rows, pairwise(edges), strict=True)]
    return StreamPicture(
        sentence=_sentence(rows, steady=steady, reference=reference),
        bars=tuple(bars),
        high_water_x="" if steady or not start <= 0 <= end else percent(-100 * start / (end - start)),
        top=knots(top, 1),
        ends=("", "") if steady else (from_high_water(start), from_high_water(end)),
        lines=tuple(_line(row, steady=steady) for row in rows),
    )


def from_high_water(seconds: float) -> str:
    """How long before or after high water, "HW −6½ h"."""
    if seconds == 0:
        return "HW"
    hours = f"{abs(seconds) / HOUR:.2f}".rstrip("0").rstrip(".")
    return f"HW {'+' if seconds > 0 else MINUS}{hours} h"


def _last_lasts(rows: Sequence[Row]) -> float:
    steps = [later.from_s - row.from_s for row, later in pairwise(rows)]
    return min(steps) if steps else AFTER_LAST_S


def _bar(row: Row, left: float, right: float, top: float) -> Bar:
    springs, neaps = HIGH * row.springs_mps / top, HIGH * row.neaps_mps / top
    return Bar(
        x=percent(left),
        width=percent(right - left),
        springs_y=f"{HIGH - springs:.0f}",
        springs_high=f"{springs:.0f}",
        neaps_y=f"{HIGH - neaps:.0f}",
        middle=percent((left + right) / 2),
        toward=compass_point(row.set_deg),
    )


def _line(row: Row, *, steady: bool) -> Line:
    return Line(
        when="at all times" if steady else f"from {from_high_water(row.from_s)}",
        toward=f"{compass_point(row.set_deg)} ({degrees(row.set_deg)})",
        neaps=knots(row.neaps_mps, 1),
        springs=knots(row.springs_mps, 1),
    )


def _sentence(rows: Sequence[Row], *, steady: bool, reference: str) -> str:
    most = max(rows, key=lambda row: row.springs_mps)
    told = f"{knots(most.springs_mps, 1)} toward {compass_point(most.set_deg)}"
    if steady:
        return f"Always {told}."
    return f"At most {told} at springs, by the high water of {reference}."
