"""How far worked-out tides are from the published ones."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from readiness.calc.tide_constituent import Factors, middle_of_year
from readiness.calc.tide_harmonic import Harmonics, harmonic_height
from readiness.calc.tide_search import high_low_of
from readiness.calc.tide_table import TideTable
from vessel.units import DAY, HOUR, Array, Epoch, Metres, Seconds

NEAR = 3 * HOUR  # two events further apart are not the same one
EDGE = 12 * HOUR  # of a secondary port, so near the end of its reference the event it comes from may not be there
LONGEST_SPELL = 1.5 * DAY  # two events of a reference further apart are in two parts of it


@dataclass(frozen=True, slots=True, eq=False)
class Apart:
    """Ours less the published, `[event]`; NaN where there is no event of ours that could be the same."""

    seconds: Array
    metres: Array


def heights_apart(harmonics: Harmonics, at: Epoch, published_m: Metres, ahead: Seconds | None) -> Metres:
    """Ours less the published heights, `[time]`, with node factors held for the calendar year of the agency.

    Its clock is `ahead` seconds of UTC; None: node factors of the day instead.

    Source: [practice]
    """
    at, published_m = np.asarray(at, float), np.asarray(published_m, float)
    apart = np.full(at.shape, np.nan)
    for factors, part in _years(at, ahead):
        apart[part] = np.asarray(harmonic_height(harmonics, at[part], factors)) - published_m[part]
    return apart


def events_apart(harmonics: Harmonics, published: TideTable, ahead: Seconds | None) -> Apart:
    """Ours less the published high and low waters, factors as for `heights_apart`; seconds and metres.

    Source: [practice]
    """
    seconds, metres = np.full(published.at.shape, np.nan), np.full(published.at.shape, np.nan)
    for factors, part in _years(published.at, ahead):
        some = TideTable(published.at[part], published.height_m[part], published.high[part])
        ours = high_low_of(harmonics, float(some.at[0]) - NEAR, float(some.at[-1]) + NEAR, factors)
        apart = nearest_apart(some, ours)
        seconds[part], metres[part] = apart.seconds, apart.metres
    return Apart(seconds, metres)


def nearest_apart(published: TideTable, ours: TideTable) -> Apart:
    """Ours less the published events, each with the nearest of ours of its kind; seconds and metres.

    Source: [practice]
    """
    seconds, metres = np.full(published.at.shape, np.nan), np.full(published.at.shape, np.nan)
    for high in (True, False):
        theirs, mine = np.flatnonzero(published.high == high), np.flatnonzero(ours.high == high)
        if not (theirs.size and mine.size):
            continue
        after = np.clip(np.searchsorted(ours.at[mine], published.at[theirs]), 1, max(mine.size - 1, 1))
        left, right = mine[after - 1], mine[np.minimum(after, mine.size - 1)]
        nearer = published.at[theirs] - ours.at[left] <= ours.at[right] - published.at[theirs]
        place = np.where(nearer, left, right)
        apart = ours.at[place] - published.at[theirs]
        near = np.abs(apart) <= NEAR
        seconds[theirs] = np.where(near, apart, np.nan)
        metres[theirs] = np.where(near, ours.height_m[place] - published.height_m[theirs], np.nan)
    return Apart(seconds, metres)


def well_inside(published: TideTable, reference: TideTable) -> TideTable:
    """Those published events of a secondary port that surely come from an event in the table of the reference.

    Source: [own]
    """
    gap = np.flatnonzero(np.diff(reference.at) > LONGEST_SPELL)
    starts = np.concatenate([reference.at[:1], reference.at[gap + 1]])
    ends = np.concatenate([reference.at[gap], reference.at[-1:]])
    at = published.at[:, None]
    clear = ((at > starts + EDGE) & (at < ends - EDGE)).any(axis=1)
    return TideTable(published.at[clear], published.height_m[clear], published.high[clear])


def _years(at: Array, ahead: Seconds | None) -> list[tuple[Factors, NDArray[np.intp]]]:
    if ahead is None:
        return [("day", np.arange(at.size))]
    middle = np.asarray(middle_of_year(at + ahead)) - ahead
    return [(float(held), np.flatnonzero(middle == held)) for held in np.unique(middle)]
