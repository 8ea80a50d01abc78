"""The trend of a nursed defect: readings, median slope with its interval, limit, today and the haul-out."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from vessel.calc.wording import is_known, number
from vessel.views.paper import percent

BOX = 1000  # the fan is drawn in a box of 1000 by 1000, stretched to the plot
LEVELS = 4
NICE = (1, 2, 2.5, 5, 10)


@dataclass(frozen=True, slots=True)
class Trend:
    """Readings (x, value) in order of x; slope and interval in value per unit of x, NaN where there are too few.

    labels are (x, figure, date) under the axis. limit, today and haul_out are NaN where there is none or it is
    not known. limit_is_high: the limit is reached from below.
    """

    points: Sequence[tuple[float, float]]
    slope: float
    interval: tuple[float, float]
    limit: float
    limit_words: str
    today: float
    haul_out: float
    haul_out_words: str
    labels: Sequence[tuple[float, str, str]]
    x_words: str
    end: float
    limit_is_high: bool = True


@dataclass(frozen=True, slots=True)
class Mark:
    """A place or an upright on the plot, in per cent, with words."""

    x: str
    y: str = ""
    text: str = ""
    anchor: str = "middle"
    more: str = ""


@dataclass(frozen=True, slots=True)
class TrendPicture:
    """All that the template draws, in per cent of the plot; fan is a path in a box of 1000 by 1000."""

    dots: tuple[Mark, ...]
    past: tuple[Mark, Mark] | None
    ahead: tuple[Mark, Mark] | None
    fan: str
    limit: Mark | None
    crossings: tuple[Mark, ...]
    today: Mark | None
    haul_out: Mark | None
    levels: tuple[Mark, ...]
    labels: tuple[Mark, ...]


@dataclass(frozen=True, slots=True)
class Paper:
    """The extent of both axes."""

    left: float
    right: float
    bottom: float
    top: float

    def x(self, value: float) -> str:
        return percent(100 * (value - self.left) / ((self.right - self.left) or 1.0))

    def y(self, value: float) -> str:
        return percent(100 * (self.top - value) / (self.top - self.bottom))

    def box(self, x: float, value: float) -> str:
        across = BOX * (x - self.left) / ((self.right - self.left) or 1.0)
        return f"{across:.0f} {BOX * (self.top - value) / (self.top - self.bottom):.0f}"


def draw_trend(trend: Trend) -> TrendPicture:
    """The picture of a trend; without a slope only readings, limit and today."""
    paper = _paper(trend)
    now, at_now = _now(trend)
    fitted = is_known(at_now) and is_known(trend.slope)
    first = trend.points[0][0] if trend.points else now
    return TrendPicture(
        dots=tuple(Mark(paper.x(x), paper.y(value)) for x, value in trend.points),
        past=_line(paper, trend, first, now) if fitted else None,
        ahead=_line(paper, trend, now, trend.end) if fitted else None,
        fan=_fan(paper, trend, now, at_now) if fitted else "",
        limit=Mark("0", paper.y(trend.limit), trend.limit_words, "start") if is_known(trend.limit) else None,
        crossings=tuple(Mark(paper.x(x), paper.y(trend.limit)) for x in crossings(trend) if now <= x <= trend.end),
        today=_upright(paper, trend.today, "today"),
        haul_out=_upright(paper, trend.haul_out, trend.haul_out_words),
        levels=tuple(_levels(paper)),
        labels=tuple(Mark(paper.x(x), "", text, _anchor(paper, x), more) for x, text, more in trend.labels),
    )


def fitted_at(trend: Trend, x: float) -> float:
    """The median line at x: the slope through the median of what it leaves over."""
    if not trend.points or not is_known(trend.slope):
        return math.nan
    return median(value - trend.slope * at for at, value in trend.points) + trend.slope * x


def crossings(trend: Trend) -> list[float]:
    """Where the edges of the interval meet the limit, in order; an edge that never gets there is left out."""
    now, at_now = _now(trend)
    short = trend.limit - at_now
    return sorted(
        now + short / slope for slope in trend.interval if is_known(short / (slope or math.nan)) and short / slope > 0
    )


def _now(trend: Trend) -> tuple[float, float]:
    now = trend.today if is_known(trend.today) else (trend.points[-1][0] if trend.points else 0.0)
    return now, fitted_at(trend, now)


def _paper(trend: Trend) -> Paper:
    values = [value for _, value in trend.points]
    ends = [fitted_at(trend, trend.end)]
    known = [value for value in [*values, trend.limit, *ends] if is_known(value)] or [0.0, 1.0]
    bottom = 0.0 if min(known) >= 0 else min(known) * 1.1
    step = _nice((max(known) * 1.08 - bottom) / LEVELS)
    xs = [x for x, _ in trend.points] + [x for x in (trend.today, trend.end) if is_known(x)]
    return Paper(min(xs, default=0.0), max(xs, default=1.0), bottom, bottom + LEVELS * step)


def _nice(step: float) -> float:
    if step <= 0:
        return 1.0
    size: float = 10.0 ** math.floor(math.log10(step))
    return next(nice * size for nice in NICE if nice * size >= step * 0.999)


def _line(paper: Paper, trend: Trend, start: float, end: float) -> tuple[Mark, Mark]:
    first, last = fitted_at(trend, start), fitted_at(trend, end)
    return Mark(paper.x(start), paper.y(first)), Mark(paper.x(end), paper.y(last))


def _fan(paper: Paper, trend: Trend, now: float, at_now: float) -> str:
    low, high = trend.interval
    if not (is_known(low) and is_known(high)):
        return ""
    ahead = trend.end - now
    far = [paper.box(trend.end, at_now + slope * ahead) for slope in (high, low)]
    return f"M{paper.box(now, at_now)}L{far[0]}L{far[1]}Z"


def _upright(paper: Paper, x: float, words: str) -> Mark | None:
    if not is_known(x) or not paper.left <= x <= paper.right:
        return None
    late = (x - paper.left) > 0.6 * (paper.right - paper.left)
    return Mark(paper.x(x), "", words, "end" if late else "start")


def _levels(paper: Paper) -> list[Mark]:
    step = (paper.top - paper.bottom) / LEVELS
    decimals = max(0, -math.floor(math.log10(step) + 1e-9)) if step < 1 else int(step % 1 > 0)
    heights = [paper.bottom + index * step for index in range(LEVELS + 1)]
    return [Mark("0", paper.y(height), number(height, decimals)) for height in heights]


def _anchor(paper: Paper, x: float) -> str:
    share = (x - paper.left) / ((paper.right - paper.left) or 1.0)
    return "start" if share < 0.1 else "end" if share > 0.9 else "middle"
