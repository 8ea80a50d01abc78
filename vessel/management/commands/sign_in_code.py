"""manage.py sign_in_code: prints a one-time code for the first set-up or a lost password."""

from django.core.management.base import BaseCommand
from django.utils import timezone

from vessel.actions.setup_code import new_code


class Command(BaseCommand):
    help = (
        "Prints a one-time code for the page /set-up/: it sets an owner's password, or makes the first vessel and"
        " owner. It works once and for 30 minutes. Example: manage.py sign_in_code"
    )

    def handle(self, **_: object) -> None:
        self.stdout.write(f"One-time code, good for 30 minutes: {new_code(at=timezone.now())}")
        self.stdout.write("Type it on the page /set-up/ of your Legworthy.")
