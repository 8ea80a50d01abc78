"""Home and the leg's page: judged as they open, on the worked example at its own hour."""

from collections.abc import Iterator
from datetime import UTC, datetime

import pytest
import time_machine
from django.test import Client

from readiness.models import Leg
from tests.factories.aboard import aboard, signed_in
from tests.factories.readiness import stored
from tests.factories.worked_example import worked_example

pytestmark = pytest.mark.django_db
NOW = datetime(2027, 5, 15, 5, 0, tzinfo=UTC)


@pytest.fixture(autouse=True)
def _hour() -> Iterator[None]:
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def leg() -> Leg:
    return stored(worked_example(1))


def owner_of(leg: Leg) -> Client:
    return signed_in(aboard(leg.vessel))


def page(browser: Client, address: str, **headers: str) -> str:
    answer = browser.get(address, headers=headers)
    assert answer.status_code == 200
    return answer.content.decode()


@pytest.mark.parametrize("address", ["/", "/legs/{pk}/"])
def test_the_verdict_stands_with_its_first_reason(leg: Leg, address: str) -> None:
    browser = owner_of(leg)

    text = page(browser, address.format(pk=leg.pk))

    assert "Go if" in text
    assert "Emergency tiller head loose on its worn pin" in text
    assert "What this stands on" in text


def test_the_leg_tells_its_sums_margins_and_proved_change(leg: Leg) -> None:
    browser = owner_of(leg)

    text = page(browser, f"/legs/{leg.pk}/")

    assert "1.19 m" in text
    assert "61 min" in text
    assert "proved" in text
    assert "Morrowick lock" in text


def test_a_part_is_the_judged_part_of_the_page_only(leg: Leg) -> None:
    browser = owner_of(leg)

    part = page(browser, f"/legs/{leg.pk}/?at=2027-05-15T17:15Z", **{"HX-Request": "true"})

    assert part.lstrip().startswith('<div id="judged"')
    assert "18:15" in part


@pytest.mark.parametrize(
    ("typed", "told"),
    [("nonsense", "nonsense is not a time"), ("9999-12-31T23:59Z", "is not among the departures judged")],
)
def test_a_departure_nobody_judged_is_told_and_the_planned_one_shown(leg: Leg, typed: str, told: str) -> None:
    browser = owner_of(leg)

    text = page(browser, f"/legs/{leg.pk}/?at={typed}")

    assert told in text
    assert "Shown is the planned departure." in text


def test_another_boats_leg_is_not_found_like_one_that_never_was(leg: Leg) -> None:
    stranger = signed_in(aboard())

    assert stranger.get(f"/legs/{leg.pk}/").status_code == 404
    assert stranger.get("/legs/999999/").status_code == 404


def test_home_without_a_leg_says_what_belongs_there() -> None:
    browser = signed_in(aboard())

    assert "No leg is planned" in page(browser, "/")


def test_a_finding_leads_to_its_defect(leg: Leg) -> None:
    answer = owner_of(leg).get("/see/defect/DEF-2/")

    assert answer.status_code == 302
    assert answer.headers["Location"] == f"/defects/{leg.vessel.defects.get(number=2).pk}/"
