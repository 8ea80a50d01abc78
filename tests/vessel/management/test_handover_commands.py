"""manage.py hand_over and verify: what they say and with which status they end."""

import io
import json
from datetime import datetime
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from tests.factories.handover import a_lived_in_vessel
from tests.factories.vessel import a_vessel
from vessel.actions.history import record
from vessel.models import HistoryPrivate

pytestmark = pytest.mark.django_db


def told(*arguments: str) -> str:
    out = io.StringIO()
    call_command(*arguments, stdout=out)
    return out.getvalue()


def ended(*arguments: str) -> tuple[int, str]:
    with pytest.raises(CommandError) as end:
        told(*arguments)
    return end.value.returncode, str(end.value)


def test_what_is_handed_over_is_verified(at: datetime, tmp_path: Path) -> None:
    a_lived_in_vessel(at)
    place = str(tmp_path / "wren.zip")

    written = told("hand_over", "--to", place)
    found = told("verify", place)

    hash_ = written.strip().rsplit(" ", 1)[-1]
    assert found.startswith("Whole: ")
    assert hash_ in found
    assert json.loads(told("verify", place, "--json"))["whole"] is True


def test_a_changed_file_ends_with_one_and_names_it(at: datetime, tmp_path: Path) -> None:
    a_lived_in_vessel(at)
    place = tmp_path / "wren.zip"
    told("hand_over", "--to", str(place))
    data = place.read_bytes()
    start = data.index(b"data/history.jsonl") + len(b"data/history.jsonl") + 40
    place.write_bytes(data[:start] + bytes([data[start] ^ 0xFF]) + data[start + 1 :])

    status, said = ended("verify", str(place))

    assert status == 1
    assert said == "Not whole. data/history.jsonl was changed: it cannot be unpacked."


def test_a_noted_head_that_does_not_fit_ends_with_one(at: datetime, tmp_path: Path) -> None:
    a_lived_in_vessel(at)
    place = str(tmp_path / "wren.zip")
    told("hand_over", "--to", place)

    status, said = ended("verify", place, "--head", f"2:{'0' * 64}")

    assert (status, said[:29]) == (1, "Not whole. Entry 2 does not c")


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (("verify", "nowhere.zip"), "There is no file nowhere.zip."),
        (("verify", "nowhere.zip", "--head", "x"), "write the entry's number, a colon"),
        (("verify", "nowhere.zip", "--head", f"0:{'0' * 64}"), "write the entry's number, a colon"),
        (("hand_over", "--to", "nowhere/x.zip"), "There is no folder nowhere."),
        (("hand_over", "--to", "x.zip"), "There is no vessel yet."),
        (("hand_over", "--to", "x.zip", "--vessel", "Nobody"), "There is no one vessel called Nobody."),
    ],
)
def test_bad_input_ends_with_two_and_one_sentence(arguments: tuple[str, ...], sentence: str) -> None:
    status, said = ended(*arguments)

    assert status == 2
    assert sentence in said


def test_a_file_that_is_no_handover_ends_with_two(tmp_path: Path) -> None:
    place = tmp_path / "x.zip"
    place.write_bytes(b"PK nothing")

    assert ended("verify", str(place))[0] == 2


def test_an_existing_file_is_kept(at: datetime, tmp_path: Path) -> None:
    a_vessel()
    place = tmp_path / "wren.zip"
    place.write_bytes(b"mine")

    status, said = ended("hand_over", "--to", str(place))

    assert (status, place.read_bytes()) == (2, b"mine")
    assert "exists already and was kept" in said


def test_between_two_vessels_one_must_be_named(tmp_path: Path) -> None:
    a_vessel(name="Tallow Wren")
    a_vessel(name="Other Wren")

    status, said = ended("hand_over", "--to", str(tmp_path / "x.zip"))
    told("hand_over", "--to", str(tmp_path / "x.zip"), "--vessel", "Other Wren")

    assert (status, said) == (2, "There is more than one vessel; name one with --vessel.")
    assert (tmp_path / "x.zip").exists()


def test_the_history_in_the_database_is_verified(at: datetime) -> None:
    vessel = a_vessel()
    record(vessel=vessel, what="x", by="owner-1", at=at, noun="x", noun_key="1", private="y")
    whole = told("verify")
    HistoryPrivate.objects.update(text="z")

    status, said = ended("verify")

    assert whole.startswith("Tallow Wren: whole, 1 entries.")
    assert status == 1
    assert said == "Not whole. Tallow Wren: The private text of entry 1 was changed after it was written."


def test_an_entry_changed_behind_the_triggers_is_found(at: datetime) -> None:
    vessel = a_vessel()
    for number in range(3):
        record(vessel=vessel, what=f"Deed {number}.", by="owner-1", at=at, noun="x", noun_key="1")
    with connection.cursor() as cursor:
        cursor.execute("DROP TRIGGER history_refuses_update")
        cursor.execute("UPDATE vessel_historyentry SET what = 'Other.' WHERE number = 2")

    status, said = ended("verify")

    assert (status, said) == (1, "Not whole. Tallow Wren: Entry 2 was changed after it was written.")
