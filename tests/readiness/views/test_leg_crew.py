"""Who sails."""

from typing import Any

import pytest
from django.test import Client

from readiness.models import Leg
from tests.factories.vessel import a_person
from tests.readiness.views.asked import page

pytestmark = pytest.mark.django_db


def sail(browser: Client, leg: Leg, sails: list[int], skipper: int | str, **more: Any) -> Any:
    leg.refresh_from_db()
    return browser.post(f"/legs/{leg.pk}/crew/", {"version": leg.version, "sails": sails, "skipper": skipper, **more})


def test_the_page_shows_everybody_with_skills_and_stays(owner: Client, leg: Leg) -> None:
    stranger = a_person(leg.vessel, name="Wenna Pask")

    text = page(owner, f"/legs/{leg.pk}/crew/")

    assert text.count('name="sails"') == leg.crew_rows.count() + 1
    assert text.count(" checked>") == leg.crew_rows.count() + 1  # and the skipper
    row = text[text.index(f"sails-{stranger.pk}") :]
    assert "skills not known" in row
    assert "Not known to be aboard" in row


def test_another_crew_is_written_down_with_its_skipper_first(owner: Client, leg: Leg) -> None:
    people = list(leg.crew.order_by("pk"))
    new = a_person(leg.vessel, name="Wenna Pask")

    answer = sail(owner, leg, [people[0].pk, new.pk], new.pk)

    assert answer.status_code == 302
    rows = list(leg.crew_rows.order_by("-skipper", "pk"))
    assert [(row.person, row.skipper) for row in rows] == [(new, True), (people[0], False)]


def test_who_sails_needs_a_skipper_among_them(owner: Client, leg: Leg) -> None:
    first, second, *_ = leg.crew.order_by("pk")
    before = leg.crew_rows.count()

    nobody = sail(owner, leg, [first.pk], "")
    ashore = sail(owner, leg, [first.pk], second.pk)

    assert "Say who of them is her skipper" in nobody.content.decode()
    assert f"{second.name} is her skipper but does not sail" in ashore.content.decode()
    assert (nobody.status_code, ashore.status_code, leg.crew_rows.count()) == (422, 422, before)


def test_a_person_of_another_boat_does_not_sail(owner: Client, leg: Leg) -> None:
    stranger = a_person()

    assert sail(owner, leg, [stranger.pk], stranger.pk).status_code == 422


@pytest.mark.parametrize("key", ["9" * 19, "-9223372036854775809", "9" * 400, "\uff19" * 19, "\0", "nan", "1.5"])
def test_a_key_that_nobody_can_have_is_no_choice(owner: Client, leg: Leg, key: str) -> None:
    first, *_ = leg.crew.order_by("pk")
    leg.refresh_from_db()
    sent = {"version": leg.version, "sails": [key], "skipper": first.pk}

    answer = owner.post(f"/legs/{leg.pk}/crew/", sent)

    assert answer.status_code == 422
    assert leg.crew_rows.count() > 1


def test_a_crew_changed_meanwhile_is_told_and_the_ticks_are_kept(owner: Client, leg: Leg) -> None:
    first, *_ = leg.crew.order_by("pk")
    old = leg.version
    sail(owner, leg, [first.pk], first.pk)

    answer = sail(owner, leg, [first.pk], first.pk, version=old)

    assert answer.status_code == 422
    assert "was changed by somebody else" in answer.content.decode()
    assert answer.content.decode().count(" checked>") == 2


def test_an_empty_crew_list_says_what_belongs_there(owner: Client, leg: Leg) -> None:
    leg.vessel.people.all().delete()

    assert "Nobody is in the boat's crew list yet" in page(owner, f"/legs/{leg.pk}/crew/")
