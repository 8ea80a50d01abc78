"""Which feeds are due, and how a feed is doing, in words."""

from datetime import datetime, timedelta

from readiness.models import ForecastFeed
from vessel.calc.wording import age

SLACK = timedelta(minutes=5)  # a timetable never ticks to the second


def due_feeds(at: datetime) -> list[int]:
    """Feeds to ask now, those of all vessels, the one that waited longest first. One query."""
    enabled = ForecastFeed.objects.filter(enabled=True).order_by("last_tried_at", "pk")
    return [feed.pk for feed in enabled if is_due(feed, at)]


def is_due(feed: ForecastFeed, at: datetime) -> bool:
    """Whether its time has come; also where the clock once ran ahead and was set back."""
    if feed.last_tried_at is None or feed.last_tried_at > at + SLACK:
        return True
    return at - feed.last_tried_at >= timedelta(seconds=feed.every_s) - SLACK


def state_words(feed: ForecastFeed, at: datetime) -> str:
    """How a feed is doing: the age of its last good copy, and what went wrong since. No query."""
    if feed.last_good_at is None:
        held = "No forecast has come from here yet."
    else:
        held = f"The last good copy came {_ago(at - feed.last_good_at)}."
    tried_at = feed.last_tried_at if feed.last_error else None
    failed = f"The try {_ago(at - tried_at)} failed: {feed.last_error}" if tried_at else ""
    return " ".join(each for each in (held, failed, feed.last_doubt) if each)


def _ago(gone: timedelta) -> str:
    words = age(gone.total_seconds())
    return words if words in {"just now", "dated ahead of the clock"} else f"{words} ago"
