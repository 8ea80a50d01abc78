"""manage.py verify: is a handover, or the history in the database, as it was written?"""

import json
from argparse import ArgumentParser, RawDescriptionHelpFormatter
from pathlib import Path

from django.core.management.base import CommandError

from vessel.calc.history_chain import Head, Problem
from vessel.errors import BadInput
from vessel.feeds.handover import check_handover
from vessel.management.plain import PlainCommand
from vessel.models import Vessel
from vessel.queries.history import chain_problem, head

EXAMPLE = """
Example:

    manage.py verify tallow-wren.zip
    manage.py verify tallow-wren.zip --head 41:9f2c...   the head you noted for entry 41
    manage.py verify                                     the history in the database

Exit status: 0 whole, 1 not whole (the first bad entry or file is named), 2 not a handover.
It proves that nothing was altered after a head was noted outside; not that what was written is true.
"""


class Command(PlainCommand):
    help = "Checks a handover file, or without a file the history in the database, and names the first bad entry."
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.formatter_class = RawDescriptionHelpFormatter
        parser.epilog = EXAMPLE
        parser.add_argument("file", nargs="?", metavar="FILE.zip", help="a handover; works without a database")
        parser.add_argument("--head", action="append", default=[], metavar="NUMBER:HASH", help="a head noted outside")
        parser.add_argument("--json", action="store_true", help="{whole, number, kind, sentence}")

    def handle(self, *, file: str | None, **options: object) -> None:
        try:
            heads = tuple(_head(text) for text in _texts(options["head"]))
            problem, said = _file(file, heads) if file else _database(heads)
        except BadInput as reason:
            raise CommandError(str(reason), returncode=2) from reason
        if options["json"]:
            answer = problem._asdict() if problem else {"number": None, "kind": None, "sentence": said}
            self.stdout.write(json.dumps({"whole": problem is None, **answer}))
        elif problem is None:
            self.stdout.write(said)
        if problem is not None:
            raise CommandError(f"Not whole. {problem.sentence}", returncode=1)


def _texts(options: object) -> list[str]:
    return [str(option) for option in options] if isinstance(options, list) else []


def _head(text: str) -> Head:
    number, _, noted = text.partition(":")
    if not number.isdecimal() or int(number) < 1 or len(noted) != 64:
        raise BadInput(f"--head {text!r}: write the entry's number, a colon and the 64 signs of its hash.")
    return Head(int(number), noted.lower())


def _file(name: str, heads: tuple[Head, ...]) -> tuple[Problem | None, str]:
    if not Path(name).is_file():
        raise BadInput(f"There is no file {name}.")
    found = check_handover(Path(name), heads)
    if isinstance(found, Problem):
        return found, ""
    said = f"Whole: {found.entries} history entries, {found.files} files. Head: entry {found.head.number}, {found.head.hash}"
    return None, said


def _database(heads: tuple[Head, ...]) -> tuple[Problem | None, str]:
    vessels = list(Vessel.objects.order_by("pk"))
    if heads and len(vessels) > 1:
        raise BadInput("There is more than one vessel, so a noted head cannot be compared here; verify her handover.")
    said = []
    for vessel in vessels:
        if problem := chain_problem(vessel.pk, heads):
            return problem._replace(sentence=f"{vessel.name}: {problem.sentence}"), ""
        newest = head(vessel.pk)
        said.append(
            f"{vessel.name}: whole, {newest.number} entries. Head: {newest.hash}"
            if newest
            else f"{vessel.name}: no history yet."
        )
    return None, "\n".join(said) or "There is no vessel yet."
