"""Filters that print SI in a skipper's words; the words themselves are made in vessel.calc.wording."""

from datetime import date, datetime
from typing import Any

from django import template
from django.utils import timezone

from vessel.calc import position, unit_words, wording

register = template.Library()


def _epoch(moment: Any) -> float | None:
    """Seconds since 1970 of a moment given as seconds or as an aware datetime; anything else is not known."""
    if isinstance(moment, datetime):
        return moment.timestamp() if moment.tzinfo else None
    return float(moment) if wording.is_known(moment) else None


def _value(value: Any) -> float | None:
    return float(value) if wording.is_known(value) else None


def _now() -> float:
    return timezone.now().timestamp()  # noqa: TID251 a page is printed at the door, and a filter is given no clock


@register.filter
def figure(value: object, decimals: int = 0) -> str:
    """A bare figure."""
    return wording.number(_value(value), decimals)


@register.filter
def unit_word(unit: str) -> str:
    """A unit as people write it."""
    return unit_words.unit_word(unit)


@register.filter
def knots(mps: object, decimals: int = 0) -> str:
    """Metres per second as knots."""
    return wording.knots(_value(mps), decimals)


@register.filter
def miles(m: object, decimals: int = 1) -> str:
    """Metres as nautical miles."""
    return wording.miles(_value(m), decimals)


@register.filter
def metres(m: object, decimals: int = 1) -> str:
    """Metres."""
    return wording.metres(_value(m), decimals)


@register.filter
def degrees(x: object) -> str:
    """A course or bearing in three figures."""
    return wording.degrees(_value(x))


@register.filter
def point(deg: object) -> str:
    """The nearest of the sixteen points of the compass."""
    return wording.compass_point(_value(deg))


@register.filter
def lasts(seconds: object) -> str:
    """A length of time, "1 h 42 min"."""
    return wording.duration(_value(seconds))


@register.filter
def minutes(value: object) -> str:
    """Minutes as a length of time."""
    known = _value(value)
    return wording.duration(None if known is None else known * 60)


@register.filter
def old(seconds: object) -> str:
    """An age, "3 h 40 min"."""
    return wording.age(_value(seconds))


@register.filter
def left(value: object, unit: str = "") -> str:
    """A margin, rounded toward none left."""
    return wording.margin(_value(value), unit)


@register.filter
def local(moment: object, zone: str) -> str:
    """Day and time in a zone with UTC, "Sat 15 May 07:30 (06:30 UTC)"; with its year where it is far from now."""
    return wording.with_utc(_epoch(moment), zone, now=_now())


@register.filter
def hour(moment: object, zone: str) -> str:
    """The time of day in a zone."""
    return wording.clock(_epoch(moment), zone)


@register.filter
def hour_with_utc(moment: object, zone: str) -> str:
    """The time of day in a zone with UTC, "07:30 (06:30 UTC)"."""
    return wording.clock_with_utc(_epoch(moment), zone)


@register.filter
def day(moment: object, zone: str = "UTC") -> str:
    """A date, "Sat 15 May 2027": of a moment in a zone, or of a plain date."""
    if isinstance(moment, date) and not isinstance(moment, datetime):
        return f"{wording.WEEKDAYS[moment.weekday()]} {moment.day} {wording.MONTHS[moment.month - 1]} {moment.year}"
    return wording.local_date(_epoch(moment), zone, year=True)


@register.filter
def local_short(moment: object, zone: str) -> str:
    """Day and time in a zone, "Sat 15 May 07:30", where the zone stands beside it; its year as for `local`."""
    return wording.local_time(_epoch(moment), zone, now=_now())


@register.filter
def latitude(deg: object) -> str:
    """A latitude, "46°30.50′ N"."""
    return position.latitude(_value(deg))


@register.filter
def longitude(deg: object) -> str:
    """A longitude, "014°12.30′ W"."""
    return position.longitude(_value(deg))
