"""Legs as a program reads them."""

from datetime import timedelta

import pytest
from django.test import Client
from pytest_django import DjangoAssertNumQueries

from readiness.models import Leg, LegCrew, Verdict
from tests.factories.api import a_program, aboard, problem_of, signed_in
from tests.factories.readiness import stored
from tests.factories.vessel import a_vessel
from tests.factories.worked_example import worked_example

pytestmark = pytest.mark.django_db
LEGS = "/api/v1/legs/"
KEYS = {
    "id", "key", "name", "status", "planned_at", "departure", "arrival", "harbour_move", "speed_mps", "running_on_s",
    "overdue_at", "departed_at", "ended_at", "outcome", "last_verdict", "version",
}  # fmt: skip
MORE = {"points", "segments", "refuges", "crew"}


@pytest.fixture
def leg() -> Leg:
    """The worked example, stored."""
    return stored(worked_example())


@pytest.fixture
def reader(leg: Leg) -> Client:
    return a_program(leg.vessel)


def kept(leg: Leg, word: str = "go if") -> Verdict:
    """A kept verdict of the leg."""
    return Verdict.objects.create(
        leg=leg, judged_at=leg.planned_at, by="timetable", departure_at=leg.planned_at, word=word, outlook="fair",
        deciding_rule="hands", sentence="Two hands are wanted.", facts_packed=b"", facts_sha256="a" * 64,
        engine_version="1", numpy_version="2",
    )  # fmt: skip


def test_a_leg_is_read_whole_in_si(leg: Leg, reader: Client) -> None:
    body = reader.get(f"{LEGS}{leg.pk}/").json()

    assert body.keys() == KEYS | MORE
    assert body["planned_at"] == leg.planned_at.isoformat().replace("+00:00", "Z")
    assert body["speed_mps"] == leg.speed_mps
    assert body["departure"].keys() == {"key", "name", "zone", "lat_deg", "lon_deg"}
    assert [point["number"] for point in body["points"]] == list(range(1, leg.points.count() + 1))
    assert body["points"][0].keys() == {"number", "name", "lat_deg", "lon_deg", "charted_m", "depth_matters"}
    assert len(body["segments"]) == leg.segments.count() > 1
    assert len(body["refuges"]) == leg.refuges.count() > 0


def test_what_is_not_known_is_null(leg: Leg, reader: Client) -> None:
    Leg.objects.filter(pk=leg.pk).update(speed_mps=None, running_on_s=float("nan"))

    body = reader.get(f"{LEGS}{leg.pk}/").json()

    assert body["speed_mps"] is body["running_on_s"] is body["last_verdict"] is body["departed_at"] is None


def test_people_are_tokens_and_the_contact_ashore_is_left_out(leg: Leg, reader: Client) -> None:
    Leg.objects.filter(pk=leg.pk).update(contact_name="Bel Roke", contact_details="+000 1234")

    text = reader.get(f"{LEGS}{leg.pk}/").content.decode()

    names = [row.person.name for row in LegCrew.objects.filter(leg=leg)]
    assert names
    assert not [name for name in [*names, "Bel Roke", "+000 1234"] if name in text]


def test_the_list_tells_the_newest_verdict_kept(leg: Leg, reader: Client) -> None:
    verdict = kept(leg)

    row = reader.get(LEGS).json()["results"][0]

    assert row.keys() == KEYS
    assert row["last_verdict"] == {
        "id": verdict.pk,
        "verdict": "Go if",
        "outlook": "fair",
        "departure_at": row["planned_at"],
        "judged_at": row["planned_at"],
        "sentence": "Two hands are wanted.",
    }


def test_another_vessels_leg_is_answered_like_one_that_never_was(leg: Leg) -> None:
    stranger = a_program(a_vessel())

    for path in ("", "verdict/"):
        theirs, nobodys = (stranger.get(f"{LEGS}{pk}/{path}") for pk in (leg.pk, leg.pk + 1))
        assert (theirs.status_code, nobodys.status_code) == (404, 404)
        assert {**problem_of(theirs), "instance": ""} == {**problem_of(nobodys), "instance": ""}
    assert stranger.get(LEGS).json()["results"] == []


def test_the_latest_planned_comes_first_and_one_status_can_be_asked_for(leg: Leg, reader: Client) -> None:
    later = another(leg, "later", 1)

    assert [row["key"] for row in reader.get(LEGS).json()["results"]] == [later.key, leg.key]
    assert [row["key"] for row in reader.get(LEGS, {"status": "planned"}).json()["results"]] == [later.key, leg.key]
    assert reader.get(LEGS, {"status": "arrived"}).json()["results"] == []


def test_legs_planned_for_the_same_moment_each_stand_on_one_page(leg: Leg, reader: Client) -> None:
    keys = {leg.key, *(another(leg, f"twin-{number}", 0).key for number in range(4))}

    seen, address = [], f"{LEGS}?page_size=2"
    while address:
        page = reader.get(address).json()
        seen += [row["key"] for row in page["results"]]
        address = page["next"]

    assert len(seen) == len(keys)
    assert set(seen) == keys


@pytest.mark.parametrize("count", [1, 3])
def test_a_list_costs_three_queries_however_long(
    leg: Leg, reader: Client, count: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    for number in range(count - 1):
        kept(another(leg, f"leg-{number}", number))
    kept(leg)
    reader.get(LEGS)  # notes that the token is used

    with django_assert_num_queries(3):
        assert len(reader.get(LEGS).json()["results"]) == count


def test_somebody_signed_in_reads_the_same(leg: Leg, reader: Client) -> None:
    path = f"{LEGS}{leg.pk}/"

    assert signed_in(aboard(leg.vessel, "viewer")).get(path).json() == reader.get(path).json()


def test_a_leg_read_again_unchanged_is_304_until_a_point_is_moved(leg: Leg, reader: Client) -> None:
    path = f"{LEGS}{leg.pk}/"
    seen = {"If-None-Match": reader.get(path)["ETag"]}

    before = reader.get(path, headers=seen).status_code
    leg.points.update(charted_m=9.5)

    assert (before, reader.get(path, headers=seen).status_code) == (304, 200)


def another(leg: Leg, key: str, days: int) -> Leg:
    """One more leg between the same harbours, planned so many days later."""
    return Leg.objects.create(
        vessel=leg.vessel, key=key, name=key, planned_at=leg.planned_at + timedelta(days=days),
        departure=leg.departure, arrival=leg.arrival,
    )  # fmt: skip
