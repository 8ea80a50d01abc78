"""The coming legs are judged by themselves: every one, each on its own, and run twice with one effect."""

import io
import zipfile
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
import time_machine

from config.celery import TIMETABLE, app
from readiness.feeds.waiting_file import put_by
from readiness.models import Leg, Verdict
from readiness.queries.leg import coming_legs, distance_m, legs_behind
from readiness.tasks import clear_waiting_files, judge_coming_legs, judge_leg_again, judge_what_changed
from tests.factories.readiness import stored
from tests.factories.worked_example import worked_example
from vessel.actions.coming_legs import TASK, ask_to_judge
from vessel.actions.handover import build_handover
from vessel.actions.history import record
from vessel.models import DueWork

pytestmark = pytest.mark.django_db
NOW = worked_example().judged_at
MINUTE = timedelta(minutes=1)


@pytest.fixture
def leg() -> Leg:
    """The leg of the worked example, stored."""
    return stored(worked_example())


def another(leg: Leg, key: str, **changes: object) -> Leg:
    """The same leg once more with some columns changed."""
    points = list(leg.points.all())
    copy = Leg.objects.get(pk=leg.pk)
    copy.pk, copy.key = None, key
    for name, value in changes.items():
        setattr(copy, name, value)
    copy.save()
    for point in points:
        point.pk, point.leg = None, copy
        point.save()
    return copy


def test_legs_that_are_over_or_long_past_are_not_coming(leg: Leg) -> None:
    another(leg, "off", status="called off", ended_at=NOW)
    past = another(leg, "past", planned_at=NOW - timedelta(days=1), overdue_at=None)
    late = another(leg, "late", planned_at=NOW - timedelta(hours=23), overdue_at=None)

    assert coming_legs(NOW) == [late.pk, leg.pk]
    assert coming_legs(NOW, leg.vessel_id + 1) == []
    assert past.pk not in coming_legs(NOW, leg.vessel_id)


def test_a_leg_is_behind_until_judged_and_again_after_any_change(leg: Leg) -> None:
    assert legs_behind(NOW) == [leg.pk]

    with time_machine.travel(NOW, tick=False):
        judge_what_changed()
    assert legs_behind(NOW) == []

    record(
        vessel=leg.vessel, what="Fuel dipped: 290 L", by="owner-000001", at=NOW + MINUTE, noun="reading", noun_key="1"
    )
    assert legs_behind(NOW + MINUTE) == [leg.pk]

    with time_machine.travel(NOW + MINUTE, tick=False):
        judge_what_changed()
    assert legs_behind(NOW + MINUTE) == []
    assert Verdict.objects.get(is_newest=True).judged_at == NOW + MINUTE


@time_machine.travel(NOW, tick=False)
def test_run_twice_there_is_one_verdict_of_each_coming_leg(leg: Leg) -> None:
    other = another(leg, "other")

    for _ in range(2):
        judge_coming_legs()

    assert sorted(Verdict.objects.values_list("leg_id", flat=True)) == [leg.pk, other.pk]


@time_machine.travel(NOW, tick=False)
def test_a_leg_that_cannot_be_judged_does_not_hold_up_the_others(leg: Leg) -> None:
    broken = another(leg, "broken", planned_at=NOW, overdue_at=None)
    broken.points.all().delete()

    judge_coming_legs()

    assert Verdict.objects.get().leg == leg


@time_machine.travel(NOW, tick=False)
def test_a_leg_on_which_something_breaks_is_told_after_the_others_are_judged(leg: Leg) -> None:
    broken = another(leg, "broken", planned_at=datetime(9999, 12, 31, 22, tzinfo=UTC), overdue_at=None)
    first = another(leg, "first", planned_at=NOW, overdue_at=None)

    with pytest.raises((ValueError, OverflowError)):
        judge_coming_legs()

    assert set(Verdict.objects.values_list("leg_id", flat=True)) == {leg.pk, first.pk}
    assert broken.pk in coming_legs(NOW)


@time_machine.travel(NOW, tick=False)
def test_one_leg_is_judged_again_when_asked(leg: Leg) -> None:
    judge_leg_again(leg.pk)

    assert Verdict.objects.get().by == "timetable"


def test_the_task_that_doors_ask_for_is_one_the_worker_knows_and_runs_every_hour(leg: Leg) -> None:
    for _ in range(2):
        ask_to_judge(vessel_id=leg.vessel_id, at=NOW)
    app.loader.import_default_modules()

    work = DueWork.objects.get()
    assert (work.task, work.arguments) == (TASK, {"vessel_id": leg.vessel_id})
    assert TASK in app.tasks
    assert [line.every_s for line in TIMETABLE if line.task == TASK] == [3600]


def test_the_distance_of_a_leg_is_along_its_way(leg: Leg) -> None:
    assert distance_m(leg.pk) == pytest.approx(48 * 1852, abs=1)


def test_files_nobody_took_in_are_thrown_away_every_hour(data_folder: Path) -> None:
    put_by(b"old", owner=7, at=NOW - timedelta(hours=2))

    with time_machine.travel(NOW, tick=False):
        clear_waiting_files()
        clear_waiting_files()

    assert list((data_folder / "waiting").iterdir()) == []
    assert [line.every_s for line in TIMETABLE if line.task == "readiness.tasks.clear_waiting_files"] == [3600]


def test_a_file_that_waits_is_no_part_of_a_handover(leg: Leg, data_folder: Path) -> None:
    put_by(b"a forecast that somebody looked at", owner=7, at=NOW)

    pack = build_handover(vessel_id=leg.vessel_id, by="test", at=NOW)

    with zipfile.ZipFile(io.BytesIO(pack.data)) as bag:
        assert not any("waiting" in name for name in bag.namelist())
        assert not any(b"somebody looked at" in bag.read(name) for name in bag.namelist())
