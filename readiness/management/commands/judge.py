"""manage.py judge: the verdict on a leg, from the database, from a facts file, or again from a saved verdict."""

import json
import sys
from argparse import ArgumentParser, RawDescriptionHelpFormatter
from pathlib import Path

import numpy as np
from django.core.management.base import BaseCommand
from django.utils import timezone

from readiness.models import Leg, Verdict
from readiness.queries.facts import facts_for
from readiness.rules.departure import departure_index
from readiness.rules.engine import ENGINE_VERSION, Judged, judge
from readiness.rules.facts import Facts, decode
from readiness.rules.judgement import Verdict as Word
from readiness.rules.report import as_data, as_text
from vessel.errors import BadInput

EXIT_STATUS = {Word.GO: 0, Word.GO_IF: 10, Word.CANNOT_SAY_YET: 11, Word.NO_GO: 12}
BAD_INPUT = 2
LARGEST_FILE = 20_000_000  # bytes
EXAMPLE = """
Examples

    manage.py judge ostrel-haven-to-morrowick-basin
    manage.py judge ostrel-haven-to-morrowick-basin --departure 2027-05-15T06:30Z
    manage.py judge facts.json --json          (a facts file, no database needed)
    manage.py judge --replay 12                (a saved verdict on the very facts it was judged on)

Exit status: 0 go, 10 go if, 11 cannot say yet, 12 no-go, 2 bad input.
"""


class Command(BaseCommand):
    help = "Judges a leg for every departure of the coming ten days and tells one of them in words."
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.formatter_class = RawDescriptionHelpFormatter
        parser.epilog = EXAMPLE
        parser.add_argument("leg", nargs="?", help="key or number of a leg, or a facts file ending in .json")
        parser.add_argument("--replay", type=int, metavar="ID", help="judge a saved verdict again on its own facts")
        parser.add_argument("--departure", metavar="TIME", help="the departure to tell, with its zone; else as planned")
        parser.add_argument("--json", action="store_true", help="print plain data instead of words")

    def handle(self, *_args: str, **options: object) -> None:
        try:
            index, judged = self._judged(options)
        except BadInput as reason:
            self.stderr.write(str(reason))
            sys.exit(BAD_INPUT)
        told = json.dumps(as_data(judged, index), indent=1) if options["json"] else as_text(judged, index)
        self.stdout.write(told)
        sys.exit(EXIT_STATUS[Word(int(judged.verdict[index]))])

    def _judged(self, options: dict[str, object]) -> tuple[int, Judged]:
        if (options["leg"] is None) == (options["replay"] is None):
            raise BadInput("Name a leg or a facts file, or give --replay and the number of a saved verdict.")
        if options["replay"] is not None:
            return self._replayed(int(str(options["replay"])), options["departure"])
        name = str(options["leg"])
        facts = facts_in_file(Path(name)) if name.endswith(".json") else facts_of_leg(name)
        judged = judge(facts)
        return departure_index(judged, options["departure"], facts.leg.planned_at.timestamp()), judged

    def _replayed(self, number: int, departure: object) -> tuple[int, Judged]:
        verdict = Verdict.objects.filter(pk=number).first()
        if verdict is None:
            raise BadInput(f"No verdict number {number} is saved. The leg's page lists those that are.")
        judged = judge(decode(verdict.facts_document))
        index = departure_index(judged, departure, verdict.departure_at.timestamp())
        for line in differences(verdict, judged):
            self.stderr.write(line)
        return index, judged


def differences(verdict: Verdict, judged: Judged) -> list[str]:
    """What a replay says otherwise than the saved verdict; empty when it is the same."""
    lines = []
    if verdict.engine_version != ENGINE_VERSION or verdict.numpy_version != np.__version__:
        lines.append(
            f"Judged first by engine {verdict.engine_version} (numpy {verdict.numpy_version}), "
            f"now by engine {ENGINE_VERSION} (numpy {np.__version__})."
        )
    for name, again in (("verdict", judged.verdict), ("outlook", judged.outlook)):
        then, now = verdict.departures.get(name, []), [int(value) for value in again]
        changed = [place for place, (old, new) in enumerate(zip(then, now, strict=False)) if old != new]
        if changed or len(then) != len(now):
            lines.append(f"The {name} differs at {len(changed)} of {len(now)} departures.")
    return lines


def facts_in_file(path: Path) -> Facts:
    """The facts of a file. Raises BadInput."""
    if not path.is_file():
        raise BadInput(f"{path} is not a file. Give a facts file, or the key of a leg.")
    if path.stat().st_size > LARGEST_FILE:
        raise BadInput(f"{path} is larger than {LARGEST_FILE:,} bytes: not a facts file. Nothing was judged.")
    return decode(path.read_bytes())


def facts_of_leg(name: str) -> Facts:
    """The facts of a leg in the database, by key or number, as they stand now. Raises BadInput."""
    wanted = Leg.objects.filter(pk=int(name)) if name.isdecimal() else Leg.objects.filter(key=name)
    found = list(wanted.values_list("pk", flat=True)[:2])
    if not found:
        known = ", ".join(Leg.objects.order_by("planned_at").values_list("key", flat=True)[:5])
        raise BadInput(f"No leg is called {name}. Known are: {known or 'none yet'}.")
    if len(found) > 1:
        raise BadInput(f"More than one vessel has a leg called {name}: give its number.")
    return facts_for(leg_id=found[0], at=timezone.now())
