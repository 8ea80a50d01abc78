from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.db import transaction

from vessel.actions.due_work import (
    BACK_OFF_S,
    KEEP_DONE,
    Periodic,
    ask_for,
    clear_away_done_work,
    fail,
    finish,
    lease_next,
    renew_lease,
    sweep_timetable,
)
from vessel.models.due_work import MOST_TRIES, DueWork

pytestmark = pytest.mark.django_db
SECOND = timedelta(seconds=1)
HOURLY = Periodic("judge", 3600, "readiness.tasks.judge_coming_legs", {})


def ask(at: datetime, key: str = "leg 7", **arguments: object) -> DueWork:
    return ask_for(task="a.task", arguments=arguments, key=key, at=at)


def lease(at: datetime, holder: str = "first worker") -> DueWork | None:
    return lease_next(at=at, holder=holder, for_s=60)


def only_row() -> DueWork:
    return DueWork.objects.get()


def test_asked_twice_while_due_it_is_one_row_at_the_earlier_time_with_the_newest_arguments(at: datetime) -> None:
    ask(at, speed=5)
    ask(at + SECOND, speed=6)

    work = only_row()
    assert (work.state, work.due_at, work.arguments) == ("due", at, {"speed": 6})


def test_asking_is_undone_with_the_change_that_caused_it(at: datetime) -> None:
    def change_a_leg() -> None:
        with transaction.atomic():
            ask(at)
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        change_a_leg()

    assert not DueWork.objects.exists()


def test_due_work_is_taken_once(at: datetime) -> None:
    ask(at)

    first, second = lease(at), lease(at, "second worker")

    assert first is not None
    assert second is None
    assert (only_row().leased_by, only_row().tries) == ("first worker", 1)


def test_work_is_not_taken_before_it_is_due(at: datetime) -> None:
    ask(at)

    assert lease(at - SECOND) is None
    assert lease(at) is not None


def test_what_waited_longest_is_taken_first(at: datetime) -> None:
    ask(at, "younger")
    ask(at - SECOND, "older")

    taken = [work.key for work in (lease(at), lease(at)) if work]

    assert taken == ["older", "younger"]


def test_done_work_is_not_taken_again(at: datetime) -> None:
    work = ask(at)
    lease(at)

    assert finish(work_id=work.pk, holder="first worker", at=at + SECOND)

    assert lease(at + timedelta(days=1)) is None
    assert (only_row().state, only_row().done_at) == ("done", at + SECOND)


def test_asked_for_again_after_it_was_done_it_runs_again(at: datetime) -> None:
    work = ask(at)
    lease(at)
    finish(work_id=work.pk, holder="first worker", at=at)

    ask(at + SECOND)

    assert lease(at + SECOND) is not None


def test_a_change_while_it_runs_makes_it_run_once_more(at: datetime) -> None:
    work = ask(at, speed=5)
    lease(at)
    ask(at, speed=6)
    ask(at, speed=7)
    assert lease(at) is None, "it must not run twice at the same time"

    finish(work_id=work.pk, holder="first worker", at=at + SECOND)

    again = lease(at + SECOND)
    assert again is not None
    assert again.arguments == {"speed": 7}
    finish(work_id=work.pk, holder="first worker", at=at + SECOND)
    assert lease(at + timedelta(days=1)) is None


def test_work_whose_worker_died_is_taken_again_when_the_lease_ends_and_not_before(at: datetime) -> None:
    ask(at)
    lease(at)

    assert lease(at + timedelta(seconds=59), "second worker") is None
    taken = lease(at + timedelta(seconds=60), "second worker")

    assert taken is not None
    assert (taken.leased_by, taken.tries) == ("second worker", 2)


def test_a_worker_that_lost_its_lease_changes_nothing(at: datetime) -> None:
    work = ask(at)
    lease(at)
    lease(at + timedelta(minutes=2), "second worker")

    assert not finish(work_id=work.pk, holder="first worker", at=at)
    assert not fail(work_id=work.pk, holder="first worker", at=at, error="too late")
    assert not renew_lease(work_id=work.pk, holder="first worker", until=at + timedelta(days=1))

    assert (only_row().state, only_row().leased_by, only_row().last_error) == ("leased", "second worker", "")


def test_a_renewed_lease_keeps_others_away(at: datetime) -> None:
    work = ask(at)
    lease(at)

    assert renew_lease(work_id=work.pk, holder="first worker", until=at + timedelta(minutes=5))

    assert lease(at + timedelta(minutes=4), "second worker") is None


@pytest.mark.parametrize(("tries_before", "wait_s"), list(enumerate(BACK_OFF_S)))
def test_failed_work_waits_longer_after_each_try(at: datetime, tries_before: int, wait_s: int) -> None:
    work = ask(at)
    DueWork.objects.update(tries=tries_before)
    lease(at)

    fail(work_id=work.pk, holder="first worker", at=at, error="ValueError: no wind")

    assert (only_row().state, only_row().last_error) == ("failed", "ValueError: no wind")
    assert lease(at + timedelta(seconds=wait_s) - SECOND) is None
    assert lease(at + timedelta(seconds=wait_s)) is not None


def test_work_that_always_fails_is_given_up_after_the_fifth_try_with_its_input_kept(at: datetime) -> None:
    work = ask(at, leg=7)
    tries, moment = 0, at
    while lease(moment):
        tries += 1
        fail(work_id=work.pk, holder="first worker", at=moment, error="ValueError: no wind")
        moment += timedelta(days=1)

    assert tries == MOST_TRIES == 5
    assert (only_row().state, only_row().arguments) == ("given_up", {"leg": 7})
    assert only_row().last_error == "ValueError: no wind"


def test_work_that_kills_its_worker_is_given_up_after_the_fifth_death(at: datetime) -> None:
    ask(at, leg=7)
    deaths, moment = 0, at
    while lease(moment):
        deaths += 1
        moment += timedelta(days=1)

    assert deaths == MOST_TRIES
    assert (only_row().state, only_row().arguments) == ("given_up", {"leg": 7})
    assert only_row().last_error == "The worker ended 5 times while doing this."


def test_given_up_work_starts_afresh_when_it_is_asked_for_again(at: datetime) -> None:
    ask(at)
    DueWork.objects.update(state="given_up", tries=MOST_TRIES, last_error="no wind")

    ask(at)

    assert (only_row().state, only_row().tries, only_row().last_error) == ("due", 0, "")


def test_a_failed_run_that_was_asked_for_again_meanwhile_is_due_at_once(at: datetime) -> None:
    work = ask(at)
    lease(at)
    ask(at)

    fail(work_id=work.pk, holder="first worker", at=at, error="ValueError: no wind")

    assert lease(at) is not None


def test_the_timetable_asks_once_in_each_period(at: datetime) -> None:
    half_past = datetime(2026, 7, 10, 9, 30, tzinfo=UTC)

    added = [sweep_timetable(at=half_past + timedelta(minutes=m), timetable=[HOURLY]) for m in (0, 29, 30, 31)]

    assert added == [1, 0, 1, 0]
    assert set(DueWork.objects.values_list("key", flat=True)) == {
        "timetable:judge:2026-07-10T09:00:00Z",
        "timetable:judge:2026-07-10T10:00:00Z",
    }


def test_a_period_that_is_done_is_not_asked_for_again(at: datetime) -> None:
    sweep_timetable(at=at, timetable=[HOURLY])
    work = lease(at)
    assert work is not None
    finish(work_id=work.pk, holder="first worker", at=at)

    sweep_timetable(at=at, timetable=[HOURLY])

    assert only_row().state == "done"


def test_a_week_without_a_worker_is_made_up_by_one_run(at: datetime) -> None:
    sweep_timetable(at=at, timetable=[HOURLY])

    added = sweep_timetable(at=at + timedelta(days=7), timetable=[HOURLY])

    assert added == 1


def test_tidying_removes_old_done_work_and_nothing_else(at: datetime) -> None:
    rows: dict[str, dict[str, Any]] = {
        "done long ago": {"state": "done", "done_at": at - KEEP_DONE - SECOND},
        "done just within": {"state": "done", "done_at": at - KEEP_DONE},
        "given up long ago": {"state": "given_up"},
    }
    for key, changes in rows.items():
        DueWork.objects.create(key=key, task="t", due_at=at - 2 * KEEP_DONE, created_at=at, **changes)

    removed = clear_away_done_work(at=at)

    assert removed == 1
    assert set(DueWork.objects.values_list("key", flat=True)) == {"done just within", "given up long ago"}
