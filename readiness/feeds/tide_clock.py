"""Times and zones as files write them, to UTC; what can be read two ways is asked, never guessed."""

import re
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from zoneinfo import ZoneInfo

from readiness.feeds.tide_sheet import Row, refuse, shown

_FIXED_WORDS = re.compile(
    r"(?:fixed[ _])?(?:utc|gmt|z)(?:(plus|minus|[+-])(\d{1,2})(?::?(\d{2}))?)?", re.IGNORECASE | re.ASCII
)
_OFFSET_IN_NAME = re.compile(r"utc(plus|minus)(\d{1,2})(?:h?(\d{2}))?$", re.ASCII)
_TIME = r"[ T]+(?P<hour>\d{2}):(?P<minute>\d{2})(?::(?P<second>\d{2})(?:\.\d{1,6})?)?(?P<offset>Z|[+-]\d{2}:?\d{2})?"
_YEAR_FIRST = re.compile(r"(?P<year>\d{4})[-/.](?P<a>\d{1,2})[-/.](?P<b>\d{1,2})" + _TIME, re.ASCII | re.IGNORECASE)
_YEAR_LAST = re.compile(r"(?P<a>\d{1,2})[-/.](?P<b>\d{1,2})[-/.](?P<year>\d{4})" + _TIME, re.ASCII | re.IGNORECASE)
DATE_ORDERS = ("day first", "month first")
FIRST_YEAR, LAST_YEAR = 1800, 2199


@dataclass(frozen=True, slots=True)
class Written:
    """One time as it stands in a row, not yet a moment: numbers, and whether the year comes first."""

    row: Row
    text: str
    year: int
    numbers: tuple[int, int]
    clock: tuple[int, int, int]
    offset: str | None
    year_first: bool


def zone_called(name: str) -> tzinfo:
    """A zone by name: "UTC", "UTC+1", "fixed UTC+1", "America/New_York". Raises BadInput."""
    if match := _FIXED_WORDS.fullmatch(name.strip()):
        return _fixed(*match.groups())
    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError) as reason:
        raise refuse(f"There is no time zone called {shown(name)}; write Europe/Oslo or UTC+1.") from reason


def zone_in_header(header: str) -> tzinfo | None:
    """The fixed zone a column name ends with ("time_met_utcplus1", "time_utc"); None where it names none."""
    if match := _OFFSET_IN_NAME.search(header):
        return _fixed(*match.groups())
    return UTC if re.search(r"(^|_)utc$", header) else None


def standard_offset_h(zone: tzinfo, year: int) -> float:
    """Hours the zone is ahead of UTC when no summer time is in force, in a given year."""
    offsets = [datetime(year, month, 1, tzinfo=zone).utcoffset() or timedelta() for month in (1, 7)]
    return min(offsets).total_seconds() / 3600


def read_written(row: Row, text: str, column: str) -> Written:
    """Take a date and time apart. Raises BadInput."""
    first = _YEAR_FIRST.fullmatch(text)
    match = first or _YEAR_LAST.fullmatch(text)
    if not match:
        raise refuse(f"{shown(text)} is not a date and time such as 2026-04-03 14:05.", row.line, column)
    year = int(match["year"])
    if not FIRST_YEAR <= year <= LAST_YEAR:
        raise refuse(f"The year {year} lies outside {FIRST_YEAR} to {LAST_YEAR}.", row.line, column)
    clock = (int(match["hour"]), int(match["minute"]), int(match["second"] or 0))
    return Written(row, text, year, (int(match["a"]), int(match["b"])), clock, match["offset"], first is not None)


def month_comes_first(written: list[Written], answer: str | None, column: str) -> bool:
    """Whether dates with the year last put the month first, by the answer given or by a number above 12.

    Raises BadInput with the question where neither settles it, or where two rows contradict each other.
    """
    loose = [each for each in written if not each.year_first]
    if not loose:
        return True
    day_first = next((each for each in loose if each.numbers[0] > 12), None)
    month_first = next((each for each in loose if each.numbers[1] > 12), None)
    if day_first and month_first:
        raise refuse(
            f"{shown(month_first.text)} puts the month first, line {day_first.row.line} the day.",
            month_first.row.line,
            column,
        )
    if answer in DATE_ORDERS:
        return answer == "month first"
    if not (day_first or month_first):
        raise refuse(
            f"Is {shown(loose[0].text)} day first or month first?"
            " Say date_order in the station file, or write 2026-04-03.",
            loose[0].row.line,
            column,
        )
    return month_first is not None


def moment(written: Written, zone: tzinfo | None, column: str, *, month_first: bool) -> float | None:
    """UTC seconds since 1970; None for a wall time that came twice when the clocks went back.

    Raises BadInput for a date that does not exist, a wall time the clocks jumped over, or a time without a zone.
    """
    line = written.row.line
    month, day = written.numbers if written.year_first or month_first else written.numbers[::-1]
    try:
        wall = datetime(written.year, month, day, *written.clock, tzinfo=UTC)
    except ValueError as reason:
        raise refuse(f"{shown(written.text)} does not exist: {reason}.", line, column) from reason
    if written.offset:
        return wall.timestamp() - _offset_s(written, column)
    if zone is None:
        raise refuse(
            "The times have no zone. Head the column time_utc or time_utcplus1, or give the station file a timezone.",
            line,
            column,
        )
    return _settled(wall.replace(tzinfo=zone), written, column)


def _settled(wall: datetime, written: Written, column: str) -> float | None:
    early, late = wall.replace(fold=0), wall.replace(fold=1)
    if early.utcoffset() == late.utcoffset():
        return early.timestamp()
    if early.astimezone(UTC).astimezone(wall.tzinfo).replace(tzinfo=None) != wall.replace(tzinfo=None):
        raise refuse(f"The clocks jumped over {shown(written.text)} in this zone.", written.row.line, column)
    return None


def _offset_s(written: Written, column: str) -> float:
    text = (written.offset or "").upper()
    if text == "Z":
        return 0.0
    digits = text[1:].replace(":", "")
    hours, minutes = int(digits[:2]), int(digits[2:])
    if hours > 14 or minutes > 59:
        raise refuse(f"{shown(written.text)} has no possible zone.", written.row.line, column)
    return (hours * 3600 + minutes * 60) * (-1 if text.startswith("-") else 1)


def _fixed(sign: str | None, hours: str | None, minutes: str | None) -> tzinfo:
    ahead = timedelta(hours=int(hours or 0), minutes=int(minutes or 0))
    if ahead > timedelta(hours=14):
        raise refuse(f"No zone is {hours} hours from UTC.")
    return timezone(-ahead if sign in ("minus", "-") else ahead)
