"""Django's command line for Legworthy."""

import os
import sys
from importlib.util import find_spec

if __name__ == "__main__":
    if find_spec("django") is None:
        command = " ".join(sys.argv[1:]) or "COMMAND"
        sys.exit(
            f"This Python has none of what Legworthy needs. Run .venv/bin/python manage.py {command}, "
            "or make run first, which sets .venv up."
        )
    from django.core.management import execute_from_command_line

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    execute_from_command_line(sys.argv)
