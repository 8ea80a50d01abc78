"""Litres used against litres expected: a dot a run, the line of the table, the line of the fit and its middle half."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from readiness.calc.fuel import Fit
from readiness.views.picture.tide_curve import Level, Spot
from vessel.calc.wording import is_known, number
from vessel.views.paper import percent

BOX = 1000  # lines are drawn in a box of 1000 by 1000, stretched to the plot and cut at its edge
STEPS = 4
NICE = (1, 2, 2.5, 5, 10)
FROM_NOTHING = 0.5  # the scales begin at 0 where the least run is less than this share of the largest
LEAST_SPAN = 0.04  # share of the largest run that the scales cover at least


@dataclass(frozen=True, slots=True)
class FuelFitPicture:
    """All that the template draws; places in per cent of the plot, lines and band as paths in the box."""

    dots: tuple[Spot, ...]
    table: str
    fit: str
    band: str
    levels: tuple[Level, ...]
    labels: tuple[Spot, ...]
    begins: str


@dataclass(frozen=True, slots=True)
class Scale:
    """Litres, the same across and up."""

    low: float
    high: float
    step: float

    def share(self, litres: float) -> float:
        return (litres - self.low) / (self.high - self.low)

    def text(self, litres: float) -> str:
        decimals = next(places for places in range(9) if abs(self.step - round(self.step, places)) < self.step * 1e-6)
        return number(litres, decimals)


def draw_fuel_fit(runs: Iterable[tuple[float, float]], fit: Fit) -> FuelFitPicture | None:
    """The picture of runs as (expected, used) in litres; None where none can be compared."""
    known = [run for run in runs if all(map(is_known, run))]
    if not known:
        return None
    scale = _scale([litres for run in known for litres in run])
    ticks = [scale.low + scale.step * place for place in range(round((scale.high - scale.low) / scale.step) + 1)]
    known_fit = is_known(fit.factor)
    return FuelFitPicture(
        dots=tuple(Spot(_across(scale, expected), _down(scale, used)) for expected, used in known),
        table=_line(scale, 1.0),
        fit=_line(scale, fit.factor) if known_fit else "",
        band=_band(scale, fit) if known_fit else "",
        levels=tuple(Level(_down(scale, litres), scale.text(litres)) for litres in ticks),
        labels=tuple(Spot(_across(scale, litres), "", _anchor(scale, litres), scale.text(litres)) for litres in ticks),
        begins=f"{scale.text(scale.low)} L" if scale.low else "",
    )


def _scale(litres: Sequence[float]) -> Scale:
    least, most = min(litres), max(litres)
    room = max(most - least, LEAST_SPAN * most) / 8
    low = least - room if least >= FROM_NOTHING * most else 0.0
    step = _nice((most + room - low) / STEPS)
    first = math.floor(low / step) * step
    return Scale(first, first + step * math.ceil((most + room - first) / step), step)


def _nice(span: float) -> float:
    size: float = 10.0 ** math.floor(math.log10(span))
    return next(nice * size for nice in NICE if nice * size >= span * 0.999)


def _across(scale: Scale, litres: float) -> str:
    return percent(100 * scale.share(litres))


def _down(scale: Scale, litres: float) -> str:
    return percent(100 * (1 - scale.share(litres)))


def _at(scale: Scale, expected: float, factor: float) -> str:
    return f"{BOX * scale.share(expected):.0f} {BOX * (1 - scale.share(expected * factor)):.0f}"


def _line(scale: Scale, factor: float) -> str:
    return f"M{_at(scale, scale.low, factor)}L{_at(scale, scale.high, factor)}"


def _band(scale: Scale, fit: Fit) -> str:
    corners = [(scale.low, fit.low), (scale.high, fit.low), (scale.high, fit.high), (scale.low, fit.high)]
    return f"M{'L'.join(_at(scale, expected, factor) for expected, factor in corners)}Z"


def _anchor(scale: Scale, litres: float) -> str:
    share = scale.share(litres)
    return "start" if share < 0.1 else "end" if share > 0.9 else "middle"
