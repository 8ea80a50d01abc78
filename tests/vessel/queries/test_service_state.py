import json
from collections.abc import Sequence
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from vessel.models.due_work import DueWork
from vessel.queries.service_state import HEARTBEAT, Death, ServiceState, read_deaths, service_state

pytestmark = pytest.mark.django_db
SILENT = "Nothing is being judged again: the background worker is silent. Start Legworthy again."


def beat(done_at: datetime) -> None:
    DueWork.objects.create(
        key=f"beat {done_at}", task=HEARTBEAT, state="done", due_at=done_at, created_at=done_at, done_at=done_at
    )


def died(at: datetime, *seconds: float) -> tuple[Death, ...]:
    return tuple(Death(at + timedelta(seconds=s), "background worker", -9) for s in seconds)


@pytest.mark.parametrize(
    ("age_s", "alive"), [(0, True), (119, True), (120, False), (86400, False), (-300, True), (-301, False)]
)
def test_the_worker_lives_while_its_heartbeat_is_fresh(
    at: datetime, data_folder: Path, age_s: int, alive: bool
) -> None:
    beat(at - timedelta(seconds=age_s))

    state = service_state(at=at)

    assert state.worker_alive is alive
    assert state.warnings == ([] if alive else [SILENT])


def test_a_worker_never_heard_of_is_not_alive(at: datetime, data_folder: Path) -> None:
    assert service_state(at=at).worker_alive is False


@pytest.mark.parametrize(("lease_s", "alive"), [(1, True), (0, False), (-1, False)])
def test_a_worker_busy_with_long_work_is_alive_while_its_lease_runs(
    at: datetime, data_folder: Path, lease_s: int, alive: bool
) -> None:
    until = at + timedelta(seconds=lease_s)
    DueWork.objects.create(
        key="k", task="t", state="leased", leased_by="w", leased_until=until, due_at=at, created_at=at
    )

    assert service_state(at=at).worker_alive is alive


@pytest.mark.parametrize(
    ("seconds", "dying"),
    [((), False), ((0, 30), False), ((0, 30, 60), True), ((0, 30, 61), False), ((0, 300, 310, 320), True)],
)
def test_three_deaths_within_a_minute_are_a_banner(at: datetime, seconds: Sequence[float], dying: bool) -> None:
    state = ServiceState(
        worker_alive=True, last_heartbeat=at, deaths=died(at, *seconds), given_up=0, waiting_since=None
    )

    assert state.keeps_dying is dying
    assert any("died three times" in warning for warning in state.warnings) is dying


def test_a_damaged_record_of_deaths_is_not_taken_for_no_deaths(at: datetime, data_folder: Path) -> None:
    beat(at)
    (data_folder / "deaths.json").write_text('[{"at": "2026-')

    state = service_state(at=at)

    assert state.deaths is None
    assert state.warnings == ["The record of what died lately cannot be read."]


def test_only_deaths_of_the_last_hour_are_shown(at: datetime, data_folder: Path) -> None:
    rows = [
        {"at": (at - timedelta(minutes=minutes)).isoformat(), "part": "web server", "status": 1} for minutes in (61, 60)
    ]
    (data_folder / "deaths.json").write_text(json.dumps(rows))

    assert service_state(at=at).deaths == (Death(at - timedelta(minutes=60), "web server", 1),)


def test_without_a_record_nothing_died(tmp_path: Path) -> None:
    assert read_deaths(tmp_path / "deaths.json") == ()


def test_work_given_up_is_said(at: datetime, data_folder: Path) -> None:
    beat(at)
    DueWork.objects.create(key="k", task="t", state="given_up", due_at=at, created_at=at)

    state = service_state(at=at)

    assert state.warnings == ["Given up after five tries: 1 piece of background work."]


@pytest.mark.parametrize("rows", [1, 3])
def test_the_state_costs_one_query_however_much_work_there_is(
    at: datetime, data_folder: Path, rows: int, django_assert_num_queries: object
) -> None:
    for second in range(rows):
        beat(at - timedelta(seconds=second))

    with django_assert_num_queries(1):  # type: ignore[operator]
        service_state(at=at)
