"""The plan of a leg, typed by the harbour's clock; what two people type at once is not lost."""

from datetime import UTC, datetime
from typing import Any

import pytest
from django.http import QueryDict
from django.test import Client

from readiness.forms.leg_plan import PlanForm
from readiness.models import KeeperPromise, Leg
from tests.readiness.views.asked import page
from vessel.models import DueWork, HistoryEntry, HistoryPrivate
from vessel.units import KNOT

pytestmark = pytest.mark.django_db


def plan_of(leg: Leg, **sent: Any) -> dict[str, Any]:
    """The plan as its form sends it."""
    leg.refresh_from_db()
    return {
        "version": leg.version, "name": leg.name, "departure": leg.departure_id, "arrival": leg.arrival_id,
        "planned_at": "2027-05-15T07:30", "speed_mps": "7 kn", "running_on_s": "", **sent,
    }  # fmt: skip


def test_the_page_holds_every_form_with_what_stands(owner: Client, leg: Leg) -> None:
    text = page(owner, f"/legs/{leg.pk}/plan/")

    for heading in ("When and how", "Shore contact", "Keeper,", "Refuges", "The same leg on another day"):
        assert heading in text
    assert 'value="2027-05-15T07:30"' in text
    assert "Sat 15 May 07:30 (06:30 UTC)" in text


def test_another_departure_is_planned_by_the_harbours_clock(owner: Client, leg: Leg) -> None:
    answer = owner.post(f"/legs/{leg.pk}/plan/", plan_of(leg, planned_at="2027-05-15T08:45", speed_mps="6.5 kn"))

    leg.refresh_from_db()
    assert (answer.status_code, answer["Location"]) == (302, f"/legs/{leg.pk}/plan/#plan")
    assert leg.planned_at == datetime(2027, 5, 15, 7, 45, tzinfo=UTC)
    assert leg.speed_mps == pytest.approx(6.5 * KNOT)
    assert "planned departure" in HistoryEntry.objects.latest("number").what
    assert DueWork.objects.filter(task="readiness.tasks.judge_coming_legs").exists()


@pytest.mark.parametrize(
    ("sent", "told"),
    [
        ({"planned_at": "2027-03-28T01:30"}, "The clocks jump over 01:30"),
        ({"planned_at": "2027-10-31T01:30"}, "The clocks show 01:30 twice on that day. Say which one."),
        ({"planned_at": ""}, "required"),
        ({"planned_at": "2027-05-15T05:59"}, "Sat 15 May 05:59 (04:59 UTC) has gone by. Plan a departure"),
        ({"speed_mps": "7 pints"}, "7 pints"),
        ({"speed_mps": "0"}, "at least"),
        ({"speed_mps": "30.1 kn"}, "Is “30.1 kn” right? More than 30 kn is not taken here."),
        ({"name": ""}, "required"),
        ({"departure": "999999"}, "Select a valid choice"),
    ],
)
def test_a_mistake_is_told_at_its_field_and_nothing_is_changed(
    owner: Client, leg: Leg, sent: dict[str, str], told: str
) -> None:
    answer = owner.post(f"/legs/{leg.pk}/plan/", plan_of(leg, **sent))

    leg.refresh_from_db()
    assert answer.status_code == 422
    assert told in answer.content.decode()
    assert (leg.planned_at, leg.version) == (datetime(2027, 5, 15, 6, 30, tzinfo=UTC), 1)


@pytest.mark.parametrize(("which", "hour"), [("first", 0), ("second", 1)])
def test_which_of_two_hours_was_meant_is_kept(owner: Client, leg: Leg, which: str, hour: int) -> None:
    owner.post(f"/legs/{leg.pk}/plan/", plan_of(leg, planned_at="2027-10-31T01:30", planned_at_which=which))

    leg.refresh_from_db()
    assert leg.planned_at == datetime(2027, 10, 31, hour, 30, tzinfo=UTC)


def test_the_clock_is_that_of_the_harbour_picked(owner: Client, leg: Leg) -> None:
    leg.arrival.zone = "UTC"
    leg.arrival.save()

    owner.post(f"/legs/{leg.pk}/plan/", plan_of(leg, departure=leg.arrival_id, arrival=leg.departure_id))

    leg.refresh_from_db()
    assert leg.planned_at == datetime(2027, 5, 15, 7, 30, tzinfo=UTC)


def test_a_plan_changed_meanwhile_shows_both_texts_and_saving_again_saves_yours(owner: Client, leg: Leg) -> None:
    mine = plan_of(leg, name="By the outer channel", once="k1")
    owner.post(f"/legs/{leg.pk}/plan/", plan_of(leg, name="By the inner channel"))

    answer = owner.post(f"/legs/{leg.pk}/plan/", mine)

    text = answer.content.decode()
    assert answer.status_code == 422
    assert "yours “By the outer channel”, theirs “By the inner channel”" in text
    assert 'value="By the outer channel"' in text
    leg.refresh_from_db()
    assert f'name="version" value="{leg.version}"' in text
    owner.post(f"/legs/{leg.pk}/plan/", {**mine, "version": leg.version, "once": "k2"})
    leg.refresh_from_db()
    assert leg.name == "By the outer channel"


def test_an_overdue_time_that_would_come_before_she_leaves_is_open_again(owner: Client, leg: Leg) -> None:
    owner.post(f"/legs/{leg.pk}/plan/", plan_of(leg, planned_at="2027-05-16T07:30"))

    leg.refresh_from_db()
    assert leg.overdue_at is None
    assert leg.contact_acknowledged is None
    assert "overdue time not agreed" in page(owner, f"/legs/{leg.pk}/plan/")


def test_an_overdue_time_typed_before_the_departure_is_refused_in_words(owner: Client, leg: Leg) -> None:
    answer = owner.post(f"/legs/{leg.pk}/contact/", {"version": leg.version, "overdue_at": "2027-05-15T07:30"})

    assert answer.status_code == 422
    assert "Not saved: Overdue must come after the planned departure. Nothing was changed." in answer.content.decode()


def test_the_shore_contact_is_written_down_and_names_stay_private(owner: Client, leg: Leg) -> None:
    answer = owner.post(
        f"/legs/{leg.pk}/contact/",
        {"version": leg.version, "contact_name": "Ann Sorrel", "contact_details": "12 Quay Row",
         "contact_told_at": "2027-05-15T05:40", "answered": "yes", "overdue_at": "2027-05-15T19:00"},
    )  # fmt: skip

    leg.refresh_from_db()
    assert answer.status_code == 302
    assert (leg.contact_name, leg.contact_acknowledged) == ("Ann Sorrel", True)
    assert leg.overdue_at == datetime(2027, 5, 15, 18, 0, tzinfo=UTC)
    entry = HistoryEntry.objects.latest("number")
    assert "Ann" not in entry.what + str(entry.changes)
    assert "Ann Sorrel" in (HistoryPrivate.objects.get(number=entry.number).text or "")
    assert "→ Ann Sorrel" in page(owner, "/history/")


@pytest.mark.parametrize(("answered", "stands"), [("yes", True), ("no", False), ("", None)])
def test_the_contacts_answer_is_one_of_three(owner: Client, leg: Leg, answered: str, stands: bool | None) -> None:
    owner.post(f"/legs/{leg.pk}/contact/", {"version": leg.version, "contact_name": "Ann", "answered": answered})

    leg.refresh_from_db()
    assert leg.contact_acknowledged is stands


def test_nobody_can_have_been_told(owner: Client, leg: Leg) -> None:
    sent = {"version": leg.version, "contact_name": "", "contact_told_at": "2027-05-15T05:40"}

    assert "Say who was told" in owner.post(f"/legs/{leg.pk}/contact/", sent).content.decode()


def test_refuges_are_ticked(owner: Client, leg: Leg) -> None:
    ends = (leg.departure_id, leg.arrival_id)
    one = leg.vessel.harbours.exclude(pk__in=ends).first()
    assert one is not None

    owner.post(f"/legs/{leg.pk}/refuges/", {"version": leg.version, "refuges": [one.pk]})

    assert list(leg.refuges.all()) == [one]


@pytest.mark.parametrize(
    ("answer", "confirmed", "told"),
    [("yes", True, "Help with lines promised"), ("no", False, "refused"), ("", None, "Asked, not answered")],
)
def test_what_the_keeper_said_is_kept_with_name_and_time(
    owner: Client, leg: Leg, answer: str, confirmed: bool | None, told: str
) -> None:
    gate = leg.points.exclude(gate=None).get().gate
    assert gate is not None
    prefix = f"gate{gate.pk}"

    sent = owner.post(
        f"/legs/{leg.pk}/keeper/{gate.pk}/", {f"{prefix}-answer": answer, f"{prefix}-keeper": "Wat Sorrel"}
    )

    promise = KeeperPromise.objects.get(leg=leg, gate=gate)
    assert (sent.status_code, promise.confirmed, promise.keeper) == (302, confirmed, "Wat Sorrel")
    text = page(owner, f"/legs/{leg.pk}/plan/")
    assert told in text
    assert "Wat Sorrel, Sat 15 May 06:00 (05:00 UTC)" in text


def test_a_gate_that_is_not_on_the_way_has_no_keeper_here(owner: Client, leg: Leg) -> None:
    assert owner.post(f"/legs/{leg.pk}/keeper/999999/", {}).status_code == 404


def test_the_same_leg_is_planned_for_another_day_once(owner: Client, leg: Leg) -> None:
    sent = {"copy-name": "Again", "copy-planned_at": "2027-05-16T08:00", "copy-once": "k1"}

    first, again = (owner.post(f"/legs/{leg.pk}/copy/", sent) for _ in range(2))

    new = Leg.objects.exclude(pk=leg.pk).get()
    assert first["Location"] == again["Location"] == f"/legs/{new.pk}/plan/"
    assert (new.name, new.planned_at) == ("Again", datetime(2027, 5, 16, 7, 0, tzinfo=UTC))


def test_a_leg_that_is_over_keeps_its_plan_and_can_be_copied(owner: Client, leg: Leg) -> None:
    owner.post(f"/legs/{leg.pk}/end/", {"status": "called off"})

    text = page(owner, f"/legs/{leg.pk}/plan/")
    answer = owner.post(f"/legs/{leg.pk}/plan/", plan_of(leg, name="Another"))

    assert "is not changed any more" in text
    assert "Save the plan" not in text
    assert "Plan the new leg" in text
    assert answer.status_code == 422


@pytest.mark.parametrize("path", ["plan", "crew"])
def test_the_crew_do_not_plan(crew: Client, leg: Leg, path: str) -> None:
    assert crew.get(f"/legs/{leg.pk}/{path}/").status_code == 403


@pytest.mark.parametrize("counts", [True, False, None])
def test_a_plan_sent_back_untouched_says_what_stood(leg: Leg, counts: bool | None) -> None:
    leg.watch_plan_counts_autopilot = counts
    leg.save()
    shown = PlanForm(leg=leg)
    sent = QueryDict(mutable=True)
    for field in shown:
        if field.value() not in (None, False):
            sent[field.html_name] = str(field.value())
    sent["planned_at"] = "2027-05-15T07:30"

    again = PlanForm(sent, leg=leg)

    assert again.is_valid(), again.errors
    for name, value in again.columns().items():
        assert getattr(leg, name) == value, name


def test_a_departure_that_has_gone_by_stands_while_the_rest_of_the_plan_is_changed(owner: Client, leg: Leg) -> None:
    Leg.objects.filter(pk=leg.pk).update(planned_at=datetime(2027, 5, 15, 4, 30, tzinfo=UTC))

    answer = owner.post(f"/legs/{leg.pk}/plan/", plan_of(leg, planned_at="2027-05-15T05:30", speed_mps="6 kn"))

    leg.refresh_from_db()
    assert answer.status_code == 302
    assert leg.planned_at == datetime(2027, 5, 15, 4, 30, tzinfo=UTC)
    assert leg.speed_mps == pytest.approx(6 * KNOT)


def test_a_copy_on_a_day_that_has_gone_by_is_refused(owner: Client, leg: Leg) -> None:
    sent = {"copy-name": "Again", "copy-planned_at": "2027-05-14T07:30"}

    answer = owner.post(f"/legs/{leg.pk}/copy/", sent)

    assert answer.status_code == 422
    assert "has gone by" in answer.content.decode()
    assert Leg.objects.count() == 1


def test_only_keepers_of_locks_are_asked_for_help(owner: Client, leg: Leg) -> None:
    assert "Keeper, Morrowick lock" in page(owner, f"/legs/{leg.pk}/plan/")

    leg.keeper_promises.all().delete()
    leg.vessel.gates.filter(key="morrowick-lock").update(kind="bridge", fixed=False)

    assert "Keeper, Morrowick lock" not in page(owner, f"/legs/{leg.pk}/plan/")
