"""Where the house is put together: settings, addresses, timetable, the way in for a web server."""

from config.celery import app as celery_app

__all__ = ["celery_app"]
