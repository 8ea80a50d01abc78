"""The page of coastlines: one taken in through the limited process, one taken away; whose it is."""

import json
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from readiness.models import Coastline
from tests.factories.aboard import aboard, signed_in
from tests.readiness.views.asked import page
from vessel.models import Membership, Role

pytestmark = pytest.mark.django_db
RING = [[-15.0, 46.0], [-14.0, 46.0], [-14.0, 46.5], [-15.0, 46.5], [-15.0, 46.0]]
LAND = {"type": "Polygon", "coordinates": [RING]}


@pytest.fixture
def member() -> Membership:
    return aboard()


@pytest.fixture
def owner(member: Membership) -> Client:
    return signed_in(member)


def sent(document: object = LAND, **more: Any) -> dict[str, Any]:
    data = document if isinstance(document, bytes) else json.dumps(document).encode()
    file = SimpleUploadedFile("coast.geojson", data, "application/geo+json")
    return {"once": "k", "name": "Ostrel coast", "source": "by hand", "file": file, **more}


def test_a_coastline_is_taken_in_and_what_was_guessed_is_said(owner: Client, member: Membership) -> None:
    answer = owner.post("/coastlines/", sent(), follow=True)

    text = answer.content.decode()
    assert "Polygons of land taken in: 1. The file does not say which area it covers" in text
    assert "46°00.00′ N to 46°30.00′ N" in text
    row = Coastline.objects.get(vessel=member.vessel)
    assert (row.key, row.points, row.source) == ("ostrel-coast", 5, "by hand")


def test_one_of_the_same_name_is_replaced(owner: Client) -> None:
    owner.post("/coastlines/", sent())
    owner.post("/coastlines/", sent({**LAND, "coordinates": [RING, RING]}, once="k2"))

    assert Coastline.objects.get().points == 10


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ({"document": b"not json"}, "This is not sound JSON"),
        ({"document": {"type": "Polygon", "coordinates": [RING[:2]]}}, "coordinates[0]: a ring has at least four"),
        ({"name": ""}, "Name it, such as"),
        ({"file": ""}, "Choose the file."),
    ],
)
def test_what_is_refused_is_told_and_nothing_is_taken_in(owner: Client, more: dict[str, Any], told: str) -> None:
    answer = owner.post("/coastlines/", sent(**more))

    assert answer.status_code == 422
    assert told in answer.content.decode()
    assert not Coastline.objects.exists()


def test_the_list_only_leads_to_the_question(owner: Client) -> None:
    owner.post("/coastlines/", sent())
    row = Coastline.objects.get()

    text = page(owner, "/coastlines/")
    asked = page(owner, f"/coastlines/{row.pk}/away/")

    assert f'href="/coastlines/{row.pk}/away/"' in text
    assert f'action="/coastlines/{row.pk}/away/"' not in text
    assert "Take Ostrel coast away?" in asked
    assert "whether a segment crosses land is not known" in asked
    assert Coastline.objects.count() == 1


def test_one_is_taken_away_once_and_only_as_it_was_seen(owner: Client) -> None:
    owner.post("/coastlines/", sent())
    row = Coastline.objects.get()

    stale = owner.post(f"/coastlines/{row.pk}/away/", {"version": "7", "once": "a"})
    assert stale.status_code == 422
    assert "it was kept" in stale.content.decode()
    answers = [owner.post(f"/coastlines/{row.pk}/away/", {"version": "1", "once": "b"}) for _ in range(2)]

    assert [answer["Location"] for answer in answers] == ["/coastlines/", "/coastlines/"]
    assert not Coastline.objects.exists()
    assert "None is held yet" in page(owner, "/coastlines/")
    assert owner.get(f"/coastlines/{row.pk}/away/").status_code == 404


@pytest.mark.parametrize(("role", "status"), [(Role.SKIPPER, 200), (Role.CREW, 403), (Role.VIEWER, 403)])
def test_owner_and_skipper_are_asked_and_nobody_else(owner: Client, member: Membership, role: str, status: int) -> None:
    owner.post("/coastlines/", sent())
    row = Coastline.objects.get()
    other = signed_in(aboard(member.vessel, role))

    assert other.get(f"/coastlines/{row.pk}/away/").status_code == status
    assert status == 200 or other.post(f"/coastlines/{row.pk}/away/", {"version": "1"}).status_code == 403
    assert Coastline.objects.count() == 1


def test_another_boats_coastline_is_not_there(owner: Client) -> None:
    owner.post("/coastlines/", sent())
    row = Coastline.objects.get()
    stranger = signed_in(aboard())

    assert "Ostrel coast</span>" not in page(stranger, "/coastlines/")
    assert stranger.get(f"/coastlines/{row.pk}/away/").status_code == 404
    assert stranger.post(f"/coastlines/{row.pk}/away/", {"version": "1"}).status_code == 404


def test_the_page_is_for_those_who_plan(member: Membership) -> None:
    assert signed_in(aboard(member.vessel, Role.CREW)).get("/coastlines/").status_code == 403
