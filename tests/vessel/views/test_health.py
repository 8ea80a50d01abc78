from datetime import timedelta
from pathlib import Path

import pytest
from django.contrib.auth.models import User
from django.db import connection
from django.db.migrations.recorder import MigrationRecorder
from django.test import Client
from django.utils import timezone

from vessel.models.due_work import DueWork
from vessel.queries.service_state import HEARTBEAT

JSON = {"Accept": "application/json"}


@pytest.fixture
def working(db: None, data_folder: Path) -> None:
    """A service whose worker was heard of just now."""
    now = timezone.now()
    DueWork.objects.create(key="beat", task=HEARTBEAT, state="done", due_at=now, created_at=now, done_at=now)


@pytest.fixture
def skipper(client: Client, db: None) -> Client:
    client.force_login(User.objects.create_user("skipper"))
    return client


def test_live_answers_without_the_database(client: Client) -> None:
    plain, machine = client.get("/live"), client.get("/live", headers=JSON)

    assert (plain.status_code, plain.content) == (200, b"ok\n")
    assert (machine.status_code, machine.json()) == (200, {"ok": True})


@pytest.mark.usefixtures("working")
def test_ready_says_ok_when_all_is_well(client: Client) -> None:
    plain, machine = client.get("/ready"), client.get("/ready", headers=JSON)

    assert (plain.status_code, plain.content) == (200, b"ok\n")
    assert (machine.status_code, machine.json()) == (200, {"ok": True})


@pytest.mark.usefixtures("working")
def test_a_stranger_is_not_told_what_is_wrong(client: Client) -> None:
    DueWork.objects.update(done_at=timezone.now() - timedelta(seconds=121))

    plain, machine = client.get("/ready"), client.get("/ready", headers=JSON)

    assert (plain.status_code, plain.content) == (503, b"not ok\n")
    assert (machine.status_code, machine.json()) == (503, {"ok": False})


@pytest.mark.usefixtures("working")
def test_who_is_signed_in_reads_which_check_failed(skipper: Client) -> None:
    DueWork.objects.update(done_at=timezone.now() - timedelta(seconds=121))

    answer = skipper.get("/ready", headers=JSON)

    said = answer.json()["checks"]
    assert answer.status_code == 503
    assert [name for name, check in said.items() if not check["ok"]] == ["worker"]
    assert said["worker"]["says"].startswith("The background worker is silent; last heard of ")
    assert said["disk"]["says"] == "All right."


@pytest.mark.usefixtures("working")
def test_a_database_older_than_the_program_is_not_ready(skipper: Client) -> None:
    MigrationRecorder(connection).record_unapplied("vessel", "0001_due_work")

    answer = skipper.get("/ready")

    assert answer.status_code == 503
    assert "schema: The database is older than this program." in answer.content.decode()


@pytest.mark.usefixtures("working")
def test_a_database_newer_than_the_program_is_not_ready(skipper: Client) -> None:
    MigrationRecorder(connection).record_applied("vessel", "9999_from_next_year")

    answer = skipper.get("/ready")

    assert answer.status_code == 503
    assert "schema: The database is newer than this program (vessel 9999_from_next_year)." in answer.content.decode()


@pytest.mark.usefixtures("working")
def test_a_database_that_takes_no_writes_is_not_ready(skipper: Client) -> None:
    connection.connection.execute("PRAGMA query_only = ON")
    try:
        answer = skipper.get("/ready")
    finally:
        connection.connection.execute("PRAGMA query_only = OFF")

    assert answer.status_code == 503
    assert "database: This could not be checked:" in answer.content.decode()


@pytest.mark.parametrize("path", ["/live", "/ready"])
def test_watching_changes_nothing(client: Client, path: str) -> None:
    assert client.post(path).status_code == 405
