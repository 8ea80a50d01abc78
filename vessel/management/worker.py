"""The background worker: takes due work from the table, one piece after another."""

import logging
import os
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta

from celery import current_app
from django.db import DatabaseError, close_old_connections, connection

from vessel.actions.due_work import Periodic, fail, finish, lease_next, ready_at, renew_lease, sweep_timetable
from vessel.models.due_work import DueWork

LEASE_S = 60.0
LONGEST_RUN_S = 900.0
IDLE_S = 1.0
SWEEP_EVERY_S = 5.0
OVERRAN = 70

Now = Callable[[], datetime]
log = logging.getLogger(__name__)


def timetable() -> list[Periodic]:
    """The timetable the app was given, in the form the table of due work takes."""
    schedule = current_app.conf.beat_schedule
    return [
        Periodic(name, int(line["schedule"]), line["task"], line.get("kwargs", {})) for name, line in schedule.items()
    ]


def do_next(*, holder: str, now: Now) -> bool:
    """Do the work that has waited longest. False when nothing is due. Two writes around the task itself."""
    if not DueWork.objects.filter(ready_at(now())).exists():
        return False
    work = lease_next(at=now(), holder=holder, for_s=LEASE_S)
    if work is None:
        return False
    with lease_kept(work, holder, now):
        error = run(work)
    if error is None:
        held = finish(work_id=work.pk, holder=holder, at=now())
    else:
        held = fail(work_id=work.pk, holder=holder, at=now(), error=error)
    if not held:
        log.warning("%s took longer than its lease; another worker has it now", work.key)
    return True


def run(work: DueWork) -> str | None:
    """Run the task in this process; what went wrong, or None."""
    task = current_app.tasks.get(work.task)
    if task is None:
        return f"No task is called {work.task}."
    result = task.apply(kwargs=work.arguments)
    if result.successful():
        return None
    return f"{type(result.result).__name__}: {result.result}"


@contextmanager
def lease_kept(
    work: DueWork, holder: str, now: Now, every_s: float = LEASE_S / 3, longest_s: float = LONGEST_RUN_S
) -> Iterator[None]:
    """Renew the lease while the task runs; end the whole process when the task never comes to an end.

    A task run in this way knows no time limit of its own, and a thread cannot be stopped from outside.
    """
    done = threading.Event()

    def keep() -> None:
        began = time.monotonic()
        while not done.wait(every_s):
            if time.monotonic() - began > longest_s:
                log.error("%s ran for more than %.0f s; the worker ends itself", work.key, longest_s)
                os._exit(OVERRAN)
            try:
                renew_lease(work_id=work.pk, holder=holder, until=now() + timedelta(seconds=LEASE_S))
            except DatabaseError as reason:
                log.warning("The lease of %s could not be renewed: %s", work.key, reason)
            finally:
                connection.close()

    keeper = threading.Thread(target=keep, name="lease", daemon=True)
    keeper.start()
    try:
        yield
    finally:
        done.set()
        keeper.join()


def work_until(stop: threading.Event, *, holder: str, now: Now, parent: int | None = None) -> None:
    """Work until told to stop, or until the process that started this one is gone."""
    lines = timetable()
    swept = -SWEEP_EVERY_S
    while not stop.is_set() and (parent is None or os.getppid() == parent):
        try:
            if time.monotonic() - swept >= SWEEP_EVERY_S:
                sweep_timetable(at=now(), timetable=lines)
                swept = time.monotonic()
            busy = do_next(holder=holder, now=now)
        except DatabaseError as reason:
            log.error("The database does not take work just now: %s", reason)
            busy = False
        close_old_connections()
        if not busy:
            stop.wait(IDLE_S)
