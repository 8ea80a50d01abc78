"""What the program loads before it does anything: what is slow to load and seldom wanted waits until it is."""

import os
import subprocess
import sys
from pathlib import Path

HOME = Path(__file__).parents[2]
LOADED = """
import sys
import config.wsgi
from django.core.management import load_command_class
from django.urls import get_resolver
get_resolver().url_patterns
load_command_class("readiness", "tide")
load_command_class("readiness", "judge")
print(*sorted(sys.modules))
"""
ONLY_FOR_SOME_WORK = {"utide", "scipy.stats", "pandas", "matplotlib", "ortools", "eccodes"}


def test_the_program_starts_without_libraries_that_only_some_work_wants() -> None:
    surroundings = {**os.environ, "DJANGO_SETTINGS_MODULE": "config.settings"}

    done = subprocess.run(  # noqa: S603 our own program
        [sys.executable, "-c", LOADED], env=surroundings, capture_output=True, text=True, check=True
    )

    assert "numpy" in done.stdout.split()
    assert not ONLY_FOR_SOME_WORK & set(done.stdout.split())


def test_a_python_without_django_is_told_which_one_to_take() -> None:
    done = subprocess.run(  # noqa: S603 our own program
        [sys.executable, "-I", "-S", str(HOME / "manage.py"), "judge", "7"], capture_output=True, text=True, check=False
    )

    assert done.returncode == 1
    assert "Run .venv/bin/python manage.py judge 7, or make run first" in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1
