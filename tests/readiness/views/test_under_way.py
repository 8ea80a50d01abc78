"""Departed, where she is, and how it ended."""

from datetime import UTC, datetime

import pytest
from django.test import Client

from readiness.models import Leg, PositionReport
from tests.factories.aboard import aboard, signed_in
from tests.readiness.views.asked import NOW, page
from vessel.models import Role
from vessel.queries.history import history_page

pytestmark = pytest.mark.django_db


def test_she_lets_go_now_or_when_it_is_said(crew: Client, leg: Leg) -> None:
    first = crew.post(f"/legs/{leg.pk}/depart/", {"departed_at": "2027-05-15T05:50", "once": "k"})
    again = crew.post(f"/legs/{leg.pk}/depart/", {"departed_at": "2027-05-15T05:50", "once": "k"})

    leg.refresh_from_db()
    assert (first.status_code, again.status_code, leg.status) == (302, 302, "under way")
    assert leg.departed_at == datetime(2027, 5, 15, 4, 50, tzinfo=UTC)
    other = crew.post(f"/legs/{leg.pk}/depart/", {})
    assert "is under way, so she cannot leave on it" in other.content.decode()


def test_nothing_typed_is_now(crew: Client, leg: Leg) -> None:
    crew.post(f"/legs/{leg.pk}/depart/", {})

    leg.refresh_from_db()
    assert leg.departed_at == NOW


def test_a_position_is_kept_and_told_with_name_and_time(crew: Client, leg: Leg) -> None:
    crew.post(f"/legs/{leg.pk}/depart/", {})

    answer = crew.post(f"/legs/{leg.pk}/position/", {"lat": "46 30.5 N", "lon": "15 02.4 W", "text": "all well"})

    report = PositionReport.objects.get()
    assert answer.status_code == 302
    assert report.lat_deg == pytest.approx(46.508333)
    assert report.lon_deg == pytest.approx(-15.04)
    text = page(crew, f"/legs/{leg.pk}/under-way/")
    assert "46°30.50′ N 015°02.40′ W" in text
    assert "all well" in text


@pytest.mark.parametrize(("lat", "lon"), [("off the bar", "15 02.4 W"), ("46 30.5 N", "15 02.4 N"), ("", "")])
def test_what_is_no_place_is_told_and_kept(crew: Client, leg: Leg, lat: str, lon: str) -> None:
    crew.post(f"/legs/{leg.pk}/depart/", {})

    answer = crew.post(f"/legs/{leg.pk}/position/", {"lat": lat, "lon": lon})

    assert answer.status_code == 422
    assert f'value="{lat}"' in answer.content.decode() or not lat
    assert not PositionReport.objects.exists()


def test_before_she_left_there_is_no_position_and_no_arrival(crew: Client, leg: Leg) -> None:
    text = page(crew, f"/legs/{leg.pk}/under-way/")

    assert "Save the position" not in text
    assert "called off before she left" in text
    assert "not under way" in crew.post(f"/legs/{leg.pk}/position/", {"lat": "46", "lon": "-15"}).content.decode()
    assert crew.post(f"/legs/{leg.pk}/end/", {"status": "arrived"}).status_code == 422


@pytest.mark.parametrize("status", ["arrived", "turned back"])
def test_how_it_ended_is_kept_with_its_time(crew: Client, leg: Leg, status: str) -> None:
    crew.post(f"/legs/{leg.pk}/depart/", {"departed_at": "2027-05-15T04:00"})

    answer = crew.post(f"/legs/{leg.pk}/end/", {"status": status, "ended_at": "2027-05-15T05:55", "outcome": "Lumpy"})

    leg.refresh_from_db()
    assert (answer.status_code, leg.status, leg.outcome) == (302, status, "Lumpy")
    assert leg.ended_at == datetime(2027, 5, 15, 4, 55, tzinfo=UTC)
    assert "Lumpy" in page(crew, f"/legs/{leg.pk}/under-way/")


def test_an_end_before_the_start_is_refused(crew: Client, leg: Leg) -> None:
    crew.post(f"/legs/{leg.pk}/depart/", {})

    answer = crew.post(f"/legs/{leg.pk}/end/", {"status": "arrived", "ended_at": "2027-05-15T01:00"})

    leg.refresh_from_db()
    assert (answer.status_code, leg.status) == (422, "under way")


def test_it_calls_nobody_and_says_when_the_contact_does(owner: Client, crew: Client, leg: Leg) -> None:
    text = page(owner, f"/legs/{leg.pk}/under-way/")

    assert "calls for help at" in text
    assert "it is no rescue service" in text


@pytest.mark.parametrize("path", ["depart", "position", "end"])
def test_a_viewer_looks_on(leg: Leg, path: str) -> None:
    viewer = signed_in(aboard(leg.vessel, Role.VIEWER))

    assert viewer.post(f"/legs/{leg.pk}/{path}/", {}).status_code == 403
    assert "Departed</button>" not in page(viewer, f"/legs/{leg.pk}/under-way/")


@pytest.mark.parametrize(("typed", "status"), [("2027-05-15T06:05", 302), ("2027-05-15T06:06", 422)])
def test_she_cannot_have_left_in_the_future(crew: Client, leg: Leg, typed: str, status: int) -> None:
    answer = crew.post(f"/legs/{leg.pk}/depart/", {"departed_at": typed})

    leg.refresh_from_db()
    assert (answer.status_code, leg.status) == (status, "under way" if status == 302 else "planned")
    assert ("This time is still to come, so “departed” was not written down." in answer.content.decode()) == (
        status == 422
    )


@pytest.mark.parametrize(("typed", "status"), [("2027-05-15T06:05", 302), ("2027-05-15T06:06", 422)])
def test_she_cannot_have_arrived_in_the_future(crew: Client, leg: Leg, typed: str, status: int) -> None:
    crew.post(f"/legs/{leg.pk}/depart/", {"departed_at": "2027-05-15T04:00"})

    answer = crew.post(f"/legs/{leg.pk}/end/", {"status": "arrived", "ended_at": typed})

    leg.refresh_from_db()
    assert (answer.status_code, leg.status) == (status, "arrived" if status == 302 else "under way")


def test_departed_is_taken_back_once_and_the_history_keeps_both(owner: Client, leg: Leg) -> None:
    owner.post(f"/legs/{leg.pk}/depart/", {})
    leg.refresh_from_db()

    answers = [owner.post(f"/legs/{leg.pk}/take-back/", {"version": leg.version, "once": "k"}) for _ in range(2)]

    leg.refresh_from_db()
    assert [answer.status_code for answer in answers] == [302, 302]
    assert (leg.status, leg.departed_at) == ("planned", None)
    said = [line.what for line in history_page(leg.vessel_id)[:2]]
    assert said == [
        f"{leg.name}: “departed” was taken back; she is planned again.", f"{leg.name}: departed."
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("status", "stands"), [("arrived", "under way"), ("turned back", "under way"), ("called off", "planned")]
)
def test_how_it_ended_is_taken_back(owner: Client, leg: Leg, status: str, stands: str) -> None:
    if status != "called off":
        owner.post(f"/legs/{leg.pk}/depart/", {"departed_at": "2027-05-15T04:00"})
    owner.post(f"/legs/{leg.pk}/end/", {"status": status})
    leg.refresh_from_db()
    assert f"Take back “{status}”" in page(owner, f"/legs/{leg.pk}/under-way/")

    owner.post(f"/legs/{leg.pk}/take-back/", {"version": leg.version})

    leg.refresh_from_db()
    assert (leg.status, leg.ended_at) == (stands, None)


def test_nothing_is_taken_back_of_a_planned_leg_or_of_one_changed_meanwhile(owner: Client, leg: Leg) -> None:
    planned = owner.post(f"/legs/{leg.pk}/take-back/", {"version": leg.version})
    owner.post(f"/legs/{leg.pk}/depart/", {})
    old = owner.post(f"/legs/{leg.pk}/take-back/", {"version": leg.version})

    leg.refresh_from_db()
    assert "there is nothing to take back" in planned.content.decode()
    assert "changed by somebody else" in old.content.decode()
    assert (planned.status_code, old.status_code, leg.status) == (422, 422, "under way")


def test_crew_take_nothing_back(crew: Client, leg: Leg) -> None:
    crew.post(f"/legs/{leg.pk}/depart/", {})

    assert crew.post(f"/legs/{leg.pk}/take-back/", {"version": 2}).status_code == 403
    assert "Take back" not in page(crew, f"/legs/{leg.pk}/under-way/")
