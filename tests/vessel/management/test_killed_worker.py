import json
import signal
import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.vessel.management.running import manage, python

SCRIPT = "tests/vessel/management/killing_worker.py"
ASK = """
from datetime import UTC, datetime
from vessel.actions.due_work import ask_for
ask_for(task="tests.kill", arguments={arguments}, key={key!r}, at=datetime.now(UTC))
"""


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """A data folder with a database, shared by both tests: each has work of its own key in it."""
    folder = tmp_path_factory.mktemp("killed") / "data"
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("DJANGO_SETTINGS_MODULE", "config.settings")
        patch.setenv("PYTHONPATH", ".")
        made = manage(folder, "migrate", "--verbosity=0")
        assert made.returncode == 0, made.stderr
        yield folder


def ask(data: Path, key: str, *, always: bool) -> Path:
    trace = data / key
    asked = manage(data, "shell", "-c", ASK.format(key=key, arguments={"trace": str(trace), "always": always}))
    assert asked.returncode == 0, asked.stderr
    return trace


def row(data: Path, key: str) -> tuple[str, int, dict[str, object]]:
    with sqlite3.connect(data / "legworthy.sqlite3") as database:
        state, tries, arguments = database.execute(
            "SELECT state, tries, arguments FROM vessel_duework WHERE key = ?", [key]
        ).fetchone()
    return state, tries, json.loads(arguments)


def test_work_whose_worker_was_killed_is_done_after_the_lease_and_once(data: Path) -> None:
    trace = ask(data, "once", always=False)

    killed, too_early, after, nothing_left = (python(data, SCRIPT, minutes) for minutes in ("0", "0", "2", "4"))

    assert killed.returncode == -signal.SIGKILL
    assert too_early.stdout == "nothing due\n", too_early.stderr
    assert after.stdout == "worked\n", after.stderr
    assert nothing_left.stdout == "nothing due\n"
    assert trace.read_text() == "began\nbegan\n"
    assert row(data, "once")[:2] == ("done", 0)


def test_work_that_kills_every_worker_is_given_up_at_the_fifth(data: Path) -> None:
    trace = ask(data, "always", always=True)

    codes = [python(data, SCRIPT, str(minutes)).returncode for minutes in (0, 2, 4, 6, 8, 10)]

    assert codes == [-signal.SIGKILL] * 5 + [0]
    assert trace.read_text() == "began\n" * 5
    assert row(data, "always") == ("given_up", 5, {"trace": str(trace), "always": True})
