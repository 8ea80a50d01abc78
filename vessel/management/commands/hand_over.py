"""manage.py hand_over: the pack for a future owner, as one zip file."""

from argparse import ArgumentParser, RawDescriptionHelpFormatter
from pathlib import Path

from django.core.management.base import CommandError
from django.utils import timezone

from vessel.actions.handover import build_handover
from vessel.errors import BadInput, Refused
from vessel.management.plain import PlainCommand
from vessel.models import Vessel

EXAMPLE = """
Example:

    manage.py hand_over --to tallow-wren.zip
    manage.py verify tallow-wren.zip

Names, contacts, health, rest, prices and photos stay behind. Note the head it prints where somebody else keeps it.
"""


class Command(PlainCommand):
    help = "Writes the handover of a vessel: plain files, a page to read, and her whole history as a chain."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.formatter_class = RawDescriptionHelpFormatter
        parser.epilog = EXAMPLE
        parser.add_argument("--to", metavar="FILE.zip", required=True, help="file to write; it must not exist yet")
        parser.add_argument("--vessel", metavar="NAME", help="which vessel, where there is more than one")

    def handle(self, *, to: str, vessel: str | None, **_: object) -> None:
        try:
            place = free_place(to)
            pack = build_handover(vessel_id=vessel_called(vessel).pk, by="command line", at=timezone.now())
            write_new(place, pack.data)
        except Refused as reason:
            raise CommandError(str(reason), returncode=2) from reason
        self.stdout.write(f"Written: {to}, {len(pack.data) / 1000:,.0f} kB.")
        self.stdout.write(f"Head of the history to note outside: entry {pack.head.number}, {pack.head.hash}")


def vessel_called(name: str | None) -> Vessel:
    """The vessel of this name, or the only one there is. Raises BadInput."""
    found = list(Vessel.objects.filter(name=name) if name else Vessel.objects.all()[:2])
    if len(found) == 1:
        return found[0]
    if name:
        raise BadInput(f"There is no one vessel called {name}." if not found else f"Two vessels are called {name}.")
    raise BadInput("There is no vessel yet." if not found else "There is more than one vessel; name one with --vessel.")


def free_place(name: str) -> Path:
    """A file that does not exist yet in a folder that does. Raises BadInput."""
    place = Path(name)
    if place.exists():
        raise BadInput(f"{name} exists already and was kept; choose another name.")
    if not place.parent.is_dir():
        raise BadInput(f"There is no folder {place.parent}.")
    return place


def write_new(place: Path, data: bytes) -> None:
    """The whole file or none. Raises BadInput where it cannot be written."""
    try:
        with place.open("xb") as file:
            file.write(data)
    except OSError as error:
        place.unlink(missing_ok=True)
        raise BadInput(f"{place} could not be written: {error.strerror}.") from error
