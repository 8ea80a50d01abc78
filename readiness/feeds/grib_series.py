"""The fields of one variable in a row, and the row laid on the times of the whole file.

Linear between two times of the row unless there is a hole; a maximum over an interval holds all through it.
Before the first, after the last and across a hole the variable is not known.
"""

from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from readiness.calc.hole import WIDEST_GAP_S, holes
from readiness.feeds.grib_label import Singles
from vessel.units import Array


@dataclass(frozen=True, slots=True)
class Moment:
    """One field's values [y, x], valid at a time, or as a maximum from `from_time` on."""

    data_time: float
    from_time: float
    values: Singles
    since_the_last: bool = False


@dataclass(slots=True)
class Series:
    """Valid time -> moment; keeps the newest run, and nothing where two fields of one run contradict."""

    moments: dict[float, Moment] = field(default_factory=dict)
    replaced: int = 0
    contradicted: int = 0

    def add(self, valid_time: float, moment: Moment) -> None:
        """Take one more field in."""
        before = self.moments.get(valid_time)
        if before is None or moment.data_time > before.data_time:
            self.replaced += before is not None
            self.moments[valid_time] = moment
        elif moment.data_time < before.data_time:
            self.replaced += 1
        elif not np.array_equal(before.values, moment.values, equal_nan=True):
            self.contradicted += 1
            nothing = np.full(before.values.shape, np.nan, np.float32)
            self.moments[valid_time] = Moment(before.data_time, before.from_time, nothing)

    def laid_on(self, at: Array) -> Singles:
        """The row on times [time]: [time, y, x]."""
        times = sorted(self.moments)
        spans = {time: self._from(time, before) for before, time in zip([np.nan, *times], times, strict=False)}
        if any(start < time for time, start in spans.items()):
            return np.stack([self._peak(moment, spans, (at[0], at[-1])) for moment in at])
        open_pairs = [pair for pair, hole in zip(pairwise(times), holes(np.array(times)), strict=True) if not hole]
        return np.stack([self._between(moment, open_pairs) for moment in at])

    def _from(self, time: float, before: float) -> float:
        moment = self.moments[time]
        if moment.from_time == time and moment.since_the_last and time - before <= WIDEST_GAP_S:
            return before
        return moment.from_time

    def _peak(self, at: float, spans: dict[float, float], ends: tuple[float, float]) -> Singles:
        """The largest of the maxima that hold at a time; not known where none holds just before or just after it.

        The first and last time of the file have nothing before and after them.
        """
        before = at == ends[0] or any(start < at <= end for end, start in spans.items())
        after = at == ends[1] or any(start <= at < end for end, start in spans.items())
        holding = [self.moments[end].values for end, start in spans.items() if start <= at <= end]
        if not (before and after and holding):
            return self._nothing()
        return np.asarray(np.max(holding, axis=0))

    def _between(self, at: float, open_pairs: list[tuple[float, float]]) -> Singles:
        if at in self.moments:
            return self.moments[at].values
        for before, after in open_pairs:
            if before < at < after:
                share = float((at - before) / (after - before))
                return (1 - share) * self.moments[before].values + share * self.moments[after].values
        return self._nothing()

    def _nothing(self) -> Singles:
        return np.full(next(iter(self.moments.values())).values.shape, np.nan, np.float32)
