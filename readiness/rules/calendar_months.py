"""Calendar months gone by, counted from the end of a day in the home zone: 31 January and a month is 28 February."""

from calendar import monthrange
from datetime import date

import numpy as np

from readiness.rules.record import Array
from readiness.rules.telling import day_in, end_of_day


def later(day: date, months: int) -> date | None:
    """The same day so many months on, or the last one of a shorter month; None beyond the calendar."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    if not date.min.year <= year <= date.max.year:
        return None
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))


def months_since(day: date | None, at: Array, zone: str) -> Array:
    """Months and parts of a month from the end of a day to each time; NaN where either is not known.

    Whole at the end of the same day of a later month, in a straight line between; 0 on the day itself.
    """
    known = at[np.isfinite(at)]
    if day is None or not known.size:
        return np.full(at.shape, np.nan)
    first, last = (day_in(float(edge), zone) for edge in (known.min(), known.max()))
    if first is None or last is None:
        return np.full(at.shape, np.nan)
    counts = range(max(0, _months(day, first) - 1), max(0, _months(day, last) + 1) + 2)
    ends = np.array([end_of_day(later(day, count), zone) for count in counts])
    held = np.isfinite(ends)
    if not held.any():
        return np.full(at.shape, np.nan)
    gone_by = np.interp(at, ends[held], np.array(counts, np.float64)[held], left=0.0, right=np.nan)
    return np.where(np.isnan(at), np.nan, gone_by)


def month_in(at: Array, zone: str) -> Array:
    """The month, 1 to 12, in a zone at each time; NaN where either is not known."""
    known = at[np.isfinite(at)]
    first, last = (day_in(float(edge), zone) for edge in (known.min(), known.max())) if known.size else (None, None)
    if first is None or last is None:
        return np.full(at.shape, np.nan)
    ends = [end_of_day(_last_of_month(first, further), zone) for further in range(_months(first, last))]
    return np.where(np.isfinite(at), (first.month - 1 + np.searchsorted(ends, at, side="right")) % 12 + 1.0, np.nan)


def _last_of_month(day: date, further: int) -> date | None:
    """The last day of the month so many after that of a day; None beyond the calendar."""
    return later(day.replace(month=1, day=31), day.month - 1 + further)


def _months(start: date, end: date) -> int:
    return (end.year - start.year) * 12 + end.month - start.month
