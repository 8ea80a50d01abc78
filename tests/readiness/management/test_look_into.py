"""manage.py look_into: words for people, JSON for programs, one sentence and status 2 for anything else."""

import json
import os
import subprocess
import sys
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError

HOME = Path(__file__).resolve().parents[3]
FORECAST = """# issued 2027-05-14T16:00Z
time_utc,latitude,longitude,wind_kn,wind_from_deg,wave_height_m,mood
2027-05-14T18:00Z,50.1,-4.2,14,230,99,fair
2027-05-14T19:00Z,50.1,-4.2,15,235,,fair
"""


@pytest.fixture
def friday(tmp_path: Path) -> Path:
    file = tmp_path / "friday.csv"
    file.write_text(FORECAST)
    return file


def looked(*arguments: str) -> str:
    out = StringIO()
    call_command("look_into", *arguments, stdout=out)
    return out.getvalue()


def test_it_says_in_words_what_a_forecast_holds(friday: Path) -> None:
    assert looked(str(friday)).splitlines() == [
        f"friday.csv: forecast table, {len(FORECAST)} bytes; times 2, places 1.",
        "Area: 50.100° N to 50.100° N, 4.200° W to 4.200° W.",
        "Times: 2027-05-14 18:00 UTC to 2027-05-14 19:00 UTC.",
        "Issued: 2027-05-14 16:00 UTC.",
        "Units: wave_height_m in m, wind_east_mps in m/s, wind_north_mps in m/s.",
        "  wave height: values known 0, in m",
        "  wind from the west: values known 2, in m/s",
        "  wind from the south: values known 2, in m/s",
        "Note: 1 value(s) of wave height are outside 0 to 30 m and count as not known.",
        "Not used: mood.",
    ]


def test_it_gives_programs_json_with_null_for_what_is_not_known(friday: Path, tmp_path: Path) -> None:
    friday_json = json.loads(looked(str(friday), "--json"))
    route = tmp_path / "a.gpx"
    route.write_text('<gpx version="1.1"><wpt lat="1" lon="2"/></gpx>')

    assert friday_json["issued_at"] == "2027-05-14T16:00:00Z"
    assert friday_json["extent"] == {"south": 50.1, "west": -4.2, "north": 50.1, "east": -4.2}
    assert friday_json["ignored"] == ["mood"]
    assert friday_json["parts"][1]["length_m"] is None
    assert json.loads(looked(str(route), "--json"))["first_at"] is None


def test_an_issue_time_that_is_not_given_is_said_to_be_not_known(tmp_path: Path) -> None:
    file = tmp_path / "old.csv"
    file.write_text(FORECAST.partition("\n")[2])

    assert "Issued: not known." in looked(str(file))


def test_an_area_round_the_globe_and_one_across_the_date_line_are_said(tmp_path: Path) -> None:
    file = tmp_path / "world.csv"
    for lons, words in (
        (range(0, 360, 5), "0.000° N to 10.000° N, all round the globe"),
        ((179, 181), "0.000° N to 10.000° N, 179.000° E to 179.000° W"),
    ):
        rows = [f"2027-05-14T18:00Z,{lat},{lon},5" for lat in (0, 10) for lon in lons]
        file.write_text("time_utc,latitude,longitude,sea_c\n" + "\n".join(rows))

        assert f"Area: {words}." in looked(str(file))


def test_a_length_and_missing_values_are_said(tmp_path: Path) -> None:
    file = tmp_path / "a.gpx"
    file.write_text('<gpx version="1.1"><rte><rtept lat="0" lon="0"/><rtept lat="0" lon="1"/></rte></gpx>')

    assert "  route without a name: points 2, 60.11 nmi" in looked(str(file))


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (
            b"hello",
            "Line 1: The columns constituent, amplitude_m and phase_utc_deg (constants); time_utc, height_m and",
        ),
        (b"", "it.x is empty."),
        (b"\x89PNG\r\n\x1a\n\0\0", "it.x is not a file that can be read here"),
    ],
)
def test_anything_else_gets_one_sentence_and_status_2(tmp_path: Path, content: bytes, sentence: str) -> None:
    file = tmp_path / "it.x"
    file.write_bytes(content)

    with pytest.raises(CommandError) as refusal:
        looked(str(file))

    assert refusal.value.returncode == 2
    assert str(refusal.value).startswith(sentence)


def test_a_file_that_cannot_be_opened_is_named(tmp_path: Path) -> None:
    for missing, why in (
        (tmp_path / "nowhere", "No such file"),
        (tmp_path, "Is a directory"),
        ("a\0b", "cannot be opened"),
    ):
        with pytest.raises(CommandError, match=f"was not read: .*{why}") as refusal:
            looked(str(missing))

        assert refusal.value.returncode == 2


def test_it_works_from_the_command_line_without_a_database(friday: Path, tmp_path: Path) -> None:
    data = tmp_path / "data"
    data.mkdir(mode=0o700)
    command = [sys.executable, "manage.py", "look_into"]
    run = {"capture_output": True, "text": True, "check": False, "cwd": HOME, "env": {**os.environ, "DATA": str(data)}}

    seen = subprocess.run([*command, str(friday), "--json"], **run)  # type: ignore[call-overload]  # noqa: S603, PLW1510
    refused = subprocess.run([*command, str(HOME)], **run)  # type: ignore[call-overload]  # noqa: S603, PLW1510
    helped = subprocess.run([*command, "--help"], **run)  # type: ignore[call-overload]  # noqa: S603, PLW1510

    assert json.loads(seen.stdout)["kind"] == "forecast table"
    assert (seen.returncode, refused.returncode, helped.returncode) == (0, 2, 0)
    assert len(refused.stderr.strip().splitlines()) == 1
    assert "manage.py look_into friday.csv" in helped.stdout
    assert not list(data.glob("*.sqlite3*"))
