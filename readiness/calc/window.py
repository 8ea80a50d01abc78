"""When does a yes/no function of time change? One root search for gates, bars, narrows, hours and the sun.

A condition takes times and answers, for each, 1 or True for open, 0 or False for shut, NaN for not known.
Windows are half-open, [opens, closes): at `opens_at` it is open, at `closes_at` no longer.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from vessel.units import Array, Epoch, Flags, Floats, Metres, MetresPerSecond, Seconds

Condition = Callable[[Array], NDArray[np.bool_] | Array]

NO_TURNS: Array = np.array([])
NOT_KNOWN = 2.0  # stands for NaN in the search, so that a change into the dark is a change too


@dataclass(frozen=True)
class Windows:
    """Windows of one gate between `start` and `end`, in order, and the stretches in which nothing is known."""

    opens_at: Array  # Epoch[window]
    closes_at: Array  # Epoch[window]
    opens_known: Flags  # [window], False: open already when what is known begins
    closes_known: Flags  # [window], False: still open when what is known ends
    dark_from: Array  # Epoch[stretch]: within [start, end), the condition was not known
    dark_to: Array  # Epoch[stretch]
    start: float
    end: float


def changes(
    condition: Condition,
    start: float,
    end: float,
    resolution_s: float,
    to_s: float = 1.0,
    turns_at: Epoch = NO_TURNS,
) -> Array:
    """Times in (start, end] at which the condition changes: the new answer holds, `to_s` earlier the old one did.

    Two changes closer together than `resolution_s` may be missed, except those at `turns_at`, which are looked at.

    Source: [bisection]
    """
    steps = max(1, int(np.ceil((end - start) / resolution_s)))
    turns = np.asarray(turns_at, float)
    samples = np.union1d(np.linspace(start, end, steps + 1), turns[(turns > start) & (turns < end)])
    states = _state(condition, samples)
    before = np.flatnonzero(states[1:] != states[:-1])
    old, low, high = states[before], samples[before], samples[before + 1]
    while high.size and (high - low).max() > to_s:
        middle = (low + high) / 2
        same = _state(condition, middle) == old
        low, high = np.where(same, middle, low), np.where(same, high, middle)
    return high


def windows(
    condition: Condition,
    start: float,
    end: float,
    resolution_s: float,
    to_s: float = 0.01,
    turns_at: Epoch = NO_TURNS,
) -> Windows:
    """The windows of a condition within [start, end); not known counts as shut and is kept apart.

    `resolution_s`, `turns_at` as in `changes`.

    Source: [bisection]
    """
    turns = changes(condition, start, end, resolution_s, to_s, turns_at)
    edges = np.concatenate([[start], turns[turns < end], [end]])
    states = _state(condition, edges)
    opens, dark = np.flatnonzero(states[:-1] == 1.0), np.flatnonzero(states[:-1] == NOT_KNOWN)
    shut_before = np.concatenate([[False], states[:-2] == 0.0])
    return Windows(
        opens_at=edges[opens],
        closes_at=edges[opens + 1],
        opens_known=shut_before[opens],
        closes_known=states[opens + 1] == 0.0,
        dark_from=edges[dark],
        dark_to=edges[dark + 1],
        start=float(start),
        end=float(end),
    )


def inside(held: Windows, at: Epoch) -> Flags:
    """Whether each time falls in a window; False too where it is not known.

    Source: [practice]
    """
    return _covered(held.opens_at, held.closes_at, at)


def known(held: Windows, at: Epoch) -> Flags:
    """Whether it is known at each time if the gate is open or shut.

    Source: [practice]
    """
    when = np.asarray(at, float)
    within = (when >= held.start) & (when < held.end)
    return np.asarray(within & ~_covered(held.dark_from, held.dark_to, when))


def next_opening(held: Windows, at: Epoch) -> Epoch:
    """The first opening at or after each time; NaN where none is held.

    Source: [practice]
    """
    when = np.asarray(at, float)
    openings = np.append(held.opens_at, np.nan)
    following = np.searchsorted(held.opens_at, when, side="left")
    return np.where(np.isnan(when), np.nan, openings[following])


def last_closing_in(held: Windows, at: Epoch) -> Epoch:
    """The closing of the window that each time falls in; NaN outside a window.

    Source: [practice]
    """
    closings = np.append(held.closes_at, np.nan)
    current = np.searchsorted(held.opens_at, np.asarray(at, float), side="right") - 1
    return np.where(inside(held, at), closings[current], np.nan)


def both(*conditions: Condition) -> Condition:
    """Open when all are: shut when any is shut, else not known when any is not known.

    Source: [practice]
    """

    def open_at(at: Array) -> Array:
        answers = np.array([np.asarray(condition(at), float) for condition in conditions])
        shut = (answers == 0.0).any(axis=0)
        return np.where(shut, 0.0, answers.min(axis=0))

    return open_at


def about_high_water(high_water_at: Epoch, before_s: Seconds, after_s: Seconds) -> Condition:
    """Open from so long before each high water until so long after it; known as far as the high waters reach.

    Source: [practice]
    """
    opens = np.sort(np.atleast_1d(np.asarray(high_water_at, float))) - before_s
    closes = opens + before_s + after_s

    def open_at(at: Array) -> Array:
        reached = (at >= opens[0]) & (at < closes[-1]) if opens.size else np.zeros(np.shape(at), bool)
        return np.where(reached, _covered(opens, closes, at), np.nan)

    return open_at


def height_at_least(height: Callable[[Array], Array], needed_m: Metres) -> Condition:
    """Open while the height of the tide is at least what is needed; not known where the height is not.

    Source: [practice]
    """

    def open_at(at: Array) -> Array:
        risen = np.asarray(height(at))
        return np.asarray(np.where(np.isnan(risen), np.nan, np.where(risen >= needed_m, 1.0, 0.0)))

    return open_at


def height_at_most(height: Callable[[Array], Array], most_m: Metres) -> Condition:
    """Open while a height, of the tide or of the sea, is at most so much; not known where either of the two is not.

    Source: [practice]
    """
    return _at_most(height, most_m)


def rate_at_most(rate: Callable[[Array], Array], most_mps: MetresPerSecond) -> Condition:
    """Open while the rate of a stream is at most so much; not known where either is not.

    Source: [practice]
    """
    return _at_most(rate, most_mps)


def always(at: Epoch) -> Array:
    """Open at any time: 1, of no unit, in the shape of the times.

    Source: [practice]
    """
    return np.ones(np.shape(at))


def daily_hours(opens: time, closes: time, zone: str) -> Condition:
    """Open between two local times each day, over midnight if `closes` is not after `opens`.

    Where the clock change makes a local time happen twice or never, the later opening and the earlier closing
    count.

    Source: [iana]
    """
    local = ZoneInfo(zone)
    nights = timedelta(days=0 if closes > opens else 1)

    def open_at(at: Array) -> NDArray[np.bool_]:
        days = _local_days(at)
        starts = [max(_moments(day, opens, local)) for day in days]
        ends = [min(_moments(day + nights, closes, local)) for day in days]
        return _covered(np.array(starts), np.array(ends), at)

    return open_at


def _at_most(value: Callable[[Array], Array], most: Floats) -> Condition:
    def open_at(at: Array) -> Array:
        found = np.asarray(value(at))
        return np.asarray(np.where(np.isnan(found) | np.isnan(most), np.nan, np.where(found <= most, 1.0, 0.0)))

    return open_at


def _moments(day: date, clock: time, local: ZoneInfo) -> tuple[float, float]:
    """The two readings of a local time: different only on the day the clock changes."""
    read = datetime.combine(day, clock, local)
    return read.replace(fold=0).timestamp(), read.replace(fold=1).timestamp()


def _state(condition: Condition, at: Array) -> Array:
    answers = np.asarray(condition(at), float)
    return np.where(np.isnan(answers), NOT_KNOWN, answers)


def _covered(starts: Array, ends: Array, at: Epoch) -> NDArray[np.bool_]:
    """Whether each time lies in one of the stretches [start, end), sorted by start; they may overlap."""
    reach = np.concatenate([[-np.inf], np.maximum.accumulate(ends)])
    return np.asarray(np.asarray(at) < reach[np.searchsorted(starts, at, side="right")])


def _local_days(at: Array) -> list[date]:
    """Every date that can hold a time of `at` in any zone, and the one before."""
    if not np.size(at):
        return []
    first, last = (datetime.fromtimestamp(float(edge), UTC).date() for edge in (np.min(at), np.max(at)))
    return [first + timedelta(days=k) for k in range(-2, (last - first).days + 2)]
