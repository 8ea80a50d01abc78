"""Go or stay, on exactly the verdict that was shown."""

from html import unescape
from typing import Any

import pytest
from django.test import Client

from readiness.models import Decision, Leg, Verdict
from tests.factories.aboard import aboard, signed_in
from tests.readiness.views.asked import page
from vessel.models import Role

pytestmark = pytest.mark.django_db


def form_of(browser: Client, leg: Leg) -> dict[str, Any]:
    """What the form of the page would send, every condition ticked."""
    section = browser.get(f"/legs/{leg.pk}/decide/").context["answers"]
    return {
        "once": section.form["once"].value(),
        "shown": section.form["shown"].value(),
        "accepted": [condition.value for condition in section.to_accept],
    }


def decide(browser: Client, leg: Leg, **sent: Any) -> Any:
    return browser.post(f"/legs/{leg.pk}/decide/", {**form_of(browser, leg), **sent})


def test_the_legs_page_holds_conditions_and_the_decision(owner: Client, leg: Leg) -> None:
    text = page(owner, f"/legs/{leg.pk}/")

    assert "Your decision" in text
    assert "To go, take each condition on" in text
    assert text.count('name="accepted"') == len(form_of(owner, leg)["accepted"]) > 0
    assert "We go" in text
    assert "We stay" in text


def test_to_go_is_kept_with_name_time_verdict_and_each_condition(owner: Client, leg: Leg) -> None:
    accepted = form_of(owner, leg)["accepted"]

    answer = decide(owner, leg, word="go", reason="Fair all the way")

    row = Decision.objects.get()
    assert (answer.status_code, answer["Location"]) == (302, f"/legs/{leg.pk}/#decision-title")
    assert (row.word, row.reason, row.against) == ("go", "Fair all the way", False)
    assert len(row.conditions) == len(accepted)
    assert (row.verdict.word, row.verdict.is_newest, Verdict.objects.count()) == ("go if", True, 1)
    text = page(owner, f"/legs/{leg.pk}/")
    assert "We go.</b> Decided Sat 15 May 06:00 (05:00 UTC)" in text
    assert "The verdict then: Go if" in text


def test_a_condition_that_is_not_taken_on_stops_a_go_and_the_ticks_and_words_are_kept(owner: Client, leg: Leg) -> None:
    first, *_ = form_of(owner, leg)["accepted"]

    answer = decide(owner, leg, word="go", accepted=[first], reason="Fair all the way")

    text = unescape(answer.content.decode())
    assert answer.status_code == 422
    assert "Accept each condition to go" in text
    assert "Fair all the way" in text
    assert text.count(" checked>") == 1
    assert not Decision.objects.exists()


def test_to_stay_needs_no_tick(owner: Client, leg: Leg) -> None:
    assert decide(owner, leg, word="no-go", accepted=[]).status_code == 302
    assert "We stay.</b> Decided" in page(owner, f"/legs/{leg.pk}/")


def test_another_verdict_than_the_one_shown_is_not_decided_on(owner: Client, leg: Leg) -> None:
    sent = form_of(owner, leg)
    leg.crew_rows.filter(skipper=False).delete()

    answer = owner.post(f"/legs/{leg.pk}/decide/", {**sent, "word": "go"})

    text = answer.content.decode()
    assert answer.status_code == 422
    assert "While you looked the verdict moved: it is No-go now" in text
    assert (Decision.objects.count(), Verdict.objects.count()) == (0, 0)
    assert sent["shown"] not in text


def test_to_go_against_a_no_go_needs_a_reason(owner: Client, leg: Leg) -> None:
    leg.crew_rows.filter(skipper=False).delete()

    bare = decide(owner, leg, word="go")
    reasoned = decide(owner, leg, word="go", reason="The keeper's two sons take the lines")

    assert (bare.status_code, reasoned.status_code) == (422, 302)
    assert "To go all the same, write down why" in bare.content.decode()
    assert "<b>against it</b>" in page(owner, f"/legs/{leg.pk}/")


def test_the_same_decision_sent_twice_is_one_and_a_new_one_stands_first(owner: Client, leg: Leg) -> None:
    sent = {**form_of(owner, leg), "word": "no-go"}

    first, again = (owner.post(f"/legs/{leg.pk}/decide/", sent) for _ in range(2))
    decide(owner, leg, word="go")

    assert (first.status_code, again.status_code, Decision.objects.count()) == (302, 302, 2)
    text = page(owner, f"/legs/{leg.pk}/")
    assert text.index("We go.</b> Decided") < text.index("Decided before")


@pytest.mark.parametrize(
    ("role", "status"), [(Role.OWNER, 200), (Role.SKIPPER, 200), (Role.CREW, 403), (Role.VIEWER, 403)]
)
def test_owner_and_skipper_decide(leg: Leg, role: str, status: int) -> None:
    browser = signed_in(aboard(leg.vessel, role))

    assert browser.get(f"/legs/{leg.pk}/decide/").status_code == status
    assert ("We go" in page(browser, f"/legs/{leg.pk}/")) is (status == 200)


def test_the_reason_of_a_decision_is_for_those_in_command(owner: Client, crew: Client, leg: Leg) -> None:
    decide(owner, leg, word="no-go", reason="Tam is unwell")

    assert "Tam is unwell" in page(owner, f"/legs/{leg.pk}/")
    assert "Tam is unwell" not in page(crew, f"/legs/{leg.pk}/")


def test_another_departure_is_not_decided_on_but_may_be_planned(owner: Client, leg: Leg) -> None:
    text = page(owner, f"/legs/{leg.pk}/?at=2027-05-15T07:30Z")

    assert "We go" not in text
    assert f"/legs/{leg.pk}/plan/?at=2027-05-15T07:30:00Z" in text
    assert 'value="2027-05-15T08:30"' in page(owner, f"/legs/{leg.pk}/plan/?at=2027-05-15T07:30:00Z")


def test_a_leg_under_way_is_not_decided_on(owner: Client, leg: Leg) -> None:
    sent = form_of(owner, leg)
    owner.post(f"/legs/{leg.pk}/depart/", {})

    answer = owner.post(f"/legs/{leg.pk}/decide/", {**sent, "word": "go"})

    assert "is under way, so there is nothing to decide" in answer.content.decode()
    assert "We go" not in page(owner, f"/legs/{leg.pk}/")


def test_another_boats_leg_is_not_there(leg: Leg) -> None:
    assert signed_in(aboard()).post(f"/legs/{leg.pk}/decide/", {"word": "go"}).status_code == 404


def test_a_leg_that_cannot_be_judged_says_so(owner: Client, leg: Leg) -> None:
    leg.points.all().delete()

    assert "has no way yet" in page(owner, f"/legs/{leg.pk}/decide/")
