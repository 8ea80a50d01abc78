"""The command that holds our tides against the published ones."""

import io
import json
import shutil
from pathlib import Path

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError

from readiness.management.commands.check_tides import COLUMNS, Target, _reached
from tests.factories.tide import MORE, PUBLISHED

KEY = "8720291"


def told(*words: str) -> list[list[str]]:
    """The cells of the table it prints, and its last line."""
    out = io.StringIO()
    call_command("check_tides", *words, stdout=out)
    lines = out.getvalue().strip().splitlines()
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines[2:]]


def test_every_published_tide_that_comes_with_the_tests_is_near_enough() -> None:
    rows = told()

    assert rows[-1] == ["14 of 14 are as near as they should be."]
    assert all(row[-1] == "yes" and len(row) == len(COLUMNS) for row in rows[:-1])
    assert sum(int(row[2]) >= 20 for row in rows[:-1]) >= 11


@pytest.mark.skipif(not MORE.is_dir(), reason="the outside folder is not here")
def test_every_published_tide_of_the_outside_folder_is_near_enough(tmp_path: Path) -> None:
    rows = told(str(MORE), "--write", str(tmp_path / "check.md"))

    assert len(rows) > 15
    assert {row[-1] for row in rows[:-1]} == {"yes"}
    assert f"{len(rows) - 1} of {len(rows) - 1} are as near" in (tmp_path / "check.md").read_text("utf-8")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """One station laid out as the outside folder is, from what comes with the tests."""
    notes = {"name": "Beach", "timezone": "America/New_York", "msl_above_mllw_m": 0.776}
    (tmp_path / f"{KEY}_beach_station.json").write_text(json.dumps(notes), "utf-8")
    shutil.copy(PUBLISHED / "tide_constants_jacksonville_beach.csv", tmp_path / f"{KEY}_beach_harmonics.csv")
    rows = (PUBLISHED / "tide_high_low.csv").read_text("utf-8").splitlines()
    mine = [row.split(",", 1)[1] for row in rows if row.startswith("jacksonville_beach,")]
    sheet = "\n".join(["utc,height_ft,type", *mine])
    (tmp_path / f"{KEY}_beach_hilo.csv").write_text(sheet + "\n", "utf-8")
    return tmp_path


def test_a_folder_of_ones_own_is_checked_the_same(folder: Path) -> None:
    rows = told(str(folder))

    assert [row[0] for row in rows[:-1]] == ["Beach"]
    assert rows[-1] == ["1 of 1 are as near as they should be."]


def test_a_tide_that_is_out_is_said_not_to_be_near_enough(folder: Path) -> None:
    path = folder / f"{KEY}_beach_harmonics.csv"
    path.write_text(path.read_text("utf-8").replace("M2,0.755", "M2,0.855"), "utf-8")

    rows = told(str(folder))

    assert rows[0][-1] == "NO"
    assert rows[-1] == ["0 of 1 are as near as they should be."]


def test_an_event_that_is_not_found_at_all_is_not_near_enough(folder: Path) -> None:
    path = folder / f"{KEY}_beach_hilo.csv"
    first, second, *rest = path.read_text("utf-8").splitlines()
    turned = second[:-1] + ("H" if second.endswith("L") else "L")
    path.write_text("\n".join([first, turned, *rest]) + "\n", "utf-8")

    assert told(str(folder))[0][-1] == "NO"


@pytest.mark.parametrize(
    ("figure", "target", "met"),
    [(0.05, 0.05, True), (0.0501, 0.05, False), (float("nan"), 0.05, False), (None, 0.05, False), (9.0, None, True)],
)
def test_a_target_is_reached_exactly_on_it_and_never_by_what_is_not_known(
    figure: float | None, target: float | None, met: bool
) -> None:
    assert _reached(figure, target) == met


def test_a_target_is_told_in_the_unit_of_the_published_figures() -> None:
    assert Target(0.003, largest_day=0.08).words("ft") == "0.003 ft, 0.08 ft by the day"
    assert Target(0.015, minutes=0.0).words("ft") == "0.015 ft, 0 min"


@pytest.mark.parametrize(
    ("break_it", "sentence"),
    [
        (lambda folder: (folder / f"{KEY}_beach_station.json").unlink(), "There is no station in"),
        (
            lambda folder: (folder / f"{KEY}_beach_harmonics.csv").unlink(),
            "there is no file of constants called 8720291",
        ),
        (lambda folder: (folder / f"{KEY}_beach_hilo.csv").write_text("utc,x\n"), "The columns time_utc and height_m"),
        (lambda folder: (folder / f"{KEY}_beach_station.json").write_text("{"), "The station file is not JSON"),
    ],
    ids=["no station", "no constants", "other columns", "no JSON"],
)
def test_a_folder_that_cannot_be_read_says_why_with_status_2(folder: Path, break_it, sentence: str) -> None:  # type: ignore[no-untyped-def] # noqa: ANN001
    break_it(folder)

    with pytest.raises(CommandError) as refusal:
        call_command("check_tides", str(folder), stdout=io.StringIO())

    assert sentence in str(refusal.value)
    assert refusal.value.returncode == 2
