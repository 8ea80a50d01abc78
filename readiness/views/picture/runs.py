"""What may stand at one departure time, and equal neighbours merged into runs."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import groupby

from readiness.views.picture.axis import Day

STEP = 900.0  # s between departures, where there is only one to tell it from
GO, GO_IF, CANNOT_SAY, NO_GO = range(4)


class State(StrEnum):
    """A verdict or, while there is none yet, its outlook; the best first."""

    GO = "go"
    GO_IF = "go-if"
    GOOD = "good"
    FAIR = "fair"
    CANNOT_SAY = "cannot-say"
    POOR = "poor"
    NO_GO = "no-go"


RANK = {state: rank for rank, state in enumerate(State)}
WINDOWS = frozenset({State.GO, State.GO_IF, State.GOOD, State.FAIR})
BARE = frozenset({State.NO_GO, State.POOR})
WORDS = {
    State.GO: "Go",
    State.GO_IF: "Go if",
    State.GOOD: "Outlook good",
    State.FAIR: "Outlook fair",
    State.CANNOT_SAY: "Cannot say yet",
    State.POOR: "Outlook poor",
    State.NO_GO: "No-go",
}
# An outlook is no verdict: its mark is that of "Cannot say yet".
MARKS = {state: State.CANNOT_SAY if state in {State.GOOD, State.FAIR, State.POOR} else state for state in State}
VERDICTS = {GO: State.GO, GO_IF: State.GO_IF, NO_GO: State.NO_GO}
OUTLOOKS = {0: State.GOOD, 1: State.FAIR, 2: State.POOR}


def state_of(verdict: int, outlook: int) -> State:
    """Verdict 0 go, 1 go if, 2 cannot say yet, 3 no-go; outlook 0 good, 1 fair, 2 poor, -1 none.

    An outlook counts only where nothing can be said yet; any other number is "Cannot say yet", never better.
    """
    return VERDICTS.get(int(verdict)) or (
        OUTLOOKS.get(int(outlook), State.CANNOT_SAY) if verdict == CANNOT_SAY else State.CANNOT_SAY
    )


@dataclass(frozen=True, slots=True)
class Run:
    """Equal neighbours: first and last departure, where the last one's quarter ends, and their places in `at`."""

    state: State
    first: float
    last: float
    end: float
    start_index: int
    stop_index: int


def step_of(at: Sequence[float]) -> float:
    """Seconds from one departure to the next."""
    return at[1] - at[0] if len(at) > 1 else STEP


def runs_of(day: Day, at: Sequence[float], states: Sequence[State]) -> tuple[Run, ...]:
    """The runs of one local day, in order; together they hold each departure of the day once."""
    step = step_of(at)
    inside = [index for index, moment in enumerate(at) if day.holds(moment)]
    runs = []
    for state, group in groupby(inside, key=lambda index: states[index]):
        indices = list(group)
        first, last = at[indices[0]], at[indices[-1]]
        runs.append(Run(state, first, last, min(last + step, day.end), indices[0], indices[-1] + 1))
    return tuple(runs)


def best_of(runs: Sequence[Run]) -> Run:
    """The best of a day's runs; of equals the longest, then the earliest."""
    return min(runs, key=lambda run: (RANK[run.state], -(run.stop_index - run.start_index), run.first))
