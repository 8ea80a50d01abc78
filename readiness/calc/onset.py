"""When a value that changes along straight lines in time first reaches a limit, from any moment on."""

from dataclasses import dataclass

import numpy as np

from vessel.units import Array, Epoch


@dataclass(frozen=True)
class Onset:
    """Values `[row, column]` at rising times against one limit, row after row.

    A stretch runs from one row to the next. `from_at`, `to_at`: the first and the last moment of each stretch at
    which the limit is reached, infinite and minus infinite where it is not; `blank_at`: where a stretch begins whose
    ends are not both known, infinite elsewhere.
    """

    at: Array  # Epoch[row]
    from_at: Array  # Epoch[stretch, column]
    to_at: Array  # Epoch[stretch, column]
    blank_at: Array  # Epoch[stretch, column]


def onset(at: Epoch, values: Array, limit: float) -> Onset:
    """Where `values[row, column]` are at `limit` or above it. At least two rows.

    Source: [practice]
    """
    times, low, high = np.asarray(at, float), values[:-1], values[1:]
    starts, ends = times[:-1, None], times[1:, None]
    over_low, over_high = low >= limit, high >= limit
    rise = np.where(low == high, 1.0, high - low)
    crossing = starts + (limit - low) / rise * (ends - starts)
    rising, falling = (np.where(np.isnan(crossing), edge, crossing) for edge in (ends, starts))
    begins = np.where(over_low, starts, np.where(over_high, rising, np.inf))
    last = np.where(over_high, ends, np.where(over_low, falling, -np.inf))
    blank = np.where(np.isnan(low) | np.isnan(high), starts, np.inf)
    return Onset(times, begins, last, np.broadcast_to(blank, begins.shape))


def first_from(held: Onset, since: Epoch) -> Epoch:
    """The first moment from `since[departure]` on at which the limit is reached, `[departure, column]`.

    Infinite where it never is. Before the first row nothing is known, and nothing is reached; see `first_blank`.

    Source: [practice]
    """
    start = np.asarray(since, float)[:, None]
    stretch = np.searchsorted(held.at, start[:, 0], side="right") - 1
    stretch -= start[:, 0] == held.at[-1]  # the last row ends the last stretch
    inside = (stretch >= 0) & (stretch < len(held.from_at))
    here = np.clip(stretch, 0, len(held.from_at) - 1)
    later = _following(held.from_at)[np.clip(stretch + 1, 0, len(held.from_at))]
    now = inside[:, None] & (start <= held.to_at[here])
    return np.where(now, np.maximum(start, held.from_at[here]), later)


def first_blank(held: Onset, since: Epoch) -> Epoch:
    """The first moment from `since[departure]` on at which a value is not known, `[departure, column]`.

    Infinite where there is none up to the last row; at `since` itself where that is before the first row.

    Source: [practice]
    """
    start = np.asarray(since, float)[:, None]
    stretch = np.searchsorted(held.at, start[:, 0], side="right") - 1
    following = _following(held.blank_at)[np.clip(stretch, 0, len(held.blank_at))]
    return np.where(start < held.at[0], start, np.maximum(start, following))


def _following(moments: Array) -> Array:
    """The earliest moment of each stretch and those after it, one row more: infinite past the last."""
    rows = np.concatenate([moments, np.full((1, moments.shape[1]), np.inf)])
    return np.asarray(np.minimum.accumulate(rows[::-1], axis=0)[::-1])
