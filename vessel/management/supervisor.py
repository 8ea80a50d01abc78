"""Keeps the parts of the service alive: starts them, starts them again when they die, ends them together."""

import contextlib
import json
import logging
import os
import signal
import subprocess
import tempfile
import threading
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from vessel.queries.service_state import read_deaths

TICK_S = 0.2
STOP_WITHIN_S = 12.0
SETTLED_AFTER_S = 60.0
# Seconds before a part is started again, after its first, second ... death in a row; the last one stays.
BACK_OFF_S = (0.5, 1.0, 2.0, 5.0, 10.0, 30.0)
DEATHS_KEPT = 20

log = logging.getLogger(__name__)


@dataclass
class Part:
    """One process of the service, leader of a process group of its own."""

    name: str
    command: Sequence[str]
    folder: Path
    environment: Mapping[str, str]
    process: subprocess.Popen[bytes] | None = None
    started_at: float = 0.0
    start_again_at: float = 0.0
    deaths_in_a_row: int = field(default=0)

    def start(self) -> None:
        self.process = subprocess.Popen(  # noqa: S603 our own command
            self.command, cwd=self.folder, env=self.environment, process_group=0
        )
        self.started_at = time.monotonic()

    def has_died(self) -> bool:
        return self.process is not None and self.process.poll() is not None

    def bury(self) -> int:
        """End what is left of the group, set the time to start again; returns the exit status."""
        process = self._ended_with_its_group()
        if time.monotonic() - self.started_at > SETTLED_AFTER_S:
            self.deaths_in_a_row = 0
        wait_s = BACK_OFF_S[min(self.deaths_in_a_row, len(BACK_OFF_S) - 1)]
        self.start_again_at = time.monotonic() + wait_s
        self.deaths_in_a_row += 1
        return process.returncode

    def ask_to_end(self) -> None:
        if self.process is not None and self.process.poll() is None:
            self.process.terminate()

    def end_by(self, moment: float) -> None:
        """Wait for its own end until `moment` (monotonic), then end the whole group."""
        if self.process is None:
            return
        try:
            self.process.wait(max(0.0, moment - time.monotonic()))
        except subprocess.TimeoutExpired:
            log.warning("The %s did not end in time and is ended now", self.name)
        self._ended_with_its_group()

    def _ended_with_its_group(self) -> subprocess.Popen[bytes]:
        process, self.process = self.process, None
        if process is None:
            raise RuntimeError(f"The {self.name} was never started")
        with contextlib.suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGKILL)
        process.wait()
        return process


class Supervisor:
    """Runs the parts until `stop` is set; writes every death into `deaths`, for the pages to show."""

    def __init__(self, parts: Sequence[Part], *, deaths: Path, now: Callable[[], datetime]) -> None:
        self.parts = parts
        self.deaths = deaths
        self.now = now
        self.stop = threading.Event()

    def run(self, each_tick: Callable[[], None]) -> None:
        try:
            while not self.stop.is_set():
                for part in self.parts:
                    self._look_after(part)
                each_tick()
                self.stop.wait(TICK_S)
        finally:
            self._end_all()

    def _look_after(self, part: Part) -> None:
        if part.has_died():
            status = part.bury()
            log.error("The %s ended by itself (status %s) and is started again", part.name, status)
            note_death(self.deaths, at=self.now(), part=part.name, status=status)
        elif part.process is None and time.monotonic() >= part.start_again_at:
            part.start()

    def _end_all(self) -> None:
        for part in self.parts:
            part.ask_to_end()
        moment = time.monotonic() + STOP_WITHIN_S
        for part in self.parts:
            part.end_by(moment)


def note_death(file: Path, *, at: datetime, part: str, status: int) -> None:
    """Add a death to the file, whole or not at all. A full disk is logged and does not end the service."""
    before = [
        {"at": death.at.isoformat(), "part": death.part, "status": death.status} for death in read_deaths(file) or ()
    ]
    rows = [*before, {"at": at.isoformat(), "part": part, "status": status}][-DEATHS_KEPT:]
    try:
        with tempfile.NamedTemporaryFile("w", dir=file.parent, delete=False, encoding="utf-8") as draft:
            json.dump(rows, draft)
        Path(draft.name).replace(file)
    except OSError as reason:
        log.warning("The death of the %s could not be noted: %s", part, reason)
