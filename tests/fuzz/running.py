"""Feeding damaged inputs to a reader and watching: what it refuses, how long it takes, how much memory, what breaks it."""

import re
import resource
import signal
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from importlib import import_module
from pathlib import Path
from types import FrameType

from tests.fuzz.mutator import mutated
from tests.fuzz.targets import TARGETS, Read, Target
from tests.habits.source import ROOT
from vessel.errors import Refused
from vessel.feeds.limited import ENDS
from vessel.feeds.limited_child import bound

SEEDS_APART = 1_000_003
LONGEST_S = 2.0
LONGEST_SENTENCE = 700
MEMORY_BYTES, WORK_S = 280_000_000, 600  # of a process that reads many files, one after another
SAVED = ROOT / "build" / "fuzz"
BY_NAME = {target.name: target for target in TARGETS}


@dataclass(slots=True)
class Report:
    """What came of it."""

    target: str
    executions: int = 0
    taken: int = 0
    worst_s: float = 0.0
    worst_number: int = 0
    peak_mb: float = 0.0
    refused: Counter[str] = field(default_factory=Counter)
    deaths: Counter[str] = field(default_factory=Counter)
    failures: dict[int, str] = field(default_factory=dict)  # by the number of the input

    def line(self) -> str:
        """The report on one line."""
        return (
            f"{self.target:17} {self.executions:9,} run {self.taken:8,} taken {sum(self.refused.values()):8,} refused in"
            f" {len(self.refused):3} ways, {sum(self.deaths.values()):4} deaths, worst {self.worst_s * 1000:6.0f} ms"
            f" (number {self.worst_number}), {self.peak_mb:4.0f} MB, {len(self.failures)} FAILURES"
        )


class TooSlowError(Exception):
    """One input took longer than it may."""


def run(target: Target, *, seed: int, until: float, most: int, start: int = 0) -> Report:
    """Inputs from `start` on until the time (monotonic) or the number is reached."""
    if target.may_die:
        return _run_apart(target, seed=seed, until=until, most=most)
    report = Report(target.name)
    read, seeds = _reader(target), target.seeds()
    with alarm():
        for number in range(start, most):
            if time.monotonic() > until:
                break
            one(report, read, mutated(seeds, seed * SEEDS_APART + number), number)
    report.peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000
    return report


def one(report: Report, read: Read, data: bytes, number: int) -> None:
    began = time.process_time()
    signal.setitimer(signal.ITIMER_PROF, LONGEST_S)
    try:
        read(data)
        report.taken += 1
    except Refused as refusal:
        sentence = str(refusal)
        report.refused[_way(sentence)] += 1
        if not sentence.strip() or len(sentence) > LONGEST_SENTENCE or re.search(r"[\x00-\x1f]", sentence):
            report.failures[number] = f"a sentence nobody can read aloud: {sentence[:80]!r}"
    except (Exception, RecursionError) as error:  # noqa: BLE001, RUF100  whatever it is, it is a fault
        report.failures[number] = f"{type(error).__name__}: {str(error)[:120]}"
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
    took = time.process_time() - began
    report.executions += 1
    if took > report.worst_s:
        report.worst_s, report.worst_number = took, number


def keep(data: bytes, target: Target, number: int) -> Path:
    """The input saved, so that it can be tried again."""
    SAVED.mkdir(parents=True, exist_ok=True)
    place = SAVED / f"{target.name}-{number}"
    place.write_bytes(data)
    return place.relative_to(ROOT)


def _way(sentence: str) -> str:
    """A refusal without what differs from file to file."""
    plain = re.sub(r"'.*'|\".*\"|“.*”|`.*`|-?\d[\d,.]*", "…", sentence)
    return " ".join(plain.split()[:8])


@contextmanager
def alarm() -> Iterator[None]:
    def ring(_signal: int, _frame: FrameType | None) -> None:
        raise TooSlowError(f"longer than {LONGEST_S:g} s")

    before = signal.signal(signal.SIGPROF, ring)
    try:
        yield
    finally:
        signal.signal(signal.SIGPROF, before)


def _reader(target: Target) -> Read:
    if not isinstance(target.read, str):
        return target.read
    module, _, name = target.read.rpartition(".")
    read: Read = getattr(import_module(module), name)
    return read


def _run_apart(target: Target, *, seed: int, until: float, most: int) -> Report:
    """In a bounded process that is started again behind the input that killed it. A death is no failure: it is what the
    limited process is for."""
    report, number = Report(target.name), 0
    while number < most and time.monotonic() < until:
        left = max(until - time.monotonic(), 0.1)
        done = subprocess.run(  # noqa: S603  our own module
            [sys.executable, "-m", "tests.fuzz.running", target.name, str(seed), str(number), str(most), str(left)],
            capture_output=True, text=True, check=False, cwd=ROOT, timeout=left + 120,
        )  # fmt: skip
        number = _add(report, done.stdout, number)
        if done.returncode:
            report.deaths[ENDS.get(done.returncode, f"status {done.returncode}: {done.stderr[-300:]}")] += 1
            report.executions += 1
            number += 1
        else:
            break
    return report


def _add(report: Report, told: str, number: int) -> int:
    """One line an input: number, time, memory, how it went. The number to go on with."""
    for line in told.splitlines():
        parts = line.split("\t")
        if len(parts) != 5:
            break
        number = int(parts[0]) + 1
        report.executions += 1
        report.peak_mb = max(report.peak_mb, float(parts[2]))
        if float(parts[1]) > report.worst_s:
            report.worst_s, report.worst_number = float(parts[1]), int(parts[0])
        if parts[3] == "taken":
            report.taken += 1
        elif parts[3] == "refused":
            report.refused[parts[4]] += 1
        else:
            report.failures[int(parts[0])] = parts[4]
    return number


def _child(name: str, seed: int, start: int, most: int, left: float) -> None:
    target = BY_NAME[name]
    read, seeds, until = _reader(target), target.seeds(), time.monotonic() + left
    bound(MEMORY_BYTES if name != "picture" else 1 << 30, WORK_S)
    with alarm():
        for number in range(start, most):
            if time.monotonic() > until:
                break
            report = Report(name)
            # a decoder that loops in its own code hears no alarm; this it cannot but hear
            resource.setrlimit(resource.RLIMIT_CPU, (int(time.process_time() + LONGEST_S) + 1, WORK_S))
            one(report, read, mutated(seeds, seed * SEEDS_APART + number), number)
            how, words = ("taken", "") if report.taken else ("refused", next(iter(report.refused), ""))
            if report.failures:
                how, words = "failed", report.failures[number]
            sys.stdout.write(f"{number}\t{report.worst_s}\t{_peak_mb()}\t{how}\t{' '.join(words.split())}\n")
            sys.stdout.flush()


def _peak_mb() -> float:
    status = Path("/proc/self/status").read_text(encoding="ascii")
    return int(status.split("VmHWM:")[1].split()[0]) / 1000


if __name__ == "__main__":
    _child(sys.argv[1], int(sys.argv[2]), int(sys.argv[3]), int(sys.argv[4]), float(sys.argv[5]))
