"""The chosen day by subject: the tide, all together and one lane a subject, on one hour scale."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from readiness.views.picture.axis import Day, Tick, day_of, ticks
from readiness.views.picture.backdrop import Band, curve, extent, light_bands
from readiness.views.picture.departures import moment_text
from readiness.views.picture.runs import BARE, MARKS, WORDS, State, runs_of, state_of, step_of
from vessel.calc.wording import clock, local_time, metres, with_utc

TIDE_TOP, TIDE_HIGH = 26, 24  # px of the curve in a box of 76
NEAR_EDGE = 14.0  # % within which a label is written inward


@dataclass(frozen=True, slots=True)
class Lane:
    """One subject over every departure: verdict and outlook as in the departure strip; reason and score are those
    of the chosen departure, the score as text ("74", "40?", empty for No-go).
    """

    name: str
    verdict: Sequence[int]
    outlook: Sequence[int]
    reason: str
    score: str


@dataclass(frozen=True, slots=True)
class HighLow:
    """A high or a low water."""

    at: float
    height_m: float
    is_high: bool


@dataclass(frozen=True, slots=True)
class DaySubjects:
    """Every departure in order, as in the departure strip; only the chosen one's day is drawn."""

    zone: str
    at: Sequence[float]
    sun_altitude_deg: Sequence[float]
    tide_m: Sequence[float]
    tide_place: str
    high_low: Sequence[HighLow]
    together: Lane
    lanes: Sequence[Lane]
    chosen: int


@dataclass(frozen=True, slots=True)
class TideMark:
    """A high or low water on the curve; y and label_y in px."""

    x: str
    y: str
    label_y: str
    anchor: str
    text: str


@dataclass(frozen=True, slots=True)
class DrawnLane:
    """A lane ready to draw, with its words."""

    name: str
    ribbons: tuple[Band, ...]
    base: Band
    state: State
    mark: State
    word: str
    reason: str
    score: str


@dataclass(frozen=True, slots=True)
class DayPicture:
    """All that the template draws. earlier and later are addresses of the next departures, empty at the ends."""

    title: str
    day: Day
    ticks: tuple[Tick, ...]
    light: tuple[Band, ...]
    tide: str
    tide_place: str
    tide_marks: tuple[TideMark, ...]
    together: DrawnLane
    lanes: tuple[DrawnLane, ...]
    chosen_x: str
    chosen: str
    chosen_full: str
    earlier: str
    later: str
    step_minutes: int
    spoken: str


def draw_day(subjects: DaySubjects) -> DayPicture:
    """The picture of the chosen departure's local day."""
    chosen_at = subjects.at[subjects.chosen]
    day = day_of(chosen_at, subjects.zone)
    inside = [h for at, h in zip(subjects.at, subjects.tide_m, strict=True) if day.holds(at)]
    low, high = extent([*inside, *(mark.height_m for mark in subjects.high_low if day.holds(mark.at))])
    together = _lane(subjects, day, subjects.together)
    return DayPicture(
        title=f"{day.long_name} {day.date}, by subject",
        day=day,
        ticks=ticks(day),
        light=light_bands(day, subjects.at, subjects.sun_altitude_deg),
        tide=curve(day, subjects.at, subjects.tide_m, low, high),
        tide_place=subjects.tide_place,
        tide_marks=tuple(_marks(day, subjects.high_low, low, high)),
        together=together,
        lanes=tuple(_lane(subjects, day, lane) for lane in subjects.lanes),
        chosen_x=day.x(chosen_at),
        chosen=clock(chosen_at, subjects.zone),
        chosen_full=with_utc(chosen_at, subjects.zone),
        earlier=_beside(subjects, -1),
        later=_beside(subjects, 1),
        step_minutes=round(step_of(subjects.at) / 60),
        spoken=f"{local_time(chosen_at, subjects.zone)}, {together.word}",
    )


def _lane(subjects: DaySubjects, day: Day, lane: Lane) -> DrawnLane:
    states = [state_of(verdict, outlook) for verdict, outlook in zip(lane.verdict, lane.outlook, strict=True)]
    runs = runs_of(day, subjects.at, states)
    state = states[subjects.chosen]
    return DrawnLane(
        name=lane.name,
        ribbons=tuple(
            Band(day.x(run.first), day.width(run.first, run.end), run.state.value)
            for run in runs
            if run.state not in BARE
        ),
        base=Band(day.x(runs[0].first), day.width(runs[0].first, runs[-1].end), "base"),
        state=state,
        mark=MARKS[state],
        word=WORDS[state],
        reason=lane.reason,
        score="" if state is State.NO_GO else lane.score,
    )


def _marks(day: Day, high_low: Sequence[HighLow], low: float, high: float) -> list[TideMark]:
    marks = []
    for mark in high_low:
        if not day.holds(mark.at) or not math.isfinite(mark.height_m):
            continue
        y = TIDE_TOP + TIDE_HIGH * (1 - (mark.height_m - low) / ((high - low) or 1.0))
        text = f"{clock(mark.at, day.zone)} {metres(mark.height_m)}"
        label_y = y - 9 if mark.is_high else y + 17
        marks.append(TideMark(day.x(mark.at), f"{y:.0f}", f"{label_y:.0f}", edge_anchor(day.share(mark.at)), text))
    return marks


def edge_anchor(share: float, near: float = NEAR_EDGE) -> str:
    """How a label is written at a place across the paper so that it stays on it."""
    if share < near:
        return "start"
    return "end" if share > 100 - near else "middle"


def _beside(subjects: DaySubjects, by: int) -> str:
    index = subjects.chosen + by
    return moment_text(subjects.at[index]) if 0 <= index < len(subjects.at) else ""
