"""The app that knows every task, and the timetable of what runs by itself."""

import os
from typing import NamedTuple

from celery import Celery

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")


class Entry(NamedTuple):
    """One line of the timetable; a run that was missed is made up once, however long the gap."""

    name: str
    every_s: int
    task: str
    arguments: dict[str, object]


TIMETABLE = (
    Entry("heartbeat", 60, "vessel.tasks.heartbeat", {}),
    Entry("judge", 3600, "readiness.tasks.judge_coming_legs", {}),
    Entry("judge_changed", 60, "readiness.tasks.judge_what_changed", {}),
    Entry("fetch_forecasts", 3600, "readiness.tasks.fetch_forecasts", {}),
    Entry("clear_waiting_files", 3600, "readiness.tasks.clear_waiting_files", {}),
    Entry("tidy_up", 24 * 3600, "vessel.tasks.tidy_up", {}),
)

app = Celery("legworthy")
app.conf.update(
    accept_content=["json"],
    task_serializer="json",
    result_serializer="json",
    task_ignore_result=True,
    task_acks_late=True,
    task_reject_on_worker_lost=True,
    worker_prefetch_multiplier=1,
    timezone="UTC",
    enable_utc=True,
    beat_schedule={
        entry.name: {"task": entry.task, "schedule": float(entry.every_s), "kwargs": entry.arguments}
        for entry in TIMETABLE
    },
)
app.autodiscover_tasks(["vessel", "maintenance", "readiness"])
