"""Work, time and memory of the limited process on every file made to do harm: `python -m tests.fuzz.measure`."""

import resource
import subprocess
import sys
import threading
import time
from pathlib import Path
from typing import Any

from tests.readiness.feeds.hostile import HOSTILE
from tests.readiness.feeds.test_hostile import take
from vessel.errors import BadInput


class Watched(subprocess.Popen[Any]):
    """A process whose greatest memory is read off the system while it runs."""

    peak_mb = 0.0

    def __init__(self, *arguments: Any, **named: Any) -> None:
        super().__init__(*arguments, **named)
        threading.Thread(target=self._watch, daemon=True).start()

    def _watch(self) -> None:
        place = Path(f"/proc/{self.pid}/status")
        while self.returncode is None:
            try:
                Watched.peak_mb = max(Watched.peak_mb, _high_water_mb(place.read_text(encoding="ascii")))
            except (OSError, IndexError):
                return
            time.sleep(0.002)


def _high_water_mb(status: str) -> float:
    return int(status.split("VmHWM:")[1].split(maxsplit=1)[0]) / 1000


def main() -> None:
    """One line a file, the hardest first."""
    lines = []
    subprocess.Popen = Watched  # type: ignore[misc]
    for case in HOSTILE:
        case.make()  # what is made once is kept; making it is not what is measured
        Watched.peak_mb, began, worked = 0.0, time.monotonic(), _work_s()
        try:
            take(case)
            said = "taken"
        except BadInput as refusal:
            said = str(refusal)
        took = time.monotonic() - began
        lines.append((_work_s() - worked, took, Watched.peak_mb, f"{case.kind}: {case.name}", said))
    for work_s, took, peak_mb, name, said in sorted(lines, reverse=True):
        sys.stdout.write(f"{work_s:5.2f} s of work {took:5.2f} s {peak_mb:4.0f} MB  {name:45} {said[:110]}\n")


def _work_s() -> float:
    """Seconds of work of all processes started and ended so far."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


if __name__ == "__main__":
    main()
