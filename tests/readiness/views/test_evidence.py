"""From a finding to the page of what it names."""

import pytest
from django.test import Client

from readiness.models import Gate, Harbour, Leg, TideStation
from tests.factories.aboard import aboard, signed_in
from tests.factories.readiness import stored
from tests.factories.vessel import a_vessel
from tests.factories.worked_example import worked_example

pytestmark = pytest.mark.django_db


@pytest.fixture
def leg() -> Leg:
    return stored(worked_example(1))


@pytest.fixture
def browser(leg: Leg) -> Client:
    return signed_in(aboard(leg.vessel))


def test_a_gate_leads_to_its_harbour_and_one_on_the_way_to_the_list(browser: Client) -> None:
    gate = Gate.objects.get(key="morrowick-lock")
    assert browser.get("/see/gate/morrowick-lock/")["Location"] == f"/harbours/{gate.harbour_id}/"

    Gate.objects.filter(pk=gate.pk).update(harbour=None, zone="UTC")

    assert browser.get("/see/gate/morrowick-lock/")["Location"] == f"/gates/{gate.pk}/"


def test_a_place_and_a_tide_station_lead_to_their_pages(browser: Client) -> None:
    place, station = Harbour.objects.get(key="morrowick"), TideStation.objects.get(key="ostrel")

    assert browser.get("/see/place/morrowick/")["Location"] == f"/harbours/{place.pk}/"
    assert browser.get("/see/station/ostrel/")["Location"] == f"/tides/{station.pk}/"


def test_who_sails_and_the_route_of_a_leg_are_reached_by_its_key(browser: Client, leg: Leg) -> None:
    assert browser.get(f"/see/who sails/{leg.key}/")["Location"] == f"/legs/{leg.pk}/crew/"
    assert browser.get(f"/see/route/{leg.key}/")["Location"] == f"/legs/{leg.pk}/route/"


@pytest.mark.parametrize(
    "address",
    [
        "/see/gate/nowhere/",
        "/see/place/nowhere/",
        "/see/station/nowhere/",
        "/see/defect/x/",
        "/see/whale/1/",
        "/see/route/nowhere/",
    ],
)
def test_what_is_not_there_has_no_page(browser: Client, address: str) -> None:
    assert browser.get(address).status_code == 404


def test_a_stranger_is_led_nowhere(leg: Leg) -> None:
    stranger = signed_in(aboard(a_vessel()))

    assert leg.vessel.gates.filter(key="morrowick-lock").exists()
    assert stranger.get("/see/gate/morrowick-lock/").status_code == 404
