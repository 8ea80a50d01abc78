"""python -m tests.benchmarks [NAME...]: every benchmark, one line a row: name, figure, unit, target, met or not.

Ends with 1 when a target is missed, so that a slower program does not go unnoticed.
"""

import os
import sys
from collections.abc import Iterator
from importlib import import_module

import django

from tests.benchmarks.row import Row

BENCHMARKS = ("judge", "members", "sweep", "tide")


def benchmarks(asked_for: list[str]) -> list[str]:
    """The names of the benchmarks there are, or of those asked for."""
    if unknown := set(asked_for) - set(BENCHMARKS):
        sys.exit(f"No benchmark is called {', '.join(sorted(unknown))}; there are {', '.join(BENCHMARKS)}.")
    return asked_for or list(BENCHMARKS)


def measured(names: list[str]) -> Iterator[Row]:
    for name in names:
        rows: list[Row] = import_module(f"tests.benchmarks.{name}").run()
        yield from rows


def main() -> int:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    django.setup()
    missed = 0
    for row in measured(benchmarks(sys.argv[1:])):
        missed += not row.met
        print(row, flush=True)
    return min(missed, 1)


if __name__ == "__main__":
    sys.exit(main())
