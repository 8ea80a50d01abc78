"""Feeds of forecasts: written down, changed, and fetched; a feed that fails takes nothing away."""

from datetime import datetime, timedelta
from typing import Any

from django.db import transaction

from readiness.actions.forecast import take_in_forecast
from readiness.feeds.take import take_forecast
from readiness.models import Forecast, ForecastFeed
from readiness.models.forecast_feed import FeedKind
from vessel.actions.author import By
from vessel.actions.particulars import change, write_down
from vessel.errors import BadInput, Refused
from vessel.feeds.address import Ip, open_place
from vessel.feeds.fetch import Door, Fetched, fetch
from vessel.models import Vessel

Own = frozenset[tuple[Ip, int]]
BELIEVED = timedelta(hours=12)  # so long a server is believed that says nothing changed [own]
OVER = "What came ended {at:%Y-%m-%d %H:%M} UTC: it says nothing of any day to come."
KINDS = {FeedKind.GRIB: frozenset({"grib"}), FeedKind.TABLE: frozenset({"csv", "text"})}
FRESH: dict[str, Any] = {
    **dict.fromkeys(("last_tried_at", "last_sent_at", "last_good_at")),
    **dict.fromkeys(("last_error", "last_doubt", "etag", "modified"), ""),
}


@transaction.atomic
def add_feed(*, vessel: Vessel, by: By, at: datetime, own: Own = frozenset(), **fields: Any) -> ForecastFeed:
    """A new feed {name, address, kind, every_s}; nothing is asked yet.

    `own`: addresses of the boat's own network that may be asked. Raises BadInput, also for one that would never be.
    """
    open_place(str(fields.get("address", "")), own)
    return write_down(ForecastFeed, vessel=vessel, by=by, at=at, **fields)


@transaction.atomic
def change_feed(
    *, feed: ForecastFeed, seen_version: int, by: By, at: datetime, own: Own = frozenset(), **changes: Any
) -> ForecastFeed:
    """The feed changed; at another address nothing was tried yet. Raises BadInput, StaleVersion."""
    moved = "address" in changes and changes["address"] != feed.address
    if moved:
        open_place(str(changes["address"]), own)
    change(feed, vessel=feed.vessel, seen_version=seen_version, by=by, at=at, **changes)
    if moved:
        _note(feed, **FRESH)
    return feed


def fetch_feed(*, feed_id: int, by: By, at: datetime, door: Door) -> Forecast | None:
    """Ask one feed and take in what comes; None where nothing new came. Call it outside a transaction.

    Raises Refused with what went wrong, after it was noted beside the feed; every forecast held is kept.
    """
    feed = ForecastFeed.objects.select_related("vessel").get(pk=feed_id)
    _note(feed, last_tried_at=at)
    try:
        fetched = _ask(feed, at, door)
        forecast = _read(feed, fetched, by, at)
    except Refused as reason:
        _note(feed, last_error=str(reason)[:500], last_doubt="")
        raise
    sent = {} if fetched.data is None else {"last_sent_at": at}
    over = [OVER.format(at=forecast.last_at)] if forecast is not None and forecast.last_at < at else []
    _note(
        feed, **sent, last_good_at=at, last_error="", last_doubt=" ".join([*fetched.doubts, *over])[:500],
        etag=fetched.etag, modified=fetched.modified,
    )  # fmt: skip
    return forecast


def _ask(feed: ForecastFeed, at: datetime, door: Door) -> Fetched:
    """Only what is new, unless the server has said "nothing new" for so long that it may be a lie."""
    held = Forecast.objects.filter(vessel=feed.vessel, source=feed.name).exists()
    believed = held and feed.last_sent_at is not None and at - feed.last_sent_at < BELIEVED
    etag, modified = (feed.etag, feed.modified) if believed else ("", "")
    return fetch(feed.address, at=at, etag=etag, modified=modified, door=door)


def _read(feed: ForecastFeed, fetched: Fetched, by: By, at: datetime) -> Forecast | None:
    if fetched.data is None:
        return None
    forecast = take_forecast(fetched.data, source=feed.name)
    if forecast.kind not in KINDS[FeedKind(feed.kind)]:
        raise BadInput(f"{feed.name} sent another kind of file than {feed.kind}. Nothing was taken in.")
    return take_in_forecast(vessel=feed.vessel, forecast=forecast, by=by, at=at)


def _note(feed: ForecastFeed, **state: Any) -> None:
    """How the feed is doing is no change by a person: no version, no history."""
    ForecastFeed.objects.filter(pk=feed.pk).update(**state)
    for name, value in state.items():
        setattr(feed, name, value)
