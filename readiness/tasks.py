"""What judges by itself: the coming legs, every hour and after every change. Done twice, it has one effect."""

import logging

from celery import shared_task
from django.utils import timezone

from readiness.actions.verdict import judge_leg
from readiness.queries.leg import coming_legs
from vessel.errors import Refused

log = logging.getLogger(__name__)
BY = "timetable"


@shared_task
def judge_coming_legs(vessel_id: int | None = None) -> None:
    """Judge the coming legs of one vessel, or of all; one that cannot be judged does not hold up the others."""
    at = timezone.now()
    for leg_id in coming_legs(at, vessel_id):
        try:
            judge_leg(leg_id=leg_id, at=at, by=BY)
        except Refused as reason:
            log.warning("Leg %s was not judged: %s", leg_id, reason)


@shared_task
def judge_leg_again(leg_id: int) -> None:
    """Judge one leg."""
    judge_leg(leg_id=leg_id, at=timezone.now(), by=BY)
