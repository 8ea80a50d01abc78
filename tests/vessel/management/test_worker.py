"""The worker in this process, with tasks of its own kind; its death is played in test_serve."""

import threading
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta

import pytest
from celery import current_app

from vessel.actions.due_work import ask_for
from vessel.management.worker import do_next, lease_kept, timetable, work_until
from vessel.models.due_work import DueWork

pytestmark = pytest.mark.django_db
Effects = list[str]


@pytest.fixture
def effects() -> Iterator[Effects]:
    """Tasks that leave a mark, registered for one test: tests.mark and tests.break."""
    done: Effects = []

    def mark(word: str) -> None:
        done.append(word)

    def break_off(word: str) -> None:
        done.append(word)
        raise ValueError(f"{word} is not a leg")

    tasks = {"tests.mark": mark, "tests.break": break_off}
    for name, deed in tasks.items():
        current_app.task(name=name)(deed)
    yield done
    for name in tasks:
        current_app.tasks.unregister(name)


def work(at: datetime) -> bool:
    return do_next(holder="this test", now=lambda: at)


def ask(at: datetime, task: str, word: str) -> DueWork:
    return ask_for(task=task, arguments={"word": word}, key=word, at=at)


def test_a_task_asked_for_twice_has_one_effect(at: datetime, effects: Effects) -> None:
    ask(at, "tests.mark", "leg 7")
    ask(at, "tests.mark", "leg 7")

    answers = [work(at), work(at)]

    assert answers == [True, False]
    assert effects == ["leg 7"]
    assert DueWork.objects.get().state == "done"


def test_a_task_that_breaks_is_kept_with_its_reason_and_the_next_one_is_done(at: datetime, effects: Effects) -> None:
    ask(at - timedelta(seconds=1), "tests.break", "leg 7")
    ask(at, "tests.mark", "leg 8")

    work(at)
    work(at)

    assert effects == ["leg 7", "leg 8"]
    broken = DueWork.objects.get(key="leg 7")
    assert (broken.state, broken.last_error) == ("failed", "ValueError: leg 7 is not a leg")


def test_a_task_that_always_breaks_is_run_five_times_and_given_up(at: datetime, effects: Effects) -> None:
    ask(at, "tests.break", "leg 7")

    for day in range(10):
        work(at + timedelta(days=day))

    assert effects == ["leg 7"] * 5
    assert DueWork.objects.get().state == "given_up"


def test_a_task_nobody_knows_is_said_by_name(at: datetime, effects: Effects) -> None:
    ask(at, "tests.gone", "leg 7")

    work(at)

    assert DueWork.objects.get().last_error == "No task is called tests.gone."


def test_the_worker_stops_when_told_to(at: datetime) -> None:
    stop = threading.Event()
    stop.set()

    work_until(stop, holder="this test", now=lambda: at)

    assert not DueWork.objects.exists()


def test_the_worker_leaves_when_the_process_above_it_is_gone(at: datetime) -> None:
    work_until(threading.Event(), holder="this test", now=lambda: at, parent=-1)

    assert not DueWork.objects.exists()


def test_every_task_of_the_timetable_exists() -> None:
    current_app.loader.import_default_modules()

    unknown = [line.task for line in timetable() if line.task not in current_app.tasks]

    assert timetable()
    assert unknown == []


@pytest.mark.django_db(transaction=True)
def test_the_lease_is_renewed_while_a_task_takes_long(at: datetime) -> None:
    row = DueWork.objects.create(
        key="k", task="t", state="leased", leased_by="w", leased_until=at, due_at=at, created_at=at
    )
    later: Callable[[], datetime] = lambda: at + timedelta(hours=1)  # noqa: E731
    renewed = at + timedelta(hours=1, seconds=60)

    with lease_kept(row, "w", later, every_s=0.01):
        for _ in range(500):
            row.refresh_from_db()
            if row.leased_until == renewed:
                break
            threading.Event().wait(0.01)

    assert row.leased_until == renewed
