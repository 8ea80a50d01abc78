"""manage.py serve: the pages and the background worker in one command."""

import logging
import os
import signal
import sqlite3
import sys
from argparse import ArgumentParser
from collections.abc import Callable
from pathlib import Path

from django.apps import apps
from django.conf import settings
from django.core.management import call_command, get_commands
from django.core.management.base import CommandError
from django.db import DatabaseError, connection
from django.utils import timezone

from vessel.actions.setup_code import new_code
from vessel.errors import Refused
from vessel.management.door import answers, folder_to_ourselves, free_port, name_holder
from vessel.management.memory import MEMORY_KEPT, ONE_THREAD
from vessel.management.plain import PlainCommand
from vessel.management.supervisor import Part, Supervisor
from vessel.queries.service_check import schema_is_newer
from vessel.queries.service_state import deaths_file
from vessel.queries.setup_code import somebody_can_sign_in

EVERYWHERE = "0.0.0.0"  # noqa: S104 the boat's own network is where the phones are
FIRST_PORT = "8000"
log = logging.getLogger(__name__)


class Command(PlainCommand):
    help = (
        "Serves the pages and does the background work, until Ctrl-C. Brings the database up to date first."
        " Example: manage.py serve --port 8080 --with-demo"
    )
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--port", help=f"first port to try; PORT in the environment, or {FIRST_PORT}")
        parser.add_argument("--address", default=EVERYWHERE, help="127.0.0.1 serves this computer only")
        parser.add_argument("--with-demo", action="store_true", help="load the demo when there is no vessel yet")

    def handle(self, *, port: str | None, address: str, with_demo: bool, **_: object) -> None:
        try:
            wanted = _port_number(port or os.environ.get("PORT") or FIRST_PORT)
            with folder_to_ourselves(settings.DATA) as lock:
                self._prepare(with_demo=with_demo)
                self._serve(lock, address, wanted)
        except Refused as reason:
            raise CommandError(str(reason), returncode=2) from reason

    def _prepare(self, *, with_demo: bool) -> None:
        try:
            if newer := schema_is_newer():
                raise Refused(f"{newer} Nothing was started.")
            call_command("migrate", interactive=False, verbosity=0)
        except DatabaseError as reason:
            raise Refused(
                f"The database in {settings.DATA} cannot be opened or brought up to date: {reason}."
                " Nothing was started. Take back the last good copy into another folder: DATA=./other"
            ) from reason
        log.info("SQLite %s, %s", sqlite3.sqlite_version, settings.DATABASES["default"]["OPTIONS"]["init_command"])
        if with_demo and "load_demo" in get_commands() and not _has_a_vessel():
            self._load_demo()
        connection.close()

    def _load_demo(self) -> None:
        """A demo that fails is no reason to keep the pages shut."""
        try:
            call_command("load_demo", stdout=self.stdout)
        except Exception as reason:
            log.exception("The demo could not be loaded")
            self.stdout.write(f"The demo could not be loaded ({reason}); Legworthy starts without a vessel.")

    def _serve(self, lock: Path, address: str, wanted: int) -> None:
        port = free_port(wanted, address)
        if port != wanted:
            self.stdout.write(f"Port {wanted} is busy; port {port} is used instead.")
        name_holder(lock, f"http://localhost:{port}")
        supervisor = Supervisor(_parts(address, port), deaths=deaths_file(), now=timezone.now)
        for number in (signal.SIGTERM, signal.SIGINT):
            signal.signal(number, lambda *_: supervisor.stop.set())
        supervisor.run(self._announcer(address, port))
        self.stdout.write("Legworthy has stopped.")

    def _announcer(self, address: str, port: int) -> Callable[[], None]:
        """Says once, as soon as the pages answer, where they are."""
        waiting = True

        def tick() -> None:
            nonlocal waiting
            if waiting and answers(port):
                waiting = False
                self._say_where(address, port)

        return tick

    def _say_where(self, address: str, port: int) -> None:
        self.stdout.write(f"Legworthy serves at http://localhost:{port}")
        if address == EVERYWHERE and settings.LAN_ADDRESS:
            self.stdout.write(f"From a phone in the same network: http://{settings.LAN_ADDRESS}:{port}")
        self._say_how_to_sign_in(port)
        self.stdout.write(f"Everything is kept in {settings.DATA}. Ctrl-C ends it.")
        self.stdout.flush()

    def _say_how_to_sign_in(self, port: int) -> None:
        if somebody_can_sign_in():
            return
        self.stdout.write(f"Nobody has a password yet. Set one at http://localhost:{port}/set-up/ with this code,")
        self.stdout.write(f"good once and for 30 minutes: {new_code(at=timezone.now())}")
        connection.close()


def _port_number(text: str) -> int:
    if not text.isdecimal() or not 0 < int(text) < 65536:
        raise Refused(f"The port is {text!r}; it must be a number from 1 to 65535. Nothing was started.")
    return int(text)


def _has_a_vessel() -> bool:
    return apps.get_model("vessel", "Vessel").objects.exists()


def _parts(address: str, port: int) -> list[Part]:
    base = Path(settings.BASE_DIR)
    mother = str(os.getpid())
    environment = {**MEMORY_KEPT, **ONE_THREAD, **os.environ, "LEGWORTHY_DATA": str(settings.DATA)}
    return [
        Part("web server", [sys.executable, "-m", "config.web", address, str(port), mother], base, environment),
        Part(
            "background worker",
            [sys.executable, str(base / "manage.py"), "work", "--parent", mother],
            base,
            environment,
        ),
    ]
