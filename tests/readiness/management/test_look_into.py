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

from tests.readiness.feeds.samples import grib, message

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
        f"friday.csv: forecast table, {len(FORECAST)} bytes; 2 times, 1 place.",
        "Area: 50.100° N to 50.100° N, 4.200° W to 4.200° W.",
        "Times: 2027-05-14 18:00 UTC to 2027-05-14 19:00 UTC.",
        "Issued: 2027-05-14 16:00 UTC.",
        "Units: wave_height_m in m, wind_east_mps in m/s, wind_north_mps in m/s.",
        "  wave height: 0 values known, in m",
        "  wind from the west: 2 values known, in m/s",
        "  wind from the south: 2 values known, in m/s",
        "Note: Outside 0 to 30 m, so not known: 1 value of wave height.",
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


def test_units_are_said_as_people_write_them_and_one_of_a_thing_has_no_s(tmp_path: Path) -> None:
    file = tmp_path / "wind.grb"
    file.write_bytes(grib(message("10u", lambda *_: 3.0), message("10v", lambda *_: 4.0)))

    said = looked(str(file))

    assert "; 2 fields, 1 time." in said
    assert ": 1 field, in m/s" in said
    assert "**" not in said


@pytest.mark.parametrize(
    ("content", "lines"),
    [
        (
            "time_utc,height_m\n2027-05-15T00:00Z,1.2\n2027-05-15T01:00Z,\n2027-05-15T02:00Z,2.1\n",
            ["observed heights", "; 3 rows, 2 heights.", "Times: 2027-05-15 00:00 UTC to 2027-05-15 02:00 UTC."],
        ),
        (
            "water,time_min,height_ratio\nH,+71,0.55\nL,+113,0.53\n",
            ["differences of a secondary port", "; 4 figures.", "high water: 2 figures", "low water: 2 figures",
             "a ratio of heights", "does not name the port"],
        ),
        (
            '{"form": "single", "high_s": 300, "low_s": 600, "high_m": -0.1, "low_m": null}',
            ["differences of a secondary port", "; 3 figures.", "high water: 2 figures", "low water: 1 figure\n"],
        ),
        (
            "water,clock_utc,time_min,reference_m,height_m\nH,00:00,+35,,\nH,06:00,+23,,\nH,,,4.2,+0.3\nL,,+10,,-0.1\n",
            ["; 5 figures.", "high water: 3 figures", "low water: 2 figures"],
        ),
    ],
)  # fmt: skip
def test_it_knows_every_kind_of_tide_file_that_a_tide_is_told_from(
    tmp_path: Path, content: str, lines: list[str]
) -> None:
    file = tmp_path / "it.csv"
    file.write_text(content)

    said = looked(str(file))

    assert [line for line in lines if line not in said] == []


def test_a_type_of_tide_that_is_not_known_is_left_out(tmp_path: Path) -> None:
    whole, half = tmp_path / "whole.csv", tmp_path / "half.csv"
    whole.write_text("constituent,amplitude_m,phase_utc_deg\nM2,1,0\nS2,0.4,0\nK1,0.1,0\nO1,0.1,0\n")
    half.write_text("constituent,amplitude_m,phase_utc_deg\nM4,0.1,0\n")

    assert "type of tide F 0.14" in looked(str(whole))
    assert "type of tide" not in looked(str(half))
    assert "nan" not in looked(str(half))


def test_a_length_and_missing_values_are_said(tmp_path: Path) -> None:
    file = tmp_path / "a.gpx"
    file.write_text('<gpx version="1.1"><rte><rtept lat="0" lon="0"/><rtept lat="0" lon="1"/></rte></gpx>')

    assert "  route without a name: 2 points, 60.11 nmi" in looked(str(file))


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
    assert refused.stderr.startswith(f"{HOME} was not read")
    assert "manage.py look_into friday.csv" in helped.stdout
    assert not list(data.glob("*.sqlite3*"))
