"""The moment of the demo: when it is loaded, and from that when the blow passes and when she means to leave."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from functools import cached_property
from zoneinfo import ZoneInfo

ZONE = "Europe/Lisbon"
QUARTER = timedelta(minutes=15)
ARRIVES = timedelta(minutes=20)  # a forecast is so old when it comes in
SETTLED = timedelta(hours=24)  # a forecast older than that at departure is an outlook only


@dataclass(frozen=True)
class DemoMoment:
    """`now` and the planned departure: half past seven tomorrow, local time.

    Never farther ahead than the forecast is more than an outlook. Loaded in the small hours it would be a day and a
    half off: before six the departure is at noon of the same day or eight hours ahead, whichever is sooner.
    """

    now: datetime

    @cached_property
    def planned(self) -> datetime:
        """The planned departure."""
        local, here = self.now.astimezone(ZoneInfo(ZONE)), self.now.astimezone(UTC)
        half_past_seven = local.replace(hour=7, minute=30, second=0, microsecond=0)
        if local.hour >= 6:
            wanted, ahead = half_past_seven + timedelta(days=1), SETTLED - 2 * ARRIVES
        else:
            wanted, ahead = half_past_seven.replace(hour=12, minute=0), timedelta(hours=8)
        return min(wanted.astimezone(UTC), _quarter(here + ahead))

    @property
    def today(self) -> date:
        """The day it is loaded, aboard."""
        return self.now.astimezone(ZoneInfo(ZONE)).date()

    @property
    def evening(self) -> datetime:
        """When one would leave this evening: into the blow."""
        return max(_quarter(self.now) + QUARTER, self.planned - timedelta(hours=13))

    @property
    def next_day(self) -> datetime:
        """The same time a day later."""
        return self.planned + timedelta(days=1)

    @property
    def issued(self) -> datetime:
        """When the forecast was issued: it came in just now."""
        return self.now - ARRIVES

    def ago(self, **past: float) -> datetime:
        """So long before now, to the minute."""
        return (self.now - timedelta(**past)).replace(second=0, microsecond=0)

    def after_departure(self, **later: float) -> datetime:
        """So long after the planned departure."""
        return self.planned + timedelta(**later)


def _quarter(at: datetime) -> datetime:
    """The last quarter of an hour at or before a moment."""
    return at - (at - at.replace(minute=0, second=0, microsecond=0)) % QUARTER
