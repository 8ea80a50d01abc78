"""Every rule on the sweep against the bare sweep; one leg judged from a database of a boat with a long past."""

import os
import subprocess
import sys
import tempfile
from time import process_time

from readiness.rules.engine import judge
from readiness.rules.under_way import passage_of
from tests.benchmarks.row import Row, quickest
from tests.benchmarks.sweep import all_at_once
from tests.benchmarks.sweep_case import Case
from tests.factories.worked_example import worked_example
from vessel.management.memory import MEMORY_KEPT

DEPARTURES = 960
IN_A_CHILD = "import django; django.setup(); from tests.benchmarks.{}; print({})"


def run() -> list[Row]:
    """All rows of this benchmark."""
    return [*_rules(), *_from_database()]


def ratios() -> tuple[float, float]:
    """Judging and its passage, as multiples of the bare sweep, all of one thread and in its own time."""
    case = Case()
    bare = quickest(lambda: all_at_once(case), 20, process_time)
    fresh = iter([worked_example(DEPARTURES) for _ in range(12)])  # states of facts seen before are kept
    with_rules = quickest(lambda: judge(next(fresh)), 12, process_time)
    facts = worked_example(DEPARTURES)
    passage = quickest(lambda: passage_of(facts), 12, process_time)
    return with_rules / bare, passage / bare


def _rules() -> list[Row]:
    """In a child process, which keeps freed memory as the served ones do."""
    with_rules, passage = _told(IN_A_CHILD.format("judge import ratios", "*ratios()"), MEMORY_KEPT)
    return [
        Row("every rule for 960 departures", with_rules, "x the bare sweep (CPU time)", "<= 10", with_rules <= 10),
        Row("of it the passage", passage, "x the bare sweep (CPU time)", "none", met=True),
    ]


def _from_database() -> list[Row]:
    """In a child process on a database of its own, made afresh and thrown away."""
    with tempfile.TemporaryDirectory() as folder:
        child = IN_A_CHILD.format("long_past import measured", "*measured()")
        seconds, queries, before = _told(child, {**MEMORY_KEPT, "DATA": folder})
    return [
        Row("one leg judged from the database, long past", seconds, "s", "<= 0.5", seconds <= 0.5),
        Row("queries of it", queries, "queries", "<= 20, as many as without the past", before == queries <= 20),
    ]


def _told(program: str, place: dict[str, str]) -> list[float]:
    """The figures that a child process prints last."""
    surroundings = {**os.environ, "DJANGO_SETTINGS_MODULE": "config.settings", **place}
    command = [sys.executable, "-c", program]
    done = subprocess.run(command, env=surroundings, capture_output=True, text=True, check=True)  # noqa: S603
    return [float(figure) for figure in done.stdout.strip().splitlines()[-1].split()]
