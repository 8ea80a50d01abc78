"""The command on every kind of station, and what it says beside the figures."""

import io
import json
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest
from django.core.management import call_command
from django.core.management.base import CommandError

from readiness.calc.tide import Harmonics
from readiness.management.commands.tide import EXAMPLE
from tests.factories.tide import epoch, even, height_at

CONSTANTS = "constituent,amplitude_m,phase_utc_deg\nM2,1.45,153.2\nS2,0.50,201.7\n"
TABLE = "time_utc,height_m,type\n2027-05-15 07:36,1.60,L\n2027-05-15 13:54,3.64,H\n2027-05-15 20:11,1.52,L\n"
STATION = {"name": "Ostrel Haven", "timezone": "Europe/Oslo", "datum": "chart datum", "mean_level_m": 2.60}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Constants, a table and a station file."""
    (tmp_path / "ostrel.csv").write_text(CONSTANTS, "utf-8")
    (tmp_path / "table.csv").write_text(TABLE, "utf-8")
    (tmp_path / "ostrel.json").write_text(json.dumps(STATION), "utf-8")
    return tmp_path


def asked(folder: Path, file: str, *options: str) -> tuple[str, str]:
    out, err = io.StringIO(), io.StringIO()
    call_command("tide", str(folder / file), "--station", str(folder / "ostrel.json"), *options, stdout=out, stderr=err)
    return out.getvalue(), err.getvalue()


FILES = {"ostrel.csv": "constituent,", "ostrel.json": "{", "table.csv": "time_utc,height_m,type",
         "brannow.csv": "water,clock_utc", "thole.csv": "water,time_min,height_ratio"}  # fmt: skip


def test_every_worked_example_of_the_help_works(folder: Path) -> None:
    """Files and options are taken out of the help itself; observations are made from the constants."""
    blocks = ["\n".join(line.strip() for line in block.splitlines()) for block in EXAMPLE.split("\n\n")]
    for name, start in FILES.items():
        (folder / name).write_text(next(block for block in blocks if block.startswith(start)) + "\n", "utf-8")
    (folder / "seen.csv").write_text(observations(40), "utf-8")
    lines = [line.strip() for line in EXAMPLE.splitlines() if line.strip().startswith("manage.py tide")]
    commands = [line.split()[2:] for line in lines if '"' not in line]

    answers = [told(folder, *[str(folder / each) if "." in each and each[0] != "2" else each for each in command])
               for command in commands]  # fmt: skip

    assert len(lines) == len(commands) + 1 == 8
    assert "Ostrel Haven: heights in metres above chart datum." in answers[0]
    assert "The figures hold to 2036-01-01 00:00 UTC." in answers[0]
    assert len(json.loads(answers[1])) == 25
    assert "Air pressure of 1033 hPa takes 0.20 m off" in answers[2]
    assert "From a table of 3 high and low waters" in answers[3]
    assert "Secondary port of Ostrel Haven by differences in time that change with the clock" in answers[4]
    assert "Secondary port of Ostrel Haven by one difference in time and a ratio of heights" in answers[5]
    assert "Fitted to 40 days of observations" in answers[6]


def told(folder: Path, *words: str) -> str:
    out = io.StringIO()
    call_command("tide", *words, stdout=out, stderr=io.StringIO())
    return out.getvalue()


def observations(days: int) -> str:
    at = even(epoch("2027-03-01T00:00Z"), days * 24, 3600.0)
    waves = Harmonics(
        ("M2", "S2", "K2", "T2"),
        np.array([1.45, 0.5, 0.136, 0.0295]),
        np.array([153.2, 201.7, 201.7, 201.7]),
        np.full(4, np.nan),
        2.6,
    )
    rows = zip(at.tolist(), height_at(waves, at).tolist(), strict=True)
    text = "".join(f"{datetime.fromtimestamp(when, UTC):%Y-%m-%d %H:%M},{height:.3f}\n" for when, height in rows)
    return f"time_utc,height_m\n{text}"


def test_a_secondary_port_has_its_references_waters_with_the_ratios_laid_over(folder: Path) -> None:
    (folder / "port.csv").write_text("water,time_min,height_ratio\nH,+71,0.55\nL,+113,0.53\n", "utf-8")
    span = ("--start", "2027-05-15", "--end", "2027-05-16", "--json")
    reference = json.loads(asked(folder, "ostrel.csv", *span)[0])

    by_file, err = asked(folder, "port.csv", "--reference", str(folder / "ostrel.csv"), "--reference-station",
                         str(folder / "ostrel.json"), *span)  # fmt: skip

    rows = json.loads(by_file)
    for row in rows:
        late, ratio = (71, 0.55) if row["kind"] == "high" else (113, 0.53)
        near = min(reference, key=lambda each: abs(epoch(row["at"]) - late * 60 - epoch(each["at"])))
        if abs(epoch(row["at"]) - late * 60 - epoch(near["at"])) < 2:
            assert row["height_m"] == pytest.approx(near["height_m"] * ratio, abs=2e-4)
    assert len(rows) in (3, 4)
    assert err == ""


def test_heights_of_a_secondary_port_at_even_times_run_through_its_high_and_low_waters(folder: Path) -> None:
    (folder / "port.csv").write_text("water,time_min,height_m\nH,0,0\nL,0,0\n", "utf-8")
    more = ("--reference", str(folder / "table.csv"), "--reference-station", str(folder / "ostrel.json"))
    span = ("--start", "2027-05-15T13:54Z", "--end", "2027-05-15T20:11Z", "--every", "377", "--json")

    out, _ = asked(folder, "port.csv", *more, *span)

    assert [row["height_m"] for row in json.loads(out)] == [3.64, 1.52]


def test_a_difference_that_is_not_known_leaves_heights_not_known(folder: Path) -> None:
    (folder / "port.csv").write_text("water,time_min,height_m\nH,5,\nL,5,0.1\n", "utf-8")
    more = ("--reference", str(folder / "table.csv"), "--reference-station", str(folder / "ostrel.json"))

    out, _ = asked(folder, "port.csv", *more, "--start", "2027-05-15T08:00Z", "--end", "2027-05-15T20:00Z", "--json")

    assert json.loads(out) == [{"at": "2027-05-15T13:59:00Z", "height_m": None, "kind": "high"}]


def test_events_that_change_places_are_told(folder: Path) -> None:
    (folder / "port.csv").write_text("water,time_min,height_m\nH,0,0\nL,500,0\n", "utf-8")
    more = ("--reference", str(folder / "table.csv"), "--reference-station", str(folder / "ostrel.json"))

    _, err = asked(folder, "port.csv", *more, "--start", "2027-05-15T08:00Z", "--end", "2027-05-16T05:00Z")

    assert "High and low no longer follow each other, first at 2027-05-15 15:56 UTC; there the height is" in err


def test_a_fit_says_what_it_left_over_and_how_far_heights_may_be_out(folder: Path) -> None:
    (folder / "seen.csv").write_text(observations(40), "utf-8")

    out, _ = asked(folder, "seen.csv", "--fit", "--start", "2027-05-15", "--end", "2027-05-16")
    (folder / "whole.csv").write_text(CONSTANTS + "K2,0.136,201.7\nT2,0.0295,201.7\n", "utf-8")
    as_published, _ = asked(folder, "whole.csv", "--start", "2027-05-15", "--end", "2027-05-16", "--json")
    fitted, _ = asked(folder, "seen.csv", "--fit", "--start", "2027-05-15", "--end", "2027-05-16", "--json")

    assert "From 960 observed heights" in out
    assert "Left over: standard deviation 0.0" in out
    assert "m out (twice the standard deviation), in another season more." in out
    assert "P1, K2, T2" in out
    assert "taken from a neighbour" in out
    for one, other in zip(json.loads(fitted), json.loads(as_published), strict=True):
        assert one["height_m"] == pytest.approx(other["height_m"], abs=0.01)


def test_air_pressure_takes_off_the_same_from_every_height_and_none_is_credited(folder: Path) -> None:
    span = ("--start", "2027-05-15", "--end", "2027-05-15T06:00Z", "--every", "60", "--json")

    plain, high, low = (
        [row["height_m"] for row in json.loads(asked(folder, "ostrel.csv", *span, *more)[0])]
        for more in ((), ("--pressure", "1033"), ("--pressure", "990"))
    )

    assert np.array(high) - np.array(plain) == pytest.approx(-0.20, abs=1e-4)
    assert low == plain


def test_pressure_that_takes_nothing_off_is_said_to(folder: Path) -> None:
    out, _ = asked(folder, "ostrel.csv", "--start", "2027-05-15", "--pressure", "1013")

    assert "Air pressure of 1013 hPa takes nothing off and is not credited below 1013;" in out


def test_double_high_waters_are_marked_in_words_and_in_json(folder: Path) -> None:
    (folder / "double.csv").write_text("constituent,amplitude_m,phase_utc_deg\nM2,1.0,0\nM4,0.4,180\n", "utf-8")
    span = ("--start", "2027-05-15", "--end", "2027-05-16")

    out, _ = asked(folder, "double.csv", *span, "--high-low")
    rows = json.loads(asked(folder, "double.csv", *span, "--json")[0])

    assert out.count("  double high water") == sum(row.get("double", False) for row in rows) >= 3
    assert "double low" not in out
    assert {row["kind"] for row in rows if row.get("double")} == {"high"}


def test_times_in_utc_are_written_once(folder: Path) -> None:
    (folder / "ostrel.json").write_text(json.dumps(STATION | {"timezone": "UTC"}), "utf-8")

    out, _ = asked(folder, "table.csv", "--start", "2027-05-15T07:00Z", "--end", "2027-05-15T14:00Z")

    assert "Times in UTC.\n" in out
    assert "Sat 15 May 2027 07:36Z  1.60 m  low water\n" in out


def test_what_nobody_stated_of_source_and_validity_is_said_not_to_be_stated(folder: Path) -> None:
    (folder / "port.csv").write_text("water,time_min,height_m\nH,0,0\nL,0,0\n", "utf-8")
    more = ("--reference", str(folder / "table.csv"), "--start", "2027-05-15T08:00Z", "--end", "2027-05-15T20:00Z")

    out, _ = asked(folder, "port.csv", *more)

    assert "Source: not stated. How long the figures hold is not stated.\n" in out
    assert "Source of the reference: not stated. How long the figures hold is not stated.\n" in out


def test_weakened_node_factors_are_told(folder: Path) -> None:
    (folder / "ostrel.json").write_text(json.dumps(STATION | {"source": "Rijkswaterstaat"}), "utf-8")

    out, _ = asked(folder, "ostrel.csv", "--start", "2027-05-15")

    assert "node factors of the day, their swing weakened as the source has it." in out


def test_source_and_validity_are_stated_and_outside_it_no_height_is_known(folder: Path) -> None:
    more = {"source": "made up", "valid_from": "2027-05-15T03:00Z", "valid_to": "2027-05-15T06:00Z"}
    (folder / "ostrel.json").write_text(json.dumps(STATION | more), "utf-8")
    span = ("--start", "2027-05-15T02:00Z", "--end", "2027-05-15T07:00Z", "--every", "60")

    out, err = asked(folder, "ostrel.csv", *span)
    rows = json.loads(asked(folder, "ostrel.csv", *span, "--json")[0])

    assert "Source: made up. The figures hold from 2027-05-15 03:00 UTC to 2027-05-15 06:00 UTC." in out
    assert [row["height_m"] is None for row in rows] == [True, False, False, False, False, True]
    assert err.startswith("The figures run from 2027-05-15 03:00 UTC to 2027-05-15 06:00 UTC;")


@pytest.mark.parametrize(
    ("options", "sentence"),
    [
        (["table.csv", "--start", "2027-06-01"], "Ostrel Haven has no figures for this time: they run from 2027-05-15"),
        (["port.csv"], "holds differences of a secondary port; say --reference FILE"),
        (["ostrel.csv", "--pressure", "30"], "--pressure: '30' is not an air pressure in hPa"),
        (["ostrel.csv", "--pressure", "low"], "--pressure: 'low' is not an air pressure in hPa"),
        (["ostrel.csv", "--reference", "ostrel.csv", "--fit"], "--fit is for observed heights"),
        (["port.csv", "--fit"], "holds differences of a secondary port; say --reference FILE"),
        (["long.csv"], "The file is larger than 10 MB."),
        (["port.csv", "--reference", "long.csv"], "The file is larger than 10 MB."),
        (["ostrel.csv", "--fit"], "The columns time_utc and height_m are needed"),
        (["seen.csv", "--fit"], "The observations cover 10.0 days"),
        (["seen.csv"], "The columns either constituent"),
        (["port.csv", "--reference", "none.csv"], "There is no file"),
        (
            ["port.csv", "--reference", "table.csv", "--start", "2027-06-01"],
            "Ostrel Haven has no figures for this time",
        ),
        (["blank.csv", "--reference", "table.csv", "--start", "2027-05-15T08:00Z"], "its differences are not known"),
    ],
)
def test_a_station_that_cannot_answer_says_why_with_status_2(folder: Path, options: list[str], sentence: str) -> None:
    (folder / "port.csv").write_text("water,time_min,height_m\nH,5,0.1\nL,5,0.1\n", "utf-8")
    (folder / "blank.csv").write_text("water,time_min,height_m\nH,5,\nL,5,\n", "utf-8")
    (folder / "seen.csv").write_text(observations(10) + "2027-04-30 00:00,2.6\n", "utf-8")
    (folder / "long.csv").write_bytes(b"#" * 10_000_001)
    words = [str(folder / each) if each.endswith(".csv") else each for each in options]

    with pytest.raises(CommandError) as refusal:
        call_command("tide", *words, "--station", str(folder / "ostrel.json"), stdout=io.StringIO())

    assert sentence in str(refusal.value)
    assert "\n" not in str(refusal.value)
    assert refusal.value.returncode == 2
