"""`manage.py load_demo`: an invented boat on an invented coast, with everything dated from now."""

from argparse import ArgumentParser, RawDescriptionHelpFormatter
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.core.management.base import BaseCommand
from django.utils import timezone

from readiness.management.demo.load import OWNER, Loaded, demo_is_there, load_demo, take_demo_away
from readiness.management.demo.moment import ZONE, DemoMoment
from readiness.models import OutlookWord, VerdictWord

HELP = """Load the demo: Tallow Wren, her people and the Ostrel coast, all invented.

  manage.py load_demo            load it; when it is there already, nothing is done
  manage.py load_demo --again    throw it away and load it afresh, after asking

What it makes, and how the demo's leg stands this evening, tomorrow and the day after, is printed."""


class Command(BaseCommand):
    help = HELP

    def create_parser(self, prog_name: str, subcommand: str, **kwargs: Any) -> Any:
        """Keeps the lines of the help as they are written."""
        return super().create_parser(prog_name, subcommand, formatter_class=RawDescriptionHelpFormatter, **kwargs)

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--again", action="store_true", help="throw the demo away first and load it afresh")
        parser.add_argument("--yes", action="store_true", help="with --again: do not ask")

    def handle(self, *_args: object, again: bool, yes: bool, **_options: object) -> None:
        if demo_is_there():
            if not again:
                self.stdout.write("The demo is loaded already; nothing was done. Use --again to start it afresh.")
                return
            if not (yes or _confirmed()):
                self.stdout.write("Nothing was done.")
                return
            take_demo_away()
        loaded = load_demo(DemoMoment(timezone.now()))
        self.stdout.write("\n".join(_told(loaded)))


def _confirmed() -> bool:
    return input("Everything of the demo's boat is thrown away, changes too. Type yes to go on: ").strip() == "yes"


def _told(loaded: Loaded) -> list[str]:
    made = ", ".join(f"{count} {name}" for name, count in loaded.counts().items())
    moment, verdict = loaded.moment, loaded.verdict
    return [
        f"Demo loaded: {loaded.vessel.name}, {made}.",
        f"{loaded.leg.name}, planned {_local(moment.planned)}: {verdict.get_word_display().upper()}. {verdict.sentence}",
        *(
            f"  {name}, {_local(at)}: {_at(loaded, at)}"
            for name, at in (
                ("in the blow", moment.evening), ("as planned", moment.planned), ("a day later", moment.next_day),
            )
        ),
        f"Her owner signs in as “{OWNER}”.",
    ]  # fmt: skip


def _local(at: datetime) -> str:
    return f"{at.astimezone(ZoneInfo(ZONE)):%a %d %b %H:%M}"


def _at(loaded: Loaded, at: datetime) -> str:
    """Verdict and outlook of the departure nearest to a moment, and what decides."""
    strip = loaded.verdict.departures
    place = round((at - datetime.fromisoformat(strip["first"])).total_seconds() / strip["every_s"])
    word = VerdictWord.labels[strip["verdict"][place]]
    outlook = OutlookWord.labels[strip["outlook"][place]]
    rule = strip["causes"][strip["deciding"][place]][0]
    return f"{word}, outlook {outlook}" + (f" ({rule.replace('_', ' ')})" if strip["verdict"][place] else "")
