"""One line of a benchmark: what was measured, and whether it is as fast as it should be."""

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from time import perf_counter
from typing import Any


@dataclass(frozen=True, slots=True)
class Row:
    """`met` says whether `figure` reaches `target`, which is in words because some are limits and some are floors."""

    name: str
    figure: float
    unit: str
    target: str
    met: bool

    def __str__(self) -> str:
        return f"{self.name}: {_short(self.figure)} {self.unit} (to reach: {self.target}) {'met' if self.met else 'NOT MET'}"


def _short(figure: float) -> str:
    return f"{figure:,.0f}" if abs(figure) >= 100 else f"{figure:.3g}"


def quickest(work: Callable[[], Any], times: int, clock: Callable[[], float] = perf_counter) -> float:
    """Seconds of the quickest of so many runs; the last results are kept, so that each run writes to other memory.

    `clock`: process_time for work of one thread that is set against shorter work, which a busy machine disturbs less.
    """
    kept: deque[Any] = deque(maxlen=8)
    seconds = []
    for _ in range(times):
        start = clock()
        kept.append(work())
        seconds.append(clock() - start)
    return min(seconds)
