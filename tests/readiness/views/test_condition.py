"""Conditions met and struck out again."""

from datetime import timedelta
from typing import Any

import pytest
from django.test import Client

from readiness.models import ConditionMet, Leg
from tests.readiness.views.asked import page
from vessel.models import DueWork

pytestmark = pytest.mark.django_db


def first_of(browser: Client, leg: Leg) -> Any:
    """The first condition that is not met."""
    return browser.get(f"/legs/{leg.pk}/decide/").context["answers"].to_accept[0]


def meet(browser: Client, leg: Leg, **sent: str) -> Any:
    form = first_of(browser, leg).meets
    given = {name: form[name].value() for name in ("once", "rule", "cause")}
    return browser.post(f"/legs/{leg.pk}/conditions/", {**given, "note": "Tried alongside", **sent})


def test_a_condition_met_stands_as_met_with_note_name_and_time(owner: Client, leg: Leg) -> None:
    before = len(owner.get(f"/legs/{leg.pk}/decide/").context["answers"].to_accept)

    answer = meet(owner, leg)

    met = ConditionMet.objects.get()
    assert (answer.status_code, met.note, met.departure_at) == (302, "Tried alongside", leg.planned_at)
    section = owner.get(f"/legs/{leg.pk}/decide/").context["answers"]
    assert len(section.to_accept) == before - 1
    text = page(owner, f"/legs/{leg.pk}/")
    assert "<b>· met</b>" in text
    assert "Tried alongside." in text
    assert DueWork.objects.filter(task="readiness.tasks.judge_coming_legs").exists()


def test_a_condition_met_for_another_departure_is_told_with_its_note_and_stands_again(owner: Client, leg: Leg) -> None:
    meet(owner, leg)
    Leg.objects.filter(pk=leg.pk).update(planned_at=leg.planned_at + timedelta(hours=1))

    text = page(owner, f"/legs/{leg.pk}/")

    assert "<b>· met</b>" not in text
    assert "Said to be met, for another departure:" in text
    assert "for leaving Sat 15 May 07:30 (06:30 UTC). Tried alongside. It holds no more." in text


def test_a_condition_met_for_a_quarter_earlier_still_holds(owner: Client, leg: Leg) -> None:
    meet(owner, leg)
    Leg.objects.filter(pk=leg.pk).update(planned_at=leg.planned_at + timedelta(minutes=15))

    text = page(owner, f"/legs/{leg.pk}/")

    assert "<b>· met</b>" in text
    assert "Said to be met, for another departure:" not in text


def test_it_was_not_met_after_all(owner: Client, leg: Leg) -> None:
    meet(owner, leg)
    met = ConditionMet.objects.get()

    answer = owner.post(f"/legs/{leg.pk}/conditions/{met.pk}/strike/", {"once": "a1"})
    again = owner.post(f"/legs/{leg.pk}/conditions/{met.pk}/strike/", {"once": "a1"})

    met.refresh_from_db()
    assert (answer.status_code, again.status_code) == (302, 302)
    assert met.struck_at is not None
    assert "<b>· met</b>" not in page(owner, f"/legs/{leg.pk}/")
    assert "struck out already" in owner.post(f"/legs/{leg.pk}/conditions/{met.pk}/strike/").content.decode()


def test_what_is_no_condition_is_refused_in_words(owner: Client, leg: Leg) -> None:
    answer = meet(owner, leg, rule="mean_wind", cause="forecast:")

    assert answer.status_code == 422
    assert "not in the newest verdict any more" in answer.content.decode()
    assert not ConditionMet.objects.exists()


def test_a_condition_met_twice_with_one_form_is_met_once(owner: Client, leg: Leg) -> None:
    form = first_of(owner, leg).meets
    sent = {name: form[name].value() for name in ("once", "rule", "cause")}

    for _ in range(2):
        assert owner.post(f"/legs/{leg.pk}/conditions/", sent).status_code == 302

    assert ConditionMet.objects.count() == 1


def test_the_crew_do_not_say_that_a_condition_is_met(crew: Client, leg: Leg) -> None:
    assert crew.post(f"/legs/{leg.pk}/conditions/", {"rule": "x", "cause": "y"}).status_code == 403


def test_a_condition_of_another_leg_is_not_struck(owner: Client, leg: Leg) -> None:
    meet(owner, leg)
    met = ConditionMet.objects.get()
    copied = owner.post(f"/legs/{leg.pk}/copy/", {"copy-name": "Again", "copy-planned_at": "2027-05-16T08:00"})
    other = Leg.objects.exclude(pk=leg.pk).get()

    assert copied.status_code == 302
    assert owner.post(f"/legs/{other.pk}/conditions/{met.pk}/strike/").status_code == 404
