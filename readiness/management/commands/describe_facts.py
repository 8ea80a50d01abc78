"""`manage.py describe_facts`: writes the JSON Schema of the facts document and the example beside it."""

import json
from argparse import ArgumentParser, RawDescriptionHelpFormatter
from pathlib import Path
from typing import Any

import msgspec
from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.db import connection

from readiness.management.demo.example import example_facts
from readiness.rules.facts import Facts, encode, schema

HELP = """Write docs/facts.schema.json and docs/facts.example.json, the demo's leg at a fixed moment.

  manage.py describe_facts            write both
  manage.py describe_facts --check    write nothing; exit status 1 when one of them is stale

It works in a database of its own that is thrown away: the data folder is not touched."""


class Command(BaseCommand):
    help = HELP
    requires_system_checks: list[str] = []  # noqa: RUF012 Django's own form

    def create_parser(self, prog_name: str, subcommand: str, **kwargs: Any) -> Any:
        """Keeps the lines of the help as they are written."""
        return super().create_parser(prog_name, subcommand, formatter_class=RawDescriptionHelpFormatter, **kwargs)

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--check", action="store_true", help="write nothing, fail when a file is stale")

    def handle(self, *_args: object, check: bool, **_options: object) -> None:
        stale = []
        for path, text in documents(_in_a_database_of_its_own()).items():
            if path.exists() and path.read_text(encoding="utf-8") == text:
                continue
            stale.append(path.name)
            if not check:
                path.write_text(text, encoding="utf-8")
        if check and stale:
            raise CommandError(f"Stale: {', '.join(stale)}. Run manage.py describe_facts and commit what it writes.")
        self.stdout.write(f"Written: {', '.join(stale)}." if stale else "The facts are described as they are.")


def documents(example: Facts) -> dict[Path, str]:
    """Each file and what it must hold."""
    docs = Path(settings.BASE_DIR) / "docs"
    return {
        docs / "facts.schema.json": json.dumps(schema(), indent=2, ensure_ascii=False) + "\n",
        docs / "facts.example.json": _by_part(encode(example)),
    }


def _by_part(document: bytes) -> str:
    """The document with one part a line, so that a change shows where it is."""
    parts = msgspec.json.decode(document)
    lines = (f"{json.dumps(name)}: {msgspec.json.encode(part).decode()}" for name, part in parts.items())
    return "{\n" + ",\n".join(lines) + "\n}\n"


def _in_a_database_of_its_own() -> Facts:
    """The example, made in a database that is made and thrown away beside the real one."""
    real = str(connection.settings_dict["NAME"])
    connection.creation.create_test_db(verbosity=0, autoclobber=True, serialize=False)
    try:
        return example_facts()
    finally:
        connection.creation.destroy_test_db(real, verbosity=0)
