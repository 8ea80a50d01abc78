"""A no-go waived in writing, and the waiver taken back."""

from typing import Any

import pytest
from django.test import Client

from readiness.models import Leg, Waiver
from tests.readiness.views.asked import page

pytestmark = pytest.mark.django_db


@pytest.fixture
def shorthanded(leg: Leg) -> Leg:
    """Two hands too few at the lock: a no-go that may be waived for one leg."""
    leg.crew_rows.filter(skipper=False).delete()
    return leg


def lines(browser: Client, leg: Leg) -> list[Any]:
    found: list[Any] = browser.get(f"/legs/{leg.pk}/decide/").context["answers"].waivable
    return found


def waive(browser: Client, leg: Leg, **sent: Any) -> Any:
    line = next(line for line in lines(browser, leg) if line.rule == "hands_at_gate")
    given = {"rule": line.rule, "cause": line.cause, "reason": "Two friends wait there", "instead": "They take them"}
    return browser.post(f"/legs/{leg.pk}/waive/", {**given, "told": [row.pk for row in leg.crew.all()], **sent})


def test_the_form_names_finding_figures_and_when_it_lapses(owner: Client, shorthanded: Leg) -> None:
    line = next(line for line in lines(owner, shorthanded) if line.rule == "hands_at_gate")

    text = page(owner, f"/legs/{shorthanded.pk}/waive/?rule={line.rule}&cause={line.cause}")

    assert "No-go.</b>" in text
    assert "lapses by itself when its figure gets a tenth worse" in text
    assert "What is done instead" in text
    assert "Until" not in text


def test_a_waived_finding_keeps_its_word_and_shape_and_the_headline_counts_it(owner: Client, shorthanded: Leg) -> None:
    answer = waive(owner, shorthanded)

    waiver = Waiver.objects.get()
    assert (answer.status_code, waiver.reason, len(waiver.told)) == (302, "Two friends wait there", 1)
    text = page(owner, f"/legs/{shorthanded.pk}/")
    assert "<b>Waived: 1.</b>" in text
    reasons = text[text.index('id="reasons-title"') :]
    title = reasons[reasons.index("#mark-no-go") : reasons.index("<b>· waived</b>")]
    assert "lock" in title
    assert "Why: Two friends wait there<br>Instead: They take them" in text
    assert "<b>Waived: 1.</b>" in page(owner, "/")


@pytest.mark.parametrize("empty", ["reason", "instead"])
def test_a_waiver_without_words_is_not_written_and_the_rest_is_kept(
    owner: Client, shorthanded: Leg, empty: str
) -> None:
    answer = waive(owner, shorthanded, **{empty: ""})

    text = answer.content.decode()
    assert answer.status_code == 422
    assert "Write down" in text
    assert ("They take them" if empty == "reason" else "Two friends wait there") in text
    assert not Waiver.objects.exists()


def test_what_cannot_be_waived_offers_no_form(owner: Client, leg: Leg) -> None:
    text = page(owner, f"/legs/{leg.pk}/waive/?rule=steering&cause=function:steer")

    assert "Nothing to waive here" in text
    assert "Waive it</button>" not in text
    assert owner.get(f"/legs/{leg.pk}/waive/?rule=no_such_rule").status_code == 404


def test_it_is_refused_where_the_rule_allows_none(owner: Client, shorthanded: Leg) -> None:
    line = next(line for line in lines(owner, shorthanded) if line.rule == "hands_at_gate")
    shorthanded.crew_rows.all().delete()

    answer = owner.post(f"/legs/{shorthanded.pk}/waive/",
                        {"rule": "forecast_cover", "cause": line.cause, "reason": "a", "instead": "b"})  # fmt: skip

    assert answer.status_code == 422
    assert "Nothing" in answer.content.decode() or "nothing" in answer.content.decode()
    assert not Waiver.objects.exists()


def test_a_waiver_is_taken_back_and_one_that_lapsed_too(owner: Client, shorthanded: Leg) -> None:
    waive(owner, shorthanded)
    waiver = Waiver.objects.get()
    shorthanded.crew_rows.create(person=shorthanded.vessel.people.exclude(legs=shorthanded)[0])
    assert "A waiver holds no more" in page(owner, f"/legs/{shorthanded.pk}/")

    answer = owner.post(f"/legs/{shorthanded.pk}/waivers/{waiver.pk}/withdraw/", {"version": 1, "once": "a"})

    waiver.refresh_from_db()
    assert (answer.status_code, waiver.withdrawn_at is not None) == (302, True)
    assert "A waiver holds no more" not in page(owner, f"/legs/{shorthanded.pk}/")
    again = owner.post(f"/legs/{shorthanded.pk}/waivers/{waiver.pk}/withdraw/", {"version": 2})
    assert "taken back already" in again.content.decode()


def test_the_crew_do_not_waive(crew: Client, shorthanded: Leg) -> None:
    assert crew.get(f"/legs/{shorthanded.pk}/waive/?rule=mean_wind").status_code == 403
