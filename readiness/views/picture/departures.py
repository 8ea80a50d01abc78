"""The departure picture: one row a day, 00 to 24 harbour time across, every departure time of the days ahead."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import groupby

from readiness.views.picture.axis import Day, Tick, days_of, ticks
from readiness.views.picture.backdrop import Band, curve, extent, light_bands, open_bands
from readiness.views.picture.departure_words import (
    Deciding,
    TwinRow,
    Words,
    answer,
    main_reason,
    span,
    twin_of,
    words_of,
)
from readiness.views.picture.runs import BARE, MARKS, WINDOWS, WORDS, Run, State, best_of, runs_of, state_of
from vessel.calc.wording import with_utc
from vessel.units import DAY

CROSS_AT = 28.0  # % across: just past the night, where a shut day says why
LABEL_TURNS_AT = 62.0  # % across: a label starting later is written to the left of its end
SMALLEST_PLOT_PX, CROSS_PX, LETTER_PX = 288, 18, 6.2  # labels of 12 px on a phone of 360 px


@dataclass(frozen=True, slots=True)
class DepartureStrip:
    """Every departure in order, one entry each; NaN where a figure is not known.

    verdict 0 go, 1 go if, 2 cannot say yet, 3 no-go; outlook 0 good, 1 fair, 2 poor, -1 none; best holds indices,
    the best first; chosen is the index of the skipper's own.
    """

    zone: str
    at: Sequence[float]
    verdict: Sequence[int]
    outlook: Sequence[int]
    gate_open: Sequence[bool]
    deciding: Deciding
    sun_altitude_deg: Sequence[float]
    tide_m: Sequence[float]
    best: Sequence[int]
    chosen: int


@dataclass(frozen=True, slots=True)
class Label:
    """Words on the paper: at x, written to the right ("start") or to the left ("end"), with a ring or a mark."""

    x: str
    anchor: str
    text: str
    ring: str = ""
    mark: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """One day."""

    day: Day
    at: str
    is_chosen: bool
    ribbons: tuple[Band, ...]
    base: Band
    gates: tuple[Band, ...]
    light: tuple[Band, ...]
    tide: str
    labels: tuple[Label, ...]
    best_x: tuple[str, ...]
    poor_x: tuple[str, ...]
    chosen_x: str
    words: tuple[Words, ...]


@dataclass(frozen=True, slots=True)
class Group:
    """Days on one hour scale: those before, on and after a night the clocks change stand apart."""

    ticks: tuple[Tick, ...]
    rows: tuple[Row, ...]
    offset: str
    note: str


@dataclass(frozen=True, slots=True)
class Best:
    """One of the best departures, with its ring number."""

    ring: str
    at: str
    when: str
    state: State
    word: str
    why: str
    is_chosen: bool


@dataclass(frozen=True, slots=True)
class DeparturePicture:
    """All that the template draws."""

    answer: tuple[str, str]
    offset: str
    groups: tuple[Group, ...]
    best: tuple[Best, ...]
    twin: tuple[TwinRow, ...]
    chosen: str


def draw_departures(strip: DepartureStrip, *, days: int | None = None) -> DeparturePicture:
    """The picture of the first `days` local days of a strip, or of all of them."""
    states = [state_of(verdict, outlook) for verdict, outlook in zip(strip.verdict, strip.outlook, strict=True)]
    pairs = [(day, runs_of(day, strip.at, states)) for day in days_of(strip.at, strip.zone)][:days]
    rows = [_row(strip, day, runs) for day, runs in pairs]
    return DeparturePicture(
        answer=answer(pairs, strip.deciding),
        offset=pairs[0][0].offset(),
        groups=tuple(_groups(rows)),
        best=tuple(_best(strip, states, place) for place in range(len(strip.best))),
        twin=tuple(line for day, runs in pairs for line in twin_of(day, runs, strip.deciding)),
        chosen=with_utc(strip.at[strip.chosen], strip.zone),
    )


def moment_text(epoch: float) -> str:
    """A departure time as an address carries it, "2027-05-15T06:30Z"."""
    return datetime.fromtimestamp(epoch, UTC).strftime("%Y-%m-%dT%H:%MZ")


def _row(strip: DepartureStrip, day: Day, runs: tuple[Run, ...]) -> Row:
    lead = best_of(runs)
    end = runs[-1].end
    low, high = extent(strip.tide_m)
    best = [index for index in strip.best if day.holds(strip.at[index])]
    chosen_here = day.holds(strip.at[strip.chosen])
    return Row(
        day=day,
        at=moment_text(strip.at[_opens(strip, day, lead, best)]),
        is_chosen=chosen_here,
        ribbons=tuple(_band(day, run) for run in runs if run.state not in BARE),
        base=Band(day.x(runs[0].first), day.width(runs[0].first, end), "base"),
        gates=open_bands(day, strip.at, strip.gate_open),
        light=light_bands(day, strip.at, strip.sun_altitude_deg),
        tide=curve(day, strip.at, strip.tide_m, low, high),
        labels=_labels(strip, day, runs, lead),
        best_x=tuple(day.x(strip.at[index]) for index in best),
        poor_x=tuple(_poor(day, runs)) if lead.state is not State.POOR else (),
        chosen_x=day.x(strip.at[strip.chosen]) if chosen_here else "",
        words=words_of(day, runs, strip.deciding),
    )


def _band(day: Day, run: Run) -> Band:
    return Band(day.x(run.first), day.width(run.first, run.end), run.state.value)


def _poor(day: Day, runs: tuple[Run, ...]) -> list[str]:
    return [day.x((run.first + run.end) / 2) for run in runs if run.state is State.POOR]


def _opens(strip: DepartureStrip, day: Day, lead: Run, best: list[int]) -> int:
    """Which departure a row opens: its best one, else the first of its window, else the chosen clock time."""
    if best:
        return best[0]
    if lead.state in WINDOWS:
        return lead.start_index
    chosen = strip.at[strip.chosen]
    inside = [index for index, moment in enumerate(strip.at) if day.holds(moment)]
    return min(inside, key=lambda index: abs((strip.at[index] - chosen + DAY / 2) % DAY - DAY / 2))


def _labels(strip: DepartureStrip, day: Day, runs: tuple[Run, ...], lead: Run) -> tuple[Label, ...]:
    if lead.state in BARE:
        return (_shut_label(day, runs, lead, main_reason(lead, strip.deciding)),)
    if lead.state not in WINDOWS:
        return ()
    ringed = [run for run in runs if _ring(strip, run)]
    return tuple(_window_label(strip, day, run) for run in (ringed or [lead]) if run.state in WINDOWS)


def _window_label(strip: DepartureStrip, day: Day, run: Run) -> Label:
    turned = day.share(run.first) > LABEL_TURNS_AT
    x = day.x(run.end if turned else run.first)
    return Label(x, "end" if turned else "start", span(run, day.zone), ring=_ring(strip, run))


def _ring(strip: DepartureStrip, run: Run) -> str:
    inside = (place for place, index in enumerate(strip.best) if run.start_index <= index < run.stop_index)
    return next((str(place + 1) for place in inside), "")


def _shut_label(day: Day, runs: tuple[Run, ...], lead: Run, why: str) -> Label:
    """The cross and why: just past the night, or from the line's left end when longer, or, where the line begins
    late in the day, to the left of it.
    """
    start = day.share(runs[0].first)
    mark = "no-go" if lead.state is State.NO_GO else "poor"
    letters_left, letters_right = _letters(start), _letters(100 - max(2.0, start))
    if letters_left > letters_right:
        return Label(day.x(runs[0].first), "end", shorten(why, letters_left), mark=mark)
    past_night = start <= CROSS_AT and len(why) <= _letters(100 - CROSS_AT)
    x = CROSS_AT if past_night else max(2.0, start)
    return Label(f"{x:.4g}", "start", shorten(why, _letters(100 - x)), mark=mark)


def _letters(share: float) -> int:
    """How many letters stand in a share (in per cent) of the smallest plot, beside a cross."""
    return max(1, int((SMALLEST_PLOT_PX * share / 100 - CROSS_PX) / LETTER_PX))


def shorten(text: str, letters: int) -> str:
    """At most so many letters, cut at a word; the whole text stands in the row's words."""
    return text if len(text) <= letters else text[: letters - 1].rsplit(" ", 1)[0].rstrip(",;:") + "…"


def _groups(rows: list[Row]) -> list[Group]:
    groups = []
    for _, group in groupby(rows, key=lambda row: (row.day.is_odd, row.day.offset())):
        members = tuple(group)
        groups.append(Group(ticks(members[0].day), members, members[0].day.offset(), _note(members[0].day)))
    return groups


def _note(day: Day) -> str:
    if not day.is_odd:
        return ""
    return f"The clocks change: {day.name} has {day.hours:g} h, {day.offset()} after."


def _best(strip: DepartureStrip, states: list[State], place: int) -> Best:
    index = strip.best[place]
    return Best(
        ring=str(place + 1),
        at=moment_text(strip.at[index]),
        when=with_utc(strip.at[index], strip.zone),
        state=MARKS[states[index]],
        word=WORDS[states[index]],
        why=strip.deciding.tell(index),
        is_chosen=index == strip.chosen,
    )
