"""What is done by itself: legs judged, forecasts fetched, waiting files cleared. Done twice, it has one effect."""

import logging
from datetime import datetime

from celery import shared_task
from django.conf import settings
from django.utils import timezone

from readiness.actions.forecast_feed import fetch_feed
from readiness.actions.verdict import judge_leg
from readiness.feeds.waiting_file import clear_away
from readiness.queries.forecast_feed import due_feeds
from readiness.queries.leg import coming_legs, legs_behind
from vessel.errors import Refused
from vessel.feeds.fetch import Door

log = logging.getLogger(__name__)
BY = "timetable"


@shared_task
def judge_coming_legs(vessel_id: int | None = None) -> None:
    """Judge the coming legs of one vessel, or of all; one that cannot be judged does not hold up the others."""
    at = timezone.now()
    _judge(coming_legs(at, vessel_id), at)


@shared_task
def judge_what_changed() -> None:
    """Judge the coming legs of boats that changed since they were judged last, whichever door the change came by."""
    at = timezone.now()
    _judge(legs_behind(at), at)


def _judge(leg_ids: list[int], at: datetime) -> None:
    for leg_id in leg_ids:
        try:
            judge_leg(leg_id=leg_id, at=at, by=BY)
        except Refused as reason:
            log.warning("Leg %s was not judged: %s", leg_id, reason)


@shared_task
def judge_leg_again(leg_id: int) -> None:
    """Judge one leg."""
    judge_leg(leg_id=leg_id, at=timezone.now(), by=BY)


@shared_task
def fetch_forecasts() -> None:
    """Ask every feed whose time has come; one that fails keeps what it brought before and does not hold up the others."""
    at = timezone.now()
    for feed_id in due_feeds(at):
        try:
            fetch_feed(feed_id=feed_id, at=at, by=BY, door=Door(own=settings.FEED_ADDRESSES))
        except Refused as reason:
            log.warning("Feed %s brought no forecast: %s", feed_id, reason)


@shared_task
def clear_waiting_files() -> None:
    """Throw away the files that were looked into and never taken in."""
    clear_away(at=timezone.now())
