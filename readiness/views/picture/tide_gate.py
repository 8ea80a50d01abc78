"""The tide at a gate: when it is open, when she gets there early, by plan and late, and what is left to the last
entry.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from readiness.views.picture.axis import Day, Tick, day_of, ticks_between
from readiness.views.picture.backdrop import Band
from readiness.views.picture.day import HighLow, edge_anchor
from readiness.views.picture.tide_curve import Level, Spot, levels, path, scale_of, spots
from vessel.calc.wording import NOT_KNOWN, clock, is_known, toward_limit
from vessel.units import MINUTE
from vessel.views.paper import percent

NO_TIME = math.nan


@dataclass(frozen=True, slots=True)
class TideGate:
    """A gate and the curve it is read from. Moments not known are NaN; opens holds (from, until) pairs."""

    zone: str
    open_words: str
    at: Sequence[float]
    height_m: Sequence[float]
    high_low: Sequence[HighLow]
    opens: Sequence[tuple[float, float]]
    early: float = NO_TIME
    plan: float = NO_TIME
    late: float = NO_TIME
    last_entry: float = NO_TIME


@dataclass(frozen=True, slots=True)
class GatePicture:
    """All that the template draws; y in px."""

    sentence: str
    ticks: tuple[Tick, ...]
    levels: tuple[Level, ...]
    curve: str
    spots: tuple[Spot, ...]
    opens: tuple[Band, ...]
    open_labels: tuple[Spot, ...]
    early: Spot
    plan: Spot
    late: Spot
    stay: Band | None
    last_entry: Spot
    left: Spot
    left_bar: Band | None


def draw_tide_gate(gate: TideGate) -> GatePicture:
    """The picture of one gate; what is not known is left out of the drawing and said in the sentence."""
    start = day_of(gate.at[0], gate.zone)
    paper = Day(start.on, gate.zone, gate.at[0], gate.at[-1])
    scale = scale_of(gate.height_m, gate.high_low)
    spare = spare_minutes(gate)
    return GatePicture(
        sentence=sentence(gate),
        ticks=ticks_between(paper),
        levels=levels(scale),
        curve=path(paper, gate.at, gate.height_m, scale),
        spots=spots(paper, gate.high_low, scale),
        opens=tuple(Band(paper.x(a), paper.width(a, b), "open-band") for a, b in _shown(paper, gate)),
        open_labels=tuple(_open_label(paper, gate, a, b) for a, b in _shown(paper, gate)),
        early=_moment(paper, gate.early, "end"),
        plan=_moment(paper, gate.plan, edge_anchor(paper.share(gate.plan)) if is_known(gate.plan) else "middle"),
        late=_moment(paper, gate.late, "start"),
        stay=_between(paper, gate.early, gate.late, "stay"),
        last_entry=_moment(paper, gate.last_entry, "start"),
        left=_left(paper, gate, spare),
        left_bar=_between(paper, gate.late, gate.last_entry, "left") if is_known(spare) and spare > 0 else None,
    )


def spare_minutes(gate: TideGate) -> float:
    """Minutes between the late arrival and the last entry; below nought when too late, NaN when not known."""
    return (gate.last_entry - gate.late) / MINUTE


def sentence(gate: TideGate) -> str:
    """What the picture shows, in one sentence."""
    if not is_known(gate.plan) or not is_known(gate.late):
        return "When she gets there is not known."
    arrive = f"There by {clock(gate.plan, gate.zone)}, late {clock(gate.late, gate.zone)}"
    spare = spare_minutes(gate)
    if not is_known(spare):
        return f"{arrive}; the last entry is {NOT_KNOWN}."
    last = f"last entry {clock(gate.last_entry, gate.zone)}"
    minutes = toward_limit(abs(spare), 0.0)
    if spare < 0:
        return f"{arrive}; {last}: {minutes} min too late."
    return f"{arrive}; {last}: {minutes} min to spare."


def _shown(paper: Day, gate: TideGate) -> list[tuple[float, float]]:
    return [(a, b) for a, b in gate.opens if a < paper.end and b > paper.start]


def _open_label(paper: Day, gate: TideGate, start: float, end: float) -> Spot:
    middle = (paper.share(max(start, paper.start)) + paper.share(min(end, paper.end))) / 2
    text = f"{gate.open_words} {clock(start, gate.zone)}–{clock(end, gate.zone)}"
    return Spot(percent(middle), "", edge_anchor(middle, 20.0), text)


def _moment(paper: Day, moment: float, anchor: str) -> Spot:
    if not is_known(moment) or not paper.start <= moment <= paper.end:
        return Spot()
    return Spot(paper.x(moment), "", anchor, clock(moment, paper.zone))


def _between(paper: Day, start: float, end: float, kind: str) -> Band | None:
    if not (is_known(start) and is_known(end)):
        return None
    return Band(paper.x(start), paper.width(start, end), kind)


def _left(paper: Day, gate: TideGate, spare: float) -> Spot:
    if not is_known(spare) or spare <= 0:
        return Spot()
    middle = (paper.share(gate.late) + paper.share(gate.last_entry)) / 2
    return Spot(percent(middle), "", edge_anchor(middle), f"{toward_limit(spare, 0.0)} min")
