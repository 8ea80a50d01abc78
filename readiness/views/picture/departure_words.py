"""The departure picture in words: the answer in one sentence, a line for each day, and the table twin."""

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from readiness.views.picture.axis import Day
from readiness.views.picture.runs import BARE, MARKS, RANK, WINDOWS, WORDS, Run, State, best_of
from vessel.calc.wording import clock

WINDOWS_TOLD = 3  # so that the answer stays under thirty words
WORDS_TOLD = 2  # so that a day's words fit beside its row
TAILS = {State.GO: "", State.GO_IF: ", if", State.GOOD: ", outlook good", State.FAIR: ", outlook fair"}


@dataclass(frozen=True, slots=True)
class Words:
    """One state of one day: mark, word, when, why."""

    state: State
    mark: State
    word: str
    when: str
    why: str


@dataclass(frozen=True, slots=True)
class Deciding:
    """What decides each departure: equal numbers for equal reasons, and few words for one, made only when told."""

    reason: Sequence[int]
    tell: Callable[[int], str]


@dataclass(frozen=True, slots=True)
class TwinRow:
    """One run as a line of the table."""

    day: str
    state: State
    mark: State
    word: str
    first: str
    last: str
    first_utc: str
    last_utc: str
    why: str


def span(run: Run, zone: str, joint: str = "–") -> str:
    """First and last departure of a run, "06:00–09:45"."""
    first, last = clock(run.first, zone), clock(run.last, zone)
    return first if run.first == run.last else f"{first}{joint}{last}"


def main_reason(run: Run, deciding: Deciding) -> str:
    """What decides most of a run's departures, told of the first of them; of equals the earliest."""
    reasons = deciding.reason[run.start_index : run.stop_index]
    (main, _), *_ = Counter(reasons).most_common(1)
    return deciding.tell(run.start_index + reasons.index(main))


def words_of(day: Day, runs: Sequence[Run], deciding: Deciding) -> tuple[Words, ...]:
    """A day told in its best states, the best first; No-go is told only where nothing better is."""
    ranked = sorted(runs, key=lambda run: (RANK[run.state], run.first))
    told = [
        _words(day, state, list(group), deciding, whole=len(runs) == 1)
        for state, group in groupby(ranked, key=lambda run: run.state)
    ]
    better = [words for words in told if words.state is not State.NO_GO]
    return tuple(better[:WORDS_TOLD] or told)


def twin_of(day: Day, runs: Sequence[Run], deciding: Deciding) -> Iterator[TwinRow]:
    """Every run of a day as a line of the table, in order."""
    for run in runs:
        yield TwinRow(
            day=f"{day.name} {day.date}",
            state=run.state,
            mark=MARKS[run.state],
            word=WORDS[run.state],
            first=clock(run.first, day.zone),
            last=clock(run.last, day.zone),
            first_utc=clock(run.first, "UTC"),
            last_utc=clock(run.last, "UTC"),
            why=main_reason(run, deciding),
        )


def answer(days: Sequence[tuple[Day, Sequence[Run]]], deciding: Deciding) -> tuple[str, str]:
    """When may we go, in a bold part and the rest, thirty words at most."""
    leads = [(day, best_of(runs)) for day, runs in days]
    windows = [(day, run) for day, run in leads if run.state in WINDOWS][:WINDOWS_TOLD]
    if not windows:
        return _no_window(leads, deciding)
    told = [f"{day.long_name} {span(run, day.zone, ' to ')}{TAILS[run.state]}." for day, run in windows]
    return told[0], " ".join([*told[1:], *_after(leads, windows[-1][0], deciding)])


def _words(day: Day, state: State, runs: list[Run], deciding: Deciding, *, whole: bool) -> Words:
    when = _alone(day, runs[0]) if whole and state in BARE else ", ".join(span(run, day.zone) for run in runs)
    longest = max(runs, key=lambda run: run.stop_index - run.start_index)
    return Words(state, MARKS[state], WORDS[state], when, main_reason(longest, deciding))


def _alone(day: Day, run: Run) -> str:
    """When the only run of a day is: it may begin late (today) or end early (the last day)."""
    if run.first > day.start:
        return f"from {clock(run.first, day.zone)}"
    return f"until {clock(run.last, day.zone)}" if run.end < day.end else "all day"


def _after(leads: Sequence[tuple[Day, Run]], last: Day, deciding: Deciding) -> list[str]:
    later = [(day, run) for day, run in leads if day.start > last.start]
    shut = [run for _, run in later[: _count_shut(later)]]
    if not later:
        return []
    if not shut:
        return [] if later[0][1].state in WINDOWS else ["Later: cannot say yet."]
    why = main_reason(shut[0], deciding)
    if len(shut) == len(later):
        return [f"Then nothing in these days: {why}."]
    day = later[len(shut)][0]
    return [f"Then nothing before {day.name} {day.date}: {why}."]


def _count_shut(later: Sequence[tuple[Day, Run]]) -> int:
    return next((count for count, (_, run) in enumerate(later) if run.state not in BARE), len(later))


def _no_window(leads: Sequence[tuple[Day, Run]], deciding: Deciding) -> tuple[str, str]:
    first_open = next(((day, run) for day, run in leads if run.state not in BARE), None)
    if first_open is None:
        return "No departure in these days is a go.", f"What decides: {main_reason(leads[0][1], deciding)}."
    day, run = first_open
    when = f"{day.name} {day.date} {span(run, day.zone, ' to ')}"
    return "Cannot say yet for any departure.", f"The first to ask about: {when}, {main_reason(run, deciding)}."
