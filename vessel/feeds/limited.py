"""A stranger's file read by a process of its own: it may crash there, or run out of memory or time, and hurts nothing.

The reader is named by its path and never imported here. The file goes in as data; what comes back is a plain record
(`wire`) or one sentence. The child is started afresh, never forked, so that any thread may ask for one.
"""

import logging
import os
import signal
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Generic, TypeVar

import msgspec

from vessel.errors import BadInput
from vessel.feeds.wire import LENGTH_BYTES, REFUSED, TOO_LARGE, Order, decode

CHILD = (sys.executable, "-m", "vessel.feeds.limited_child")
HOME = Path(__file__).resolve().parents[2]
# No secret of ours travels to a process that reads strangers' files.
KEPT_ENVIRONMENT = ("PATH", "LANG", "LC_ALL", "LD_LIBRARY_PATH", "SYSTEMROOT", "TMPDIR")
ONE_THREAD = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"}
ENDS = {
    -signal.SIGXCPU: "reading it took too much work",
    -signal.SIGKILL: "reading it took too much work or memory",
    -signal.SIGSEGV: "the reader broke down on it",
    -signal.SIGABRT: "the reader gave it up",
    TOO_LARGE: "reading it took too much memory",
}
Record = TypeVar("Record")
Word = str | int | float | bool | None
log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Limits:
    """What one reading may cost: bytes of memory, seconds of work, seconds of clock time."""

    memory_bytes: int = 280_000_000  # with programs and libraries less than 300 MB in all [own]
    work_s: int = 2
    wait_s: float = 10.0  # a busy machine is no fault of the file; the work is what is limited


USUAL = Limits()


@dataclass(frozen=True, slots=True)
class Reader(Generic[Record]):
    """A function that reads a file: its path (module and name), the record it gives, what it calls the file.

    The function takes the bytes and keywords that JSON can hold, and raises BadInput for what it refuses.
    """

    path: str
    gives: type[Record]
    what: str
    kept: str = "Nothing was taken in."
    advice: str = ""
    limits: Limits = USUAL

    def __call__(self, data: bytes, **keywords: Word | dict[str, object]) -> Record:
        """Read in a limited process. Raises BadInput with one sentence, also when that process dies."""
        done = self._done(data, keywords)
        if done.returncode == REFUSED:
            raise BadInput(done.stdout.decode(errors="replace"))
        if done.returncode:
            raise self._death(done)
        try:
            return decode(done.stdout, self.gives)
        except (msgspec.MsgspecError, ValueError, TypeError) as error:
            log.exception("%s answered what cannot be read.", self.path)
            raise BadInput(f"This {self.what} is damaged: the reader's answer makes no sense. {self.kept}") from error

    def _done(self, data: bytes, keywords: dict[str, Word | dict[str, object]]) -> subprocess.CompletedProcess[bytes]:
        limits = self.limits
        order = msgspec.json.encode(Order(self.path, keywords, limits.memory_bytes, limits.work_s))
        environment = {name: os.environ[name] for name in KEPT_ENVIRONMENT if name in os.environ}
        try:
            return subprocess.run(  # noqa: S603  our own interpreter and module; the file goes in as data
                CHILD,
                input=b"".join((len(order).to_bytes(LENGTH_BYTES, "little"), order, data)),
                capture_output=True,
                timeout=limits.wait_s,
                check=False,
                cwd=HOME,
                env={**environment, **ONE_THREAD},
            )
        except subprocess.TimeoutExpired as error:
            raise BadInput(f"Reading this {self.what} took too long and was stopped. {self.kept}") from error

    def _death(self, done: subprocess.CompletedProcess[bytes]) -> BadInput:
        why = ENDS.get(done.returncode)
        if why is None:
            log.error("%s broke down: %s", self.path, done.stderr.decode(errors="replace")[-2000:])
            why = "the reader could not finish it"
        advice = f"; {self.advice}" if self.advice and "too much" in why else ""
        return BadInput(f"This {self.what} is damaged or too large: {why}{advice}. {self.kept}")
