"""Figures and times in words a skipper reads aloud: knots, metres, local harbour time with UTC, "not known".

Every function takes one value in SI (or a time in UTC seconds since 1970) and gives text. NaN, None and the
infinities print "not known", never a blank, a nought or a dash.
"""

import math
import re
from datetime import UTC, datetime, tzinfo
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from zoneinfo import ZoneInfo

from vessel.units import (
    DAY,
    HOUR,
    KNOT,
    MINUTE,
    NAUTICAL_MILE,
    Degrees,
    Epoch,
    Metres,
    MetresPerSecond,
    Seconds,
)

NOT_KNOWN = "not known"
MINUS = "−"
CONTROLS = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029]")
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
POINTS = ("N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW")
DAYS_FROM = 2 * DAY  # an age or a duration this long is told in days [own]
YEAR_S = 365.25 * DAY  # [practice]
YEARS_FROM = 2 * YEAR_S  # an age this long is told in years [own]
HALF_A_YEAR_S = YEAR_S / 2  # a day without its year is taken for the nearest one of its name
MORE_DECIMALS = 3  # how many further decimals a figure may take to stay on its own side of a limit [own]


def is_known(value: object) -> bool:
    """Whether a value is a finite number."""
    try:
        return math.isfinite(float(value))  # type: ignore[arg-type]
    except (TypeError, ValueError):
        return False


def number(value: float | None, decimals: int = 0) -> str:
    """A bare figure with so many decimals, thousands parted by commas: "1,900", "−0.3".

    Source: [own]
    """
    if value is None or not is_known(value):
        return NOT_KNOWN
    text = f"{abs(float(value)):,.{decimals}f}"
    negative = float(value) < 0 and any(digit in "123456789" for digit in text)
    return MINUS + text if negative else text


def with_unit(value: float | None, unit: str, decimals: int = 0) -> str:
    """A figure and its unit: "40 L"; only "not known" when it is not.

    Source: [own]
    """
    text = number(value, decimals)
    return text if text == NOT_KNOWN else f"{text} {unit}".rstrip()


def one_line(text: str) -> str:
    """What somebody typed, its line ends and other control characters as blanks: a sentence can hold it.

    Source: [own]
    """
    return CONTROLS.sub(" ", text)


def counted(count: int, noun: str, several: str = "") -> str:
    """So many of a thing, "1 part", "2 parts", "1,200 values"; `several` where more of it is not told by an s.

    Source: [own]
    """
    return f"{count:,} {noun if count == 1 else several or f'{noun}s'}"


def knots(mps: MetresPerSecond | None, decimals: int = 0) -> str:
    """A speed, "12 kn".

    Source: [practice]
    """
    return with_unit(_scaled(mps, KNOT), "kn", decimals)


def miles(m: Metres | None, decimals: int = 1) -> str:
    """A distance along the water, "14.2 nmi".

    Source: [practice]
    """
    return with_unit(_scaled(m, NAUTICAL_MILE), "nmi", decimals)


def metres(m: Metres | None, decimals: int = 1) -> str:
    """A depth, a height or a length, "1.6 m".

    Source: [practice]
    """
    return with_unit(_scaled(m, 1.0), "m", decimals)


def degrees(x: Degrees | None) -> str:
    """A course or a bearing in three figures, "090°"; 359.6 prints "000°".

    Source: [practice]
    """
    value = _scaled(x, 1.0)
    return NOT_KNOWN if value is None else f"{round(value) % 360:03d}°"


def compass_point(deg: Degrees | None) -> str:
    """The nearest of the sixteen points, "WNW".

    Source: [practice]
    """
    value = _scaled(deg, 22.5)
    return NOT_KNOWN if value is None else POINTS[math.floor(value + 0.5) % 16]


def toward_limit(value: float | None, limit: float | None, decimals: int = 0) -> str:
    """A figure rounded toward its limit and never onto or past it: 61.8 against 0 prints "61", 7.96 against 8
    prints "7.96". Only a value exactly on the limit prints the limit. Without a known limit, plain rounding.

    Source: [own]
    """
    if value is None or limit is None or not (is_known(value) and is_known(limit)):
        return number(value, decimals)
    exact, post = _decimal(value), _decimal(limit)
    for places in range(decimals, decimals + MORE_DECIMALS + 1):
        rounded = exact.quantize(Decimal(1).scaleb(-places), ROUND_FLOOR if exact > post else ROUND_CEILING)
        if (rounded > post) == (exact > post) and (rounded == post) == (exact == post):
            return number(float(rounded), places)
    return number(float(exact), decimals + MORE_DECIMALS)


def margin(value: float | None, unit: str, decimals: int = 0) -> str:
    """What is left before the limit, rounded toward none: 61.8 prints "61 min".

    Source: [own]
    """
    text = toward_limit(value, 0.0, decimals)
    return text if text == NOT_KNOWN else f"{text} {unit}".rstrip()


def duration(seconds: Seconds | None) -> str:
    """How long, to the nearest minute: "1 h 42 min", "14 min", "2 d 3 h"; under a minute in seconds.

    Source: [own]
    """
    value = _scaled(seconds, 1.0)
    if value is None:
        return NOT_KNOWN
    sign, length = (MINUS if value < 0 else ""), abs(value)
    if round(length) < MINUTE:
        return f"{sign if round(length) else ''}{round(length)} s"
    if length >= DAYS_FROM:
        return sign + _two(round(length / HOUR), 24, "d", "h")
    return sign + _two(round(length / MINUTE), 60, "h", "min")


def age(seconds: Seconds | None) -> str:
    """How old, in whole units gone by: "3 h 40 min", "9 d", "15 years"; under a minute "just now"; a time still to
    come says so, since a clock must then be wrong.

    Source: [own]
    """
    value = _scaled(seconds, 1.0)
    if value is None:
        return NOT_KNOWN
    if value <= -MINUTE:
        return "dated ahead of the clock"
    if value < MINUTE:
        return "just now"
    if value >= YEARS_FROM:
        return f"{math.floor(value / YEAR_S):,} years"
    if value >= DAYS_FROM:
        return f"{math.floor(value / DAY)} d"
    return _two(math.floor(value / MINUTE), 60, "h", "min")


def clock(epoch: Epoch | None, zone: str) -> str:
    """The time of day in a zone, "07:30", whole minutes gone by.

    Source: [own]
    """
    moment = _moment(epoch, ZoneInfo(zone))
    return NOT_KNOWN if moment is None else f"{moment:%H:%M}"


def local_date(epoch: Epoch | None, zone: str, *, year: bool = False, now: Epoch | None = None) -> str:
    """The day in a zone, "Sat 15 May" or "Sat 15 May 2027": never a date of bare figures.

    The year stands where it is asked for, and where `now` is given and lies more than half a year off.

    Source: [own]
    """
    moment = _moment(epoch, ZoneInfo(zone))
    if moment is None:
        return NOT_KNOWN
    day = f"{WEEKDAYS[moment.weekday()]} {moment.day} {MONTHS[moment.month - 1]}"
    return f"{day} {moment.year}" if year or _far(moment, now) else day


def local_time(epoch: Epoch | None, zone: str, *, now: Epoch | None = None) -> str:
    """Day and time of day in a zone, "Sat 15 May 07:30"; more than half a year from `now` with its year.

    Source: [own]
    """
    day = local_date(epoch, zone, now=now)
    return day if day == NOT_KNOWN else f"{day} {clock(epoch, zone)}"


def zone_name(epoch: Epoch | None, zone: str) -> str:
    """What the zone's own time is called just then, "BST", or "UTC+03" where it has no name.

    Source: [own]
    """
    moment = _moment(epoch, ZoneInfo(zone))
    if moment is None:
        return NOT_KNOWN
    name = moment.tzname() or ""
    return name if name.isalpha() else f"UTC{name.replace('-', MINUS)}"


def clock_with_utc(epoch: Epoch | None, zone: str) -> str:
    """The time of day in a zone and in UTC, "07:30 (06:30 UTC)", or "06:30 UTC" where both are one.

    Source: [own]
    """
    here, universal = clock(epoch, zone), clock(epoch, "UTC")
    if here == NOT_KNOWN:
        return here
    return f"{here} UTC" if here == universal else f"{here} ({universal} UTC)"


def with_utc(epoch: Epoch | None, zone: str, *, now: Epoch | None = None) -> str:
    """Day and time in a zone and in UTC, "Sat 15 May 07:30 (06:30 UTC)"; UTC names its day where it differs.
    More than half a year from `now` with its year.

    The hour that comes twice on the night the clocks go back is told apart by its UTC.

    Source: [own]
    """
    local, universal = local_time(epoch, zone, now=now), local_time(epoch, "UTC", now=now)
    if local == NOT_KNOWN:
        return local
    if local == universal:
        return f"{local} UTC"
    same_day = local_date(epoch, zone) == local_date(epoch, "UTC")
    return f"{local} ({clock(epoch, 'UTC') if same_day else universal} UTC)"


def _scaled(value: Metres | None, unit: float) -> float | None:
    return float(value) / unit if value is not None and is_known(value) else None


def _decimal(value: float) -> Decimal:
    return Decimal(repr(round(float(value), 9)))


def _two(count: int, base: int, large: str, small: str) -> str:
    first, rest = divmod(count, base)
    parts = [f"{first} {large}"] if first else []
    return " ".join([*parts, f"{rest} {small}"] if rest or not first else parts)


def _moment(epoch: Epoch | None, zone: tzinfo) -> datetime | None:
    seconds = _scaled(epoch, 1.0)
    if seconds is None:
        return None
    try:
        return datetime.fromtimestamp(math.floor(seconds + 0.0005), UTC).astimezone(zone)
    except (OverflowError, ValueError, OSError):
        return None


def _far(moment: datetime, now: Epoch | None) -> bool:
    return is_known(now) and abs(moment.timestamp() - float(now or 0.0)) > HALF_A_YEAR_S
