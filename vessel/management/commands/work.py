"""manage.py work: the background worker, as `serve` starts it."""

import os
import signal
import socket
import threading
from argparse import ArgumentParser

from celery import current_app
from django.core.management.base import BaseCommand
from django.utils import timezone

from vessel.management.worker import do_next, work_until


class Command(BaseCommand):
    help = (
        "Does the background work that is due, until told to stop. `serve` starts it; start it by hand only where"
        " no `serve` runs. Example: manage.py work --once"
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--once", action="store_true", help="do what is due now, then end")
        parser.add_argument("--parent", type=int, help="end when this process is no longer the one above")

    def handle(self, *, once: bool, parent: int | None, **_: object) -> None:
        current_app.loader.import_default_modules()
        holder = f"{socket.gethostname()}:{os.getpid()}"
        if once:
            while do_next(holder=holder, now=timezone.now):
                pass
            return
        stop = threading.Event()
        for number in (signal.SIGTERM, signal.SIGINT):
            signal.signal(number, lambda *_: stop.set())
        work_until(stop, holder=holder, now=timezone.now, parent=parent)
