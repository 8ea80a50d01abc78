"""Before the pages are served: is this data folder free, and which port is?"""

import fcntl
import os
import socket
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from vessel.errors import Refused

PORTS_TRIED = 20


class AlreadyServed(Refused):
    """Another `serve` works on this data folder."""


class NoPort(Refused):
    """No port is free from the wanted one on."""


@contextmanager
def folder_to_ourselves(folder: Path) -> Iterator[Path]:
    """Hold the folder's lock, and give the file for a line that tells others who holds it.

    Two web servers on one port would share the visitors between them without a word, so a second one is refused.
    Raises AlreadyServed.
    """
    file = folder / "serve.lock"
    with file.open("a+", encoding="utf-8") as held:
        try:
            fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            held.seek(0)
            who = held.read().strip() or "another program"
            raise AlreadyServed(
                f"{folder} is served already by {who}. Nothing was started."
                " End that one first, or name another folder: DATA=./other make run"
            ) from None
        yield file
        held.truncate(0)


def free_port(wanted: int, address: str) -> int:
    """The wanted port, or the next free one after it. Raises NoPort."""
    for port in range(wanted, min(wanted + PORTS_TRIED, 65536)):
        if _is_free(port, address):
            return port
    raise NoPort(f"Ports {wanted} to {wanted + PORTS_TRIED - 1} are all busy. Name another one: PORT=9000 make run")


def _is_free(port: int, address: str) -> bool:
    with closing(socket.socket(socket.AF_INET, socket.SOCK_STREAM)) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((address, port))
        except OSError:
            return False
        return True


def answers(port: int) -> bool:
    """Does something listen on this port of this computer?"""
    with closing(socket.socket(socket.AF_INET, socket.SOCK_STREAM)) as probe:
        probe.settimeout(1.0)
        return probe.connect_ex(("127.0.0.1", port)) == 0


def name_holder(file: Path, address: str) -> None:
    """Write into the lock file who serves, for the sentence a second one gets."""
    file.write_text(f"process {os.getpid()} at {address}\n", encoding="utf-8")
