"""The set-up on a computer where something is missing: it says what to install, and leaves nothing half made."""

import shutil
import subprocess
from pathlib import Path

import pytest

from tests.habits.source import ROOT

TOOLS = ("sh", "dirname", "cat", "mkdir", "sha256sum", "rm", "flock")
VENV_WORKS = """
case "$*" in
*version_info*|*import*) exit 0 ;;
"-m venv .venv") mkdir -p .venv/bin && cp "$0" .venv/bin/python ;;
*pip*) echo "laid in $*" >>laid_in; exit $(cat pip_ends_with 2>/dev/null || echo 0) ;;
esac
"""


@pytest.fixture
def checkout(tmp_path: Path) -> Path:
    """A checkout with the set-up and two locks, on a computer with the bare tools and no Python."""
    for folder in (".ci", "bin"):
        (tmp_path / folder).mkdir()
    shutil.copy(ROOT / ".ci/set_up", tmp_path / ".ci/set_up")
    (tmp_path / "requirements.txt").write_text("one==1\n")
    (tmp_path / "requirements-dev.txt").write_text("two==2\n")
    for tool in (*TOOLS, "cp"):
        (tmp_path / "bin" / tool).symlink_to(shutil.which(tool) or "missing")
    return tmp_path


def with_python(checkout: Path, script: str) -> None:
    file = checkout / "bin/python3"
    file.write_text(f"#!{checkout}/bin/sh\n{script}")
    file.chmod(0o755)


def set_up(checkout: Path, what: str = "run") -> subprocess.CompletedProcess[str]:
    return subprocess.run(  # noqa: S603 our own script
        [checkout / "bin/sh", ".ci/set_up", what],
        cwd=checkout,
        env={"PATH": str(checkout / "bin")},
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )


def laid_in(checkout: Path) -> list[str]:
    return [line.split()[-1] for line in (checkout / "laid_in").read_text().splitlines()]


def test_without_python_it_names_the_package(checkout: Path) -> None:
    answer = set_up(checkout)

    assert answer.returncode == 1
    assert "Python is missing. Please run: sudo apt install python3 python3-venv" in answer.stderr


def test_a_python_too_old_or_too_new_is_named(checkout: Path) -> None:
    with_python(checkout, 'case "$*" in *version_info*) exit 1 ;; --version) echo Python 3.9.2 ;; esac')

    answer = set_up(checkout)

    assert answer.returncode == 1
    assert "needs Python 3.11, 3.12 or 3.13; here python3 is Python 3.9.2." in answer.stderr


def test_without_the_venv_package_it_names_it_and_leaves_no_half_made_folder(checkout: Path) -> None:
    with_python(checkout, 'case "$*" in *ensurepip*) exit 1 ;; esac')

    answer = set_up(checkout)

    assert answer.returncode == 1
    assert "Please run: sudo apt install python3-venv, then the same make command again." in answer.stderr
    assert not (checkout / ".venv").exists()


def test_it_lays_in_each_lock_once(checkout: Path) -> None:
    with_python(checkout, VENV_WORKS)

    first, second, third = (set_up(checkout, what) for what in ("run", "run", "test"))

    assert [answer.returncode for answer in (first, second, third)] == [0, 0, 0], first.stderr
    assert laid_in(checkout) == ["requirements.txt", "requirements-dev.txt"]


def test_a_changed_lock_is_laid_in_again(checkout: Path) -> None:
    with_python(checkout, VENV_WORKS)
    set_up(checkout)
    (checkout / "requirements.txt").write_text("one==2\n")

    set_up(checkout)

    assert laid_in(checkout) == ["requirements.txt"] * 2


def test_an_install_that_was_cut_short_is_begun_afresh(checkout: Path) -> None:
    with_python(checkout, VENV_WORKS)
    (checkout / "pip_ends_with").write_text("1")
    cut_short = set_up(checkout)
    (checkout / ".venv/left_over").touch()
    (checkout / "pip_ends_with").write_text("0")

    again = set_up(checkout)

    assert (cut_short.returncode, again.returncode) == (1, 0)
    assert "Run the same make command again: it starts afresh." in cut_short.stderr
    assert not (checkout / ".venv/left_over").exists()
