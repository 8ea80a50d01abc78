"""The real service in processes of its own, for tests that end them the hard way."""

import http.client
import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[3]
PATIENCE_S = 60.0


@dataclass
class Service:
    """One `serve` on a data folder, and what may be asked of it."""

    process: subprocess.Popen[bytes]
    output: Path
    wanted_port: int

    @property
    def said(self) -> str:
        return self.output.read_text()

    @property
    def port(self) -> int:
        """The port it says it took, as soon as it says so."""
        marker = "serves at http://localhost:"
        wait_for(lambda: marker in self.said, self)
        return int(self.said.split(marker)[1].split()[0])

    def part(self, words: str) -> int | None:
        """The process id of the part whose command line holds these words."""
        return next((pid for pid in children(self.process.pid) if words in command_line(pid)), None)

    def status_of(self, path: str) -> int | None:
        """The status a visitor gets; None when nothing answers."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=10)
        try:
            connection.request("GET", path)
            return connection.getresponse().status
        except OSError:
            return None
        finally:
            connection.close()

    def end(self) -> None:
        """For the end of a test, however it went: the service and both its process groups."""
        groups = children(self.process.pid)
        self.process.kill()
        self.process.wait()
        for group in groups:
            try:
                os.killpg(group, signal.SIGKILL)
            except ProcessLookupError:
                continue


def start(data: Path, port: int) -> Service:
    output = data.parent / f"said-{port}-{time.monotonic_ns()}"
    with output.open("wb") as stream:
        process = subprocess.Popen(
            [sys.executable, "manage.py", "serve", "--address", "127.0.0.1"],
            cwd=ROOT,
            env=environment(data, PORT=str(port)),
            stdout=stream,
            stderr=subprocess.STDOUT,
        )
    return Service(process, output, port)


def manage(data: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """manage.py with these words, to its end."""
    return python(data, "manage.py", *words)


def python(data: Path, *words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(  # noqa: S603 our own command
        [sys.executable, *words],
        cwd=ROOT,
        env=environment(data),
        capture_output=True,
        text=True,
        check=False,
        timeout=PATIENCE_S,
    )


def environment(data: Path, **more: str) -> dict[str, str]:
    ours = {"DATA", "PORT"}
    kept = {name: value for name, value in os.environ.items() if name not in ours and "LEGWORTHY" not in name}
    return {**kept, "DATA": str(data), "PYTHONUNBUFFERED": "1", **more}


def a_free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def children(pid: int) -> list[int]:
    try:
        return [int(word) for word in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]
    except (FileNotFoundError, ProcessLookupError):
        return []


def command_line(pid: int) -> str:
    try:
        return Path(f"/proc/{pid}/cmdline").read_text().replace("\0", " ")
    except (FileNotFoundError, ProcessLookupError):
        return ""


def is_gone(pid: int) -> bool:
    """No such process, or one that has ended and only waits to be noticed."""
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] == "Z"
    except (FileNotFoundError, ProcessLookupError):
        return True


def wait_for(holds: Callable[[], object], service: Service) -> None:
    """Wait until it holds; fail with what the service said when it does not in good time."""
    end = time.monotonic() + PATIENCE_S
    while not holds():
        assert time.monotonic() < end, f"waited in vain; the service said:\n{service.said}"
        time.sleep(0.1)
