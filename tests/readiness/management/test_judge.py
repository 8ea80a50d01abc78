"""The judge command on a facts file: its words, its data, its exit status and what it refuses."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from django.core.management import call_command

from readiness.rules.facts import Facts, encode
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import boat, forecast, person
from vessel.units import KNOT

Run = Callable[..., tuple[int, str, str]]


def sound(facts: Facts) -> Facts:
    """The worked example with nothing left to mend or to test."""
    return boat(facts, defects=(), jobs=())


@pytest.fixture
def run(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    """`run(facts, *options)`: exit status, words and complaints of the command on a file of those facts."""

    def running(facts: Facts | bytes | None, *options: str) -> tuple[int, str, str]:
        file = tmp_path / "facts.json"
        if facts is not None:
            file.write_bytes(facts if isinstance(facts, bytes) else encode(facts))
        with pytest.raises(SystemExit) as ended:
            call_command("judge", str(file), *options)
        out, err = capsys.readouterr()
        return int(str(ended.value.code)), out, err

    return running


@pytest.mark.parametrize(
    ("facts", "status", "word"),
    [
        (sound(worked_example(4)), 0, "GO:"),
        (worked_example(4), 10, "GO IF:"),
        (person(worked_example(4), "Tam", confirmed=None), 11, "CANNOT SAY YET"),
        (forecast(worked_example(4), wind_east_mps=35 * KNOT), 12, "NO-GO:"),
    ],
)
def test_the_exit_status_is_the_verdict(run: Run, facts: Facts, status: int, word: str) -> None:
    ended, out, err = run(facts)

    assert (ended, err) == (status, "")
    assert out.startswith(word)


def test_json_prints_the_same_verdict_as_data(run: Run) -> None:
    ended, out, _ = run(worked_example(4), "--json")

    assert (ended, json.loads(out)["verdict"]) == (10, "Go if")


@pytest.mark.parametrize("typed", ["2027-05-15T07:00Z", "2027-05-15T08:00+01:00"])
def test_a_departure_is_told_as_asked(run: Run, typed: str) -> None:
    _, out, _ = run(worked_example(4), "--departure", typed, "--json")

    assert json.loads(out)["departure"] == "2027-05-15T07:00:00Z"


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("2027-05-15T07:00", "has no zone"),
        ("soon", "is not a time"),
        ("2027-06-15T07:00Z", "is not among the departures judged"),
    ],
)
def test_a_departure_that_means_nothing_is_refused(run: Run, typed: str, told: str) -> None:
    ended, out, err = run(worked_example(4), "--departure", typed)

    assert (ended, out) == (2, "")
    assert told in err


def test_a_bad_value_is_named_with_its_place(run: Run) -> None:
    document = json.loads(encode(worked_example(1)))
    document["boat"]["vessel"]["draught_m"] = "deep"

    ended, out, err = run(json.dumps(document).encode())

    assert (ended, out) == (2, "")
    assert "$.boat.vessel.draught_m" in err
    assert "Nothing was judged." in err


@pytest.mark.parametrize("garbage", [b"", b"{", b"\x89PNG\r\n", b"[1, 2]"])
def test_a_file_that_holds_no_facts_is_refused(run: Run, garbage: bytes) -> None:
    ended, out, err = run(garbage)

    assert (ended, out) == (2, "")
    assert "These facts cannot be read" in err


def test_a_file_that_is_not_there_is_refused(run: Run) -> None:
    ended, out, err = run(None)

    assert (ended, out) == (2, "")
    assert "is not a file" in err


def test_neither_leg_nor_verdict_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        call_command("judge")

    assert ended.value.code == 2
    assert "Name a leg or a facts file" in capsys.readouterr().err
