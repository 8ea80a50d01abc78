"""What runs by itself for the service's own sake."""

from importlib import import_module

from celery import shared_task
from django.conf import settings
from django.utils import timezone

from vessel.actions.due_work import clear_away_done_work


@shared_task
def heartbeat() -> None:
    """Does nothing: that it was done is the sign that work is being done."""


@shared_task
def tidy_up() -> None:
    """Remove finished background work and sessions that have run out."""
    clear_away_done_work(at=timezone.now())
    import_module(settings.SESSION_ENGINE).SessionStore.clear_expired()
