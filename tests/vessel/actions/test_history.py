"""The one door of history: numbers, tokens, private text, and a database that refuses to change what is written."""

import os
import subprocess
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from django.contrib.auth.models import AnonymousUser
from django.db import IntegrityError, connection, transaction

from tests.factories.vessel import a_person, a_vessel, an_account
from vessel.actions.history import record, strike_out_private
from vessel.calc.history_chain import private_hash
from vessel.errors import Refused
from vessel.models import HistoryEntry, HistoryPrivate, Membership, Pseudonym, Vessel
from vessel.queries.history import chain, chain_problem, head, heads_by_day, history_page, names_of

pytestmark = pytest.mark.django_db
ROOT = Path(__file__).resolve().parents[3]


def told(vessel: Vessel, at: datetime, **fields: Any) -> HistoryEntry:
    given: dict[str, Any] = {
        "what": "The bilge was pumped dry.",
        "by": "owner-1",
        "noun": "log entry",
        "noun_key": "1",
        **fields,
    }
    return record(vessel=vessel, at=at, **given)


@transaction.atomic
def told_and_undone(vessel: Vessel, at: datetime) -> None:
    told(vessel, at)
    raise ZeroDivisionError


def test_entries_are_numbered_from_one_and_hold_the_hash_before(at: datetime) -> None:
    vessel, other = a_vessel(), a_vessel()

    first, second, elsewhere = told(vessel, at), told(vessel, at), told(other, at)

    assert (first.number, second.number, elsewhere.number) == (1, 2, 1)
    assert (first.previous_hash, second.previous_hash) == ("", first.hash)
    assert head(vessel.pk) == (2, second.hash)
    assert chain_problem(vessel.pk) is None


def test_a_deed_undone_leaves_no_entry_and_no_gap(at: datetime) -> None:
    vessel = a_vessel()
    told(vessel, at)

    with pytest.raises(ZeroDivisionError):
        told_and_undone(vessel, at)
    told(vessel, at)

    assert [entry["number"] for entry in chain(vessel.pk)] == [1, 2]
    assert chain_problem(vessel.pk) is None


def test_an_account_gets_one_token_and_its_name_stays_outside_the_chain(at: datetime) -> None:
    vessel, user = a_vessel(), an_account(username="ines")
    Membership.objects.create(user=user, vessel=vessel, role="owner")

    first, second = told(vessel, at, by=user), told(vessel, at, by=user)

    assert first.by == second.by
    assert first.by.startswith("owner-")
    assert "ines" not in str(list(chain(vessel.pk)))
    assert names_of(vessel.pk) == {first.by: "ines"}
    assert history_page(vessel.pk)[0].by == "ines"


def test_a_name_can_be_erased_and_the_chain_stays_whole(at: datetime) -> None:
    vessel, user = a_vessel(), an_account()
    entry = told(vessel, at, by=user)

    Pseudonym.objects.filter(token=entry.by).update(name="", account_id=None)

    assert chain_problem(vessel.pk) is None
    assert history_page(vessel.pk)[0].by == entry.by


def test_a_person_and_a_machine_are_told_by_their_token(at: datetime) -> None:
    vessel = a_vessel()
    person = a_person(vessel, token="hand-1")

    assert told(vessel, at, by=person).by == "hand-1"
    assert told(vessel, at, by="timetable").by == "timetable"


@pytest.mark.parametrize("nobody", [AnonymousUser(), ""])
def test_nobody_writes_nothing(at: datetime, nobody: object) -> None:
    vessel = a_vessel()

    with pytest.raises(Refused, match=r"Nobody is signed in, so nothing was written\."):
        told(vessel, at, by=nobody)

    assert head(vessel.pk) is None


def test_private_text_is_bound_by_its_hash_and_shown_beside_the_entry(at: datetime) -> None:
    vessel = a_vessel()

    entry = told(vessel, at, private="Odile has a cold")

    kept = HistoryPrivate.objects.get(vessel_id=vessel.pk, number=1)
    assert entry.private_hash == private_hash("Odile has a cold", kept.salt or "")
    assert "Odile" not in str(list(chain(vessel.pk)))
    assert history_page(vessel.pk)[0].private == "Odile has a cold"


def test_private_text_struck_out_leaves_a_gap_and_a_whole_chain(at: datetime) -> None:
    vessel = a_vessel()
    told(vessel, at, private="Odile has a cold")

    strike_out_private(vessel=vessel, number=1, by="owner-1", at=at)

    newest, first = history_page(vessel.pk)
    assert (first.private, first.words_struck) == ("", 4)
    assert newest.what == "Private text of entry 1 was struck out (4 words)."
    assert chain_problem(vessel.pk) is None
    assert "cold" not in str(list(HistoryPrivate.objects.values()))
    with pytest.raises(Refused, match="Entry 1 holds no private text"):
        strike_out_private(vessel=vessel, number=1, by="owner-1", at=at)


def test_private_text_changed_or_lost_is_found(at: datetime) -> None:
    vessel = a_vessel()
    told(vessel, at)
    told(vessel, at, private="Odile has a cold")

    HistoryPrivate.objects.update(text="Odile is well")
    assert chain_problem(vessel.pk) == (2, "changed", "The private text of entry 2 was changed after it was written.")

    HistoryPrivate.objects.all().delete()
    assert chain_problem(vessel.pk) == (2, "missing", "The private text of entry 2 does not go with the entry.")


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE vessel_historyentry SET what = 'Something else.'",
        "UPDATE vessel_historyentry SET hash = 'f' WHERE number = 1",
        "DELETE FROM vessel_historyentry",
        "INSERT OR REPLACE INTO vessel_historyentry SELECT * FROM vessel_historyentry",
    ],
)
def test_the_database_itself_refuses_to_change_an_entry(at: datetime, statement: str) -> None:
    vessel = a_vessel()
    told(vessel, at)
    if connection.vendor != "sqlite":
        statement = statement.replace("INSERT OR REPLACE INTO vessel_historyentry SELECT * FROM", "TRUNCATE")

    with pytest.raises(Exception, match="History is append-only") as refusal, transaction.atomic():
        connection.cursor().execute(statement)

    assert "Error" in type(refusal.value).__name__
    assert chain_problem(vessel.pk) is None


def test_models_cannot_change_an_entry_either(at: datetime) -> None:
    entry = told(a_vessel(), at)

    entry.what = "Something else."
    for deed in (entry.save, entry.delete, lambda: HistoryEntry.objects.update(what="x")):
        with pytest.raises(IntegrityError), transaction.atomic():
            deed()


@pytest.mark.parametrize("rows", [1, 3])
def test_a_page_of_history_costs_three_queries_however_long(
    at: datetime, rows: int, django_assert_num_queries: Any
) -> None:
    vessel = a_vessel()
    for _ in range(rows):
        told(vessel, at, private="x")

    with django_assert_num_queries(3):
        assert len(history_page(vessel.pk)) == rows


def test_history_is_read_newest_first_page_by_page_and_by_thing(at: datetime) -> None:
    vessel = a_vessel()
    for number in range(1, 6):
        told(vessel, at, noun="defect" if number == 2 else "job", noun_key=f"K-{number}")

    assert [line.number for line in history_page(vessel.pk, size=2)] == [5, 4]
    assert [line.number for line in history_page(vessel.pk, before=4, size=2)] == [3, 2]
    assert [line.number for line in history_page(vessel.pk, noun="defect")] == [2]
    assert [line.number for line in history_page(vessel.pk, noun="job", noun_key="K-3")] == [3]


def test_the_head_of_each_day_is_that_of_the_day_at_home() -> None:
    vessel = a_vessel()
    late = datetime(2026, 7, 10, 23, 30, tzinfo=UTC)  # 00:30 on the 11th in Lisbon
    told(vessel, late - timedelta(hours=2))
    second = told(vessel, late)

    found = heads_by_day(vessel.pk, ZoneInfo("Europe/Lisbon"))

    assert [(day.isoformat(), noted.number) for day, noted in found.items()] == [("2026-07-10", 1), ("2026-07-11", 2)]
    assert found[max(found)].hash == second.hash


WRITER = """
from datetime import UTC, datetime
from vessel.actions.history import record
from vessel.models import Vessel
vessel = Vessel.objects.get()
for number in range(25):
    record(vessel=vessel, what=f"Deed {number}.", by="machine", at=datetime.now(UTC), noun="job", noun_key="1")
"""
READER = """
from vessel.models import Vessel
from vessel.queries.history import chain, chain_problem
print(len(list(chain(Vessel.objects.get().pk))), chain_problem(Vessel.objects.get().pk))
"""


def manage(data: Path, *arguments: str) -> subprocess.Popen[bytes]:
    command = [sys.executable, str(ROOT / "manage.py"), *arguments]
    environment = {**os.environ, "DATA": str(data)}
    return subprocess.Popen(command, env=environment, stdout=subprocess.PIPE)  # noqa: S603 our own command


def test_three_processes_writing_at_once_leave_no_gap_and_no_twin(tmp_path: Path) -> None:
    setting_up = "from vessel.models import Vessel; Vessel.objects.create(name='Tallow Wren')"
    for arguments in (("migrate", "-v0"), ("shell", "-v0", "-c", setting_up)):
        assert manage(tmp_path / "data", *arguments).wait(timeout=120) == 0

    writers = [manage(tmp_path / "data", "shell", "-v0", "-c", WRITER) for _ in range(3)]

    assert [writer.wait(timeout=120) for writer in writers] == [0, 0, 0]
    told, _ = manage(tmp_path / "data", "shell", "-v0", "-c", READER).communicate(timeout=120)
    assert told.decode().split("\n")[0] == "75 None"
