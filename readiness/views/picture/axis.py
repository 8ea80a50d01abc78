"""One local day across the paper, 00 to 24 by the harbour's clock: 23 or 25 hours on the nights the clocks change."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from vessel.calc.wording import MONTHS, WEEKDAYS, clock
from vessel.units import DAY, HOUR
from vessel.views.paper import percent

TICK_HOURS = range(0, 24, 3)
MAJOR_HOURS = 6
LONG_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


@dataclass(frozen=True, slots=True)
class Tick:
    """One upright of the hour scale."""

    x: str
    local: str
    utc: str
    major: bool
    anchor: str


@dataclass(frozen=True, slots=True)
class Day:
    """A day by the clock of `zone`, from midnight to midnight in UTC seconds since 1970."""

    on: date
    zone: str
    start: float
    end: float

    @property
    def name(self) -> str:
        return WEEKDAYS[self.on.weekday()]

    @property
    def long_name(self) -> str:
        return LONG_DAYS[self.on.weekday()]

    @property
    def date(self) -> str:
        return f"{self.on.day} {MONTHS[self.on.month - 1]}"

    @property
    def hours(self) -> float:
        return (self.end - self.start) / HOUR

    @property
    def is_odd(self) -> bool:
        """Whether the clocks change on this day."""
        return self.end - self.start != DAY

    def share(self, epoch: float) -> float:
        """How far across the paper a moment lies, in per cent, not kept within the paper."""
        return 100.0 * (epoch - self.start) / (self.end - self.start)

    def x(self, epoch: float) -> str:
        return percent(self.share(epoch))

    def width(self, start: float, end: float) -> str:
        """The width of what lies on the paper of a stretch of time."""
        return percent(self.share(min(end, self.end)) - self.share(max(start, self.start)))

    def holds(self, epoch: float) -> bool:
        return self.start <= epoch < self.end

    def offset(self) -> str:
        """What the harbour's clock is ahead of UTC at the day's end, "UTC+1"."""
        return offset(self.end - 1, self.zone)


def offset(epoch: float, zone: str) -> str:
    """How a zone's clock stands to UTC at a moment: "UTC+1", "UTC+5:45", "UTC"."""
    ahead = datetime.fromtimestamp(epoch, ZoneInfo(zone)).utcoffset() or timedelta()
    minutes = round(ahead.total_seconds() / 60)
    if not minutes:
        return "UTC"
    hours, rest = divmod(abs(minutes), 60)
    return f"UTC{'+' if minutes > 0 else '−'}{hours}" + (f":{rest:02d}" if rest else "")


def midnight(on: date, zone: str) -> float:
    """The moment a local day begins."""
    return datetime.combine(on, time(0), ZoneInfo(zone)).timestamp()


def day_of(epoch: float, zone: str) -> Day:
    """The local day a moment belongs to."""
    on = datetime.fromtimestamp(epoch, UTC).astimezone(ZoneInfo(zone)).date()
    return Day(on, zone, midnight(on, zone), midnight(on + timedelta(days=1), zone))


def days_of(at: Sequence[float], zone: str) -> Iterator[Day]:
    """Every local day that holds a moment of `at`, in order."""
    day = day_of(at[0], zone)
    while day.start <= at[-1]:
        yield day
        day = day_of(day.end, zone)


def ticks(day: Day) -> tuple[Tick, ...]:
    """An upright every three hours of the harbour's clock, the first and the last at the edges of the paper."""
    zone = ZoneInfo(day.zone)
    inner = tuple(_tick(day, hour, datetime.combine(day.on, time(hour), zone).timestamp()) for hour in TICK_HOURS)
    return (*inner, _tick(day, 24, day.end))


def ticks_between(paper: Day, every_hours: int = 3) -> tuple[Tick, ...]:
    """Uprights at whole hours of the harbour's clock on a stretch of time that need not be one day."""
    moment = math.ceil(paper.start / HOUR) * HOUR
    found = []
    while moment <= paper.end:
        local = clock(moment, paper.zone)
        if int(local[:2]) % every_hours == 0:
            anchor = "start" if paper.share(moment) < 1 else "end" if paper.share(moment) > 99 else "middle"
            found.append(Tick(paper.x(moment), _bare(local), _bare(clock(moment, "UTC")), major=True, anchor=anchor))
        moment += HOUR
    return tuple(found)


def _tick(day: Day, hour: int, moment: float) -> Tick:
    anchor = {0: "start", 24: "end"}.get(hour, "middle")
    major = hour % MAJOR_HOURS == 0
    return Tick(day.x(moment), f"{hour:02d}", _bare(clock(moment, "UTC")), major, anchor)


def _bare(text: str) -> str:
    return text.removesuffix(":00")
