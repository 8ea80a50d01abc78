"""The harbours and one harbour, on the worked example at its own hour."""

from collections.abc import Iterator
from datetime import UTC, datetime

import pytest
import time_machine
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from readiness.models import Gate, Harbour, Leg, TideStation
from tests.factories.aboard import aboard, signed_in
from tests.factories.readiness import stored
from tests.factories.vessel import a_vessel
from tests.factories.worked_example import worked_example
from vessel.models import Role

pytestmark = pytest.mark.django_db
NOW = datetime(2027, 5, 15, 5, 0, tzinfo=UTC)


@pytest.fixture(autouse=True)
def _hour() -> Iterator[None]:
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def leg() -> Leg:
    return stored(worked_example(1))


@pytest.fixture
def browser(leg: Leg) -> Client:
    return signed_in(aboard(leg.vessel))


def page(browser: Client, address: str, **headers: str) -> str:
    answer = browser.get(address, headers=headers)
    assert answer.status_code == 200
    return answer.content.decode()


def address_of(key: str) -> str:
    return f"/harbours/{Harbour.objects.get(key=key).pk}/"


def test_each_harbour_stands_with_its_next_waters_and_what_its_gate_does(browser: Client) -> None:
    text = page(browser, "/harbours/")

    assert "Morrowick" in text
    assert "Morrowick lock shut, opens" in text
    assert "not known" not in text.split("<table")[1].split("Ostrel")[0]


def test_no_harbours_teach_what_belongs_here() -> None:
    text = page(signed_in(aboard()), "/harbours/")

    assert "Places to start from" in text
    assert "Add a harbour" in text


def test_a_harbour_tells_its_tide_its_gate_and_its_week(browser: Client) -> None:
    text = page(browser, address_of("morrowick"))

    assert "Saturday 15 May: high water" in text
    assert "last entry" in text
    assert text.count("<tr>") > 7
    assert "now " in text
    assert "Printed" not in text.split("</main>")[0]


@pytest.mark.parametrize(
    ("link", "day", "week"),
    [
        ("week-before", "2027-05-08", "2027-05-08"),
        ("week-after", "2027-05-22", "2027-05-22"),
        ("day-before", "2027-05-14", "2027-05-08"),
        ("day-after", "2027-05-16", "2027-05-15"),
    ],
)
def test_days_and_weeks_are_stepped_the_way_they_say(browser: Client, link: str, day: str, week: str) -> None:
    text = page(browser, address_of("morrowick"))

    assert f'id="{link}" href="?day={day}&amp;from={week}"' in text


def test_another_day_is_a_part_of_the_page_only_and_keeps_its_week(browser: Client) -> None:
    part = page(browser, f"{address_of('morrowick')}?day=2027-05-17&from=2027-05-15", **{"HX-Request": "true"})

    assert part.lstrip().startswith('<div id="tide"')
    assert "Tide on Monday 17 May" in part
    assert "Tide table, Sat 15 May to Fri 21 May" in part
    assert "now " not in part


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ("tomorrow", "tomorrow is not a day"),
        ("2027-02-30", "is not a day"),
        ("1999-12-31", "Days are shown from 2000-01-01"),
        ("2100-01-01", "Days are shown from 2000-01-01"),
        ("<b>", "&lt;b&gt; is not a day"),
    ],
)
def test_a_day_that_is_none_is_told_and_today_is_shown(browser: Client, asked: str, said: str) -> None:
    text = page(browser, f"{address_of('morrowick')}?day={asked}")

    assert said in text
    assert "Tide on Saturday 15 May" in text


def test_a_day_beyond_a_printed_table_is_not_known_and_never_none(browser: Client) -> None:
    text = page(browser, f"{address_of('morrowick')}?day=2031-05-15")

    assert "not known" in text.lower()
    assert "shut all day" not in text


def test_a_station_that_cannot_answer_says_why(browser: Client, leg: Leg) -> None:
    TideStation.objects.filter(vessel=leg.vessel).update(datum=None)

    text = page(browser, address_of("morrowick"))

    assert "cannot answer; not known: the datum of its heights." in text
    assert "cannot answer" in page(browser, "/harbours/")


def test_a_harbour_without_a_station_says_so(browser: Client) -> None:
    Harbour.objects.filter(key="morrowick").update(tide_station=None)

    assert "No tide station is named for this harbour." in page(browser, address_of("morrowick"))


def test_a_gate_that_lacks_something_says_what(browser: Client) -> None:
    Gate.objects.filter(key="morrowick-lock").update(before_s=None)

    assert "not known: how long before and after high water it works" in page(browser, address_of("morrowick"))


def test_the_harbour_of_another_vessel_is_not_there(leg: Leg) -> None:
    stranger = signed_in(aboard(a_vessel()))

    assert leg.vessel.harbours.exists()
    assert stranger.get(address_of("morrowick")).status_code == 404


def test_nobody_who_is_not_signed_in_sees_a_harbour(leg: Leg) -> None:
    assert leg.pk
    assert Client().get("/harbours/").status_code == 302


@pytest.mark.parametrize(
    ("role", "may_change"), [(Role.OWNER, True), (Role.SKIPPER, True), (Role.CREW, False), (Role.VIEWER, False)]
)
def test_only_owner_and_skipper_are_offered_changes(leg: Leg, role: str, may_change: bool) -> None:
    browser = signed_in(aboard(leg.vessel, role))

    assert ("Add a harbour" in page(browser, "/harbours/")) is may_change
    assert ("Change the harbour" in page(browser, address_of("morrowick"))) is may_change


def queries(browser: Client, address: str) -> int:
    with CaptureQueriesContext(
        connection,
    ) as counted:
        page(browser, address)
    return len(counted)


def test_the_list_asks_no_more_for_three_harbours_than_for_one(browser: Client, leg: Leg) -> None:
    many = queries(browser, "/harbours/")
    Gate.objects.exclude(key="morrowick-lock").delete()
    leg.refuges.clear()
    Harbour.objects.exclude(key__in=("morrowick", "ostrel")).exclude(pk__in=(leg.departure_id, leg.arrival_id)).exclude(
        waited_at_for__isnull=False
    ).delete()

    few = queries(browser, "/harbours/")

    assert Harbour.objects.count() < 7
    assert few == many <= 16
