"""A command whose refusals are sentences: on the shell they stand alone, without the name of an exception before them."""

import sys
from typing import Any

from django.core.management.base import BaseCommand, CommandError


class PlainCommand(BaseCommand):
    """Asked on the shell it prints why it was refused and ends with the refusal's status; called, it raises."""

    def execute(self, *args: Any, **options: Any) -> str | None:
        try:
            return super().execute(*args, **options)
        except CommandError as reason:
            on_the_shell = getattr(self, "_called_from_command_line", False)  # Django's own mark
            if not on_the_shell or options.get("traceback"):
                raise
            self.stderr.write(str(reason))
            sys.exit(reason.returncode)
