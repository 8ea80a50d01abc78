"""Who may import whom, as pyproject.toml says it, checked by the tool that reads it there."""

import subprocess
import sys
from pathlib import Path

from tests.habits.source import ROOT


def test_imports_go_one_way() -> None:
    tool = Path(sys.executable).with_name("lint-imports")

    answer = subprocess.run([tool, "--no-cache"], cwd=ROOT, capture_output=True, text=True, check=False, timeout=300)  # noqa: S603

    assert answer.returncode == 0, answer.stdout + answer.stderr
    assert ", 0 broken." in answer.stdout
