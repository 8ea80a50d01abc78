import io
import json
from pathlib import Path

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError
from time_machine import travel

from readiness.management.commands.tide import Command
from tests.factories.tide import epoch, published_events, published_harmonics, station_row
from vessel.units import FOOT

CONSTANTS = "constituent,amplitude_m,phase_utc_deg\nM2,1.45,153.2\nS2,0.50,201.7\n"
TABLE = "time_utc,height_m,type\n2027-05-15 07:36,1.60,L\n2027-05-15 13:54,3.64,H\n2027-05-15 20:11,1.52,L\n"
STATION = {"name": "Ostrel Haven", "timezone": "Europe/Oslo", "datum": "chart datum", "mean_level_m": 2.60}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "ostrel.csv").write_text(CONSTANTS, "utf-8")
    (tmp_path / "table.csv").write_text(TABLE, "utf-8")
    (tmp_path / "ostrel.json").write_text(json.dumps(STATION), "utf-8")
    return tmp_path


def asked(folder: Path, file: str, *options: str, station: bool = True) -> tuple[str, str]:
    out, err = io.StringIO(), io.StringIO()
    more = ["--station", str(folder / "ostrel.json")] if station else []
    call_command("tide", str(folder / file), *more, *options, stdout=out, stderr=err)
    return out.getvalue(), err.getvalue()


def test_even_heights_come_as_json_in_utc_with_both_ends(folder: Path) -> None:
    out, err = asked(
        folder, "ostrel.csv", "--start", "2027-05-15T06:00Z", "--end", "2027-05-15T07:00Z", "--every", "30", "--json"
    )

    rows = json.loads(out)
    assert [row["at"] for row in rows] == ["2027-05-15T06:00:00Z", "2027-05-15T06:30:00Z", "2027-05-15T07:00:00Z"]
    assert all(set(row) == {"at", "height_m"} and 0.6 < row["height_m"] < 4.6 for row in rows)
    assert err == ""


def test_high_and_low_waters_come_as_json_and_are_the_published_ones(tmp_path: Path) -> None:
    at, metres, high = published_events("smith_shoal")
    row = station_row("smith_shoal")
    (tmp_path / "ostrel.json").write_text(json.dumps({"msl_above_mllw_m": float(row["mean_level_m"])}), "utf-8")
    harmonics = published_harmonics("smith_shoal")
    lines = zip(harmonics.constituents, harmonics.amplitude_m, harmonics.phase_utc_deg, strict=True)
    text = "constituent,amplitude_m,phase_utc_deg\n" + "".join(f"{n},{a:.3f},{g:.1f}\n" for n, a, g in lines)
    (tmp_path / "smith.csv").write_text(text, "utf-8")
    span = ("--start", "2017-01-20T00:00Z", "--end", "2017-01-22T12:00Z")

    out, _ = asked(tmp_path, "smith.csv", *span, "--high-low", "--factors", "year", "--json")

    wanted = [i for i in range(at.size) if epoch("2017-01-20T00:00Z") <= at[i] <= epoch("2017-01-22T12:00Z")]
    rows = json.loads(out)
    assert len(wanted) >= 8
    assert [found["kind"] for found in rows] == ["high" if high[i] else "low" for i in wanted]
    for found, i in zip(rows, wanted, strict=True):
        assert epoch(found["at"]) == pytest.approx(at[i], abs=60)
        assert found["height_m"] == pytest.approx(metres[i], abs=0.0125 * FOOT)


def test_text_says_datum_unit_zone_and_factors(folder: Path) -> None:
    out, _ = asked(folder, "ostrel.csv", "--start", "2027-05-15", "--end", "2027-05-15T12:00", "--factors", "year")

    assert out.startswith("Ostrel Haven: heights in metres above chart datum. Weather is left out.\n")
    assert "node factors of the middle of the calendar year" in out
    assert "Times in Europe/Oslo, then UTC." in out
    assert " high water" in out
    assert " low water" in out


def test_a_table_is_answered_by_its_events_in_harbour_time_and_utc(folder: Path) -> None:
    out, err = asked(folder, "table.csv", "--start", "2027-05-15T07:00Z", "--end", "2027-05-15T14:00Z")

    assert "Sat 15 May 2027 09:36  07:36Z  1.60 m  low water\n" in out
    assert "Sat 15 May 2027 15:54  13:54Z  3.64 m  high water\n" in out
    assert "1.52" not in out
    assert err.startswith("The figures run from 2027-05-15 07:36 UTC to 2027-05-15 20:11 UTC; outside that")


def test_a_height_that_is_not_known_is_null_and_said_to_be_so(folder: Path) -> None:
    span = ("--start", "2027-05-15T07:00Z", "--end", "2027-05-15T08:00Z", "--every", "60")

    as_json, _ = asked(folder, "table.csv", *span, "--json")
    as_text, _ = asked(folder, "table.csv", *span)

    assert json.loads(as_json)[0] == {"at": "2027-05-15T07:00:00Z", "height_m": None}
    assert "07:00Z  not known" in as_text


def test_without_a_station_file_heights_are_above_the_mean_level_and_that_is_said(folder: Path) -> None:
    out, err = asked(folder, "ostrel.csv", "--start", "2027-05-15", station=False)

    assert "above the mean level (the height of this above a datum is not known)" in out
    assert err == "No file gives the mean level, so heights above a chart datum are not known.\n"


def test_a_day_from_now_is_meant_when_no_time_is_given(folder: Path) -> None:
    with travel("2027-05-15T06:00:30Z", tick=False):
        out, _ = asked(folder, "ostrel.csv", "--every", "720", "--json")

    assert [row["at"] for row in json.loads(out)] == [
        "2027-05-15T06:00:00Z",
        "2027-05-15T18:00:00Z",
        "2027-05-16T06:00:00Z",
    ]


def test_no_high_or_low_water_is_said_in_words(folder: Path) -> None:
    out, _ = asked(folder, "table.csv", "--start", "2027-05-15T08:00Z", "--end", "2027-05-15T09:00Z")

    assert out.endswith("No high or low water in this time.\n")


@pytest.mark.parametrize(
    ("file", "options", "sentence"),
    [
        ("none.csv", [], "There is no file"),
        ("ostrel.json", [], "Line 1: The columns either constituent"),
        ("ostrel.csv", ["--start", "yesterday"], "--start: 'yesterday' is not a time such as 2027-05-15T06:00Z."),
        ("ostrel.csv", ["--start", "2200-01-01"], "--start: the year 2200 lies outside 1800 to 2199."),
        ("ostrel.csv", ["--start", "2027-05-15", "--end", "2027-05-15"], "--end does not come after --start."),
        ("ostrel.csv", ["--every", "0"], "--every: '0' is not a number of minutes"),
        ("ostrel.csv", ["--every", "nan"], "--every: 'nan' is not a number of minutes"),
        ("ostrel.csv", ["--every", "x"], "--every: 'x' is not a number of minutes"),
        ("ostrel.csv", ["--start", "2000-01-01", "--end", "2020-01-01", "--every", "1"], "more than 600,000 heights"),
        ("ostrel.csv", ["--start", "1900-01-01", "--end", "1990-01-01"], "more than 20 years are too many"),
        ("ostrel.csv", ["--station", "none.json"], "The file 'none.json' was not read"),
    ],
)
def test_bad_input_ends_with_one_sentence_and_status_2(
    folder: Path, file: str, options: list[str], sentence: str
) -> None:
    with pytest.raises(CommandError) as refusal:
        call_command("tide", str(folder / file), *options)

    assert sentence in str(refusal.value)
    assert "\n" not in str(refusal.value)
    assert refusal.value.returncode == 2


@pytest.mark.django_db
def test_the_shell_gets_status_2_and_the_sentence(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as end:
        Command().run_from_argv(["manage.py", "tide", "no such file"])

    assert end.value.code == 2
    assert capsys.readouterr().err.startswith("There is no file and no tide station called no such file.")
