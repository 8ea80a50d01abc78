"""A worker whose task kills it: killing_worker.py MINUTES, which its clock is ahead.

Run by test_killed_worker. The first argument moves the clock, so that no test has to wait for a lease to end.
"""

import os
import signal
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

import django
from celery import current_app

django.setup()

from vessel.management.worker import do_next  # noqa: E402 after the set-up


@current_app.task(name="tests.kill")
def kill_on_first_try(trace: str, *, always: bool) -> None:
    """Leaves a line in the trace and dies: at the first try, or at every one."""
    file = Path(trace)
    first = not file.exists()
    with file.open("a") as stream:
        stream.write("began\n")
    if first or always:
        os.kill(os.getpid(), signal.SIGKILL)


ahead = timedelta(minutes=float(sys.argv[1]))
print("worked" if do_next(holder=str(os.getpid()), now=lambda: datetime.now(UTC) + ahead) else "nothing due")
