"""Dates of which only the month is known: an end runs to its last day, a doing is as old as its first."""

from calendar import monthrange
from datetime import date

from vessel.models import DatePrecision


def last_day(on: date | None, precision: str | None) -> date | None:
    """The day through which a date is good."""
    if on is None or precision != DatePrecision.MONTH:
        return on
    return on.replace(day=monthrange(on.year, on.month)[1])


def first_day(on: date | None, precision: str | None) -> date | None:
    """The earliest day on which something dated was done."""
    return on.replace(day=1) if on is not None and precision == DatePrecision.MONTH else on
