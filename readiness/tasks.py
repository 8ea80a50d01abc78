"""What is done by itself: legs judged, forecasts fetched, waiting files cleared. Done twice, it has one effect."""

import logging
from datetime import datetime, timedelta

from celery import shared_task
from django.conf import settings
from django.utils import timezone

from readiness.actions.forecast_feed import fetch_feed
from readiness.actions.verdict import judge_leg
from readiness.feeds.waiting_file import clear_away
from readiness.models import ForecastFeed
from readiness.queries.forecast_feed import due_feeds
from readiness.queries.leg import coming_legs, legs_behind
from vessel.actions.due_work import ask_for
from vessel.errors import Refused
from vessel.feeds.fetch import Door

log = logging.getLogger(__name__)
BY = "timetable"
FETCH = "readiness.tasks.fetch_forecast"
APART = timedelta(minutes=1)  # a server may hang for a third of it; the rest is left for judging [own]


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
    """Every one of them; what broke on a leg is told once the others are judged."""
    broke: Exception | None = None
    for leg_id in leg_ids:
        try:
            judge_leg(leg_id=leg_id, at=at, by=BY)
        except Refused as reason:
            log.warning("Leg %s was not judged: %s", leg_id, reason)
        except Exception as error:
            log.exception("Leg %s was not judged: something broke.", leg_id)
            broke = error
    if broke is not None:
        raise broke


@shared_task
def judge_leg_again(leg_id: int) -> None:
    """Judge one leg."""
    judge_leg(leg_id=leg_id, at=timezone.now(), by=BY)


@shared_task
def fetch_forecasts() -> None:
    """Ask for every feed whose time has come, each a piece of work of its own and a while apart."""
    at = timezone.now()
    for number, feed_id in enumerate(due_feeds(at)):
        ask_for(task=FETCH, arguments={"feed_id": feed_id}, key=f"fetch feed {feed_id}", at=at + number * APART)


@shared_task
def fetch_forecast(feed_id: int) -> None:
    """Ask one feed; where it fails, what it brought before is kept. Nothing where it was taken away meanwhile."""
    try:
        fetch_feed(feed_id=feed_id, at=timezone.now(), by=BY, door=Door(own=settings.FEED_ADDRESSES))
    except Refused as reason:
        log.warning("Feed %s brought no forecast: %s", feed_id, reason)
    except ForecastFeed.DoesNotExist:
        log.info("Feed %s is there no more.", feed_id)


@shared_task
def clear_waiting_files() -> None:
    """Throw away the files that were looked into and never taken in."""
    clear_away(at=timezone.now())
