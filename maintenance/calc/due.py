"""When a service falls due: by hours run, by months gone, whichever is first."""

import calendar
from datetime import date, timedelta
from typing import Annotated

import numpy as np

from vessel.units import Array, Hours, Ratio

Months = Annotated[int, "month"]
Day = Annotated[date, "day"]


def plus_months(day: Day, months: Months) -> Day:
    """The same day of the month so many months on, clipped to the month's last: 31 Jan + 1 = 28 or 29 Feb.

    Source: [practice]
    """
    count = day.year * 12 + day.month - 1 + months
    year, month = divmod(count, 12)
    return date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))


def last_good_day(day: Day, month_only: bool) -> Day:
    """The last day a printed date is good: the day itself, or the end of the month where only a month is printed.

    Source: [practice]
    """
    return day.replace(day=calendar.monthrange(day.year, day.month)[1]) if month_only else day


def due_day(last_done: Day, every: Months, month_only: bool = False) -> Day:
    """The last day on which the service is still in time. Done in a month only: counted from its first day.

    The earliest day it can have been done is taken, so that not knowing the day never makes it due later.

    Source: [own]
    """
    return plus_months(last_done.replace(day=1) if month_only else last_done, every)


def months_between(start: Day, end: Day) -> Annotated[float, "month"]:
    """Whole months from start to end by `plus_months`, and the part of the month begun; below zero when end is earlier.

    Source: [practice]
    """
    whole = (end.year - start.year) * 12 + end.month - start.month
    if plus_months(start, whole) > end:
        whole -= 1
    here, beyond = plus_months(start, whole), plus_months(start, whole + 1)
    return whole + (end - here) / (beyond - here)


def used(gone: Hours, every: Hours) -> Ratio:
    """Share of an interval used up, hours or months alike: 1 is due now. NaN where either is not known.

    Source: [practice]
    """
    return np.divide(gone, np.where(np.asarray(every, float) > 0, every, np.nan))


def used_of_both(by_hours: Ratio, by_months: Ratio, has_hours: Array, has_months: Array) -> Ratio:
    """The larger share of the two intervals an item has; NaN where one it has is not known, or it has neither.

    `has_hours`, `has_months`: 1 where the item has that interval, 0 where not.

    Source: [practice]
    """
    hours = np.where(np.asarray(has_hours, bool), by_hours, -np.inf)
    months = np.where(np.asarray(has_months, bool), by_months, -np.inf)
    larger = np.maximum(hours, months)
    return np.where(np.isneginf(larger), np.nan, larger)


def due_from_use(today: Day, hours_left: Annotated[float, "h"], hours_a_day: Annotated[float, "h/day"]) -> Day | None:
    """The day on which the hours run out at the use made of her; None when she does not run or it is not known.

    Source: [own]
    """
    days = hours_left / hours_a_day if hours_a_day > 0 else np.nan
    return today + timedelta(days=int(np.floor(days))) if np.isfinite(days) and abs(days) < 36500 else None
