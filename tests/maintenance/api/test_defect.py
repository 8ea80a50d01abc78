"""Defects as a program reads and reports them."""

import json
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.test import Client
from pytest_django import DjangoAssertNumQueries

from maintenance.models import Defect
from tests.factories.api import a_program, a_token, aboard, problem_of, signed_in, with_secret
from tests.factories.maintenance import a_defect
from tests.factories.vessel import AT, a_vessel, an_item
from vessel.models import DueWork, GivenAnswer, HistoryEntry, Vessel

pytestmark = pytest.mark.django_db
DEFECTS = "/api/v1/defects/"
KEYS = {
    "id", "code", "title", "description", "equipment", "effect", "limit_text", "tags", "opened_at", "opened_by",
    "cause_known", "cause", "temporary_repair", "may_sail_if", "mend_by", "mend_by_on", "mend_s", "mend_parts_aboard",
    "check_every_running_s", "check_every_s", "checked_at", "limit_outcome", "closed_at", "closed_by", "how_mended",
    "version",
}  # fmt: skip


@pytest.fixture
def vessel() -> Vessel:
    return a_vessel()


@pytest.fixture
def reader(vessel: Vessel) -> Client:
    return a_program(vessel)


@pytest.fixture
def writer(vessel: Vessel) -> Client:
    return a_program(vessel, "write")


def report(client: Client, body: Any, **headers: str) -> Any:
    """POST what is given as JSON, or as it is where it is text already."""
    text = body if isinstance(body, str | bytes) else json.dumps(body)
    return client.post(DEFECTS, text, content_type="application/json", headers=headers)


def test_a_defect_is_read_in_si_with_what_is_not_known_as_null(vessel: Vessel, reader: Client) -> None:
    item = an_item(vessel, code="EN-01", name="Main diesel")
    row = a_defect(vessel, equipment=item, effect="degrades", mend_minutes=90, check_every_h=10, check_every_days=2)

    body = reader.get(f"{DEFECTS}{row.pk}/").json()

    assert body.keys() == KEYS
    assert body["code"] == row.code
    assert body["equipment"] == {"code": "EN-01", "name": "Main diesel"}
    assert (body["mend_s"], body["check_every_running_s"], body["check_every_s"]) == (5400.0, 36000.0, 172800.0)
    assert body["opened_at"] == AT.isoformat().replace("+00:00", "Z")
    assert body["mend_by"] is body["mend_parts_aboard"] is body["closed_at"] is None


def test_a_duration_nobody_knows_is_null_and_not_nought(vessel: Vessel, reader: Client) -> None:
    row = a_defect(vessel)

    body = reader.get(f"{DEFECTS}{row.pk}/").json()

    assert body["effect"] is body["equipment"] is None
    assert body["mend_s"] is body["check_every_running_s"] is body["check_every_s"] is None


def test_another_vessels_defect_is_answered_like_one_that_never_was(reader: Client) -> None:
    others = a_defect()

    theirs, nobodys = reader.get(f"{DEFECTS}{others.pk}/"), reader.get(f"{DEFECTS}{others.pk + 1}/")

    assert (theirs.status_code, nobodys.status_code) == (404, 404)
    assert {**problem_of(theirs), "instance": ""} == {**problem_of(nobodys), "instance": ""}
    assert reader.get(DEFECTS).json()["results"] == []


def test_the_list_is_newest_first_page_by_page_and_none_twice(vessel: Vessel, reader: Client) -> None:
    numbers = [a_defect(vessel).number for _ in range(5)]

    first = reader.get(DEFECTS, {"page_size": 2}).json()
    a_defect(vessel)  # comes in while the pages are turned
    second = reader.get(first["next"]).json()
    third = reader.get(second["next"]).json()

    seen = [row["code"] for page in (first, second, third) for row in page["results"]]
    assert seen == [f"DEF-{number}" for number in reversed(numbers)]
    assert third["next"] is None
    assert second["previous"] is not None


@pytest.mark.parametrize(("asked", "left"), [({}, 2), ({"open": "true"}, 1), ({"open": "false"}, 1)])
def test_the_open_ones_and_the_mended_ones_can_be_asked_for(
    vessel: Vessel, reader: Client, asked: dict[str, str], left: int
) -> None:
    a_defect(vessel)
    a_defect(vessel, closed_at=AT, closed_by="owner-0a1b2c", how_mended="Renewed")

    rows = reader.get(DEFECTS, asked).json()["results"]

    assert len(rows) == left
    assert all((row["closed_at"] is None) == (asked["open"] == "true") for row in rows if asked)


@pytest.mark.parametrize("count", [1, 3])
def test_a_list_costs_two_queries_however_long(
    vessel: Vessel, count: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    for _ in range(count):
        a_defect(vessel, equipment=an_item(vessel))
    reader = a_program(vessel)
    reader.get(DEFECTS)  # notes that the token is used

    with django_assert_num_queries(2):
        assert len(reader.get(DEFECTS).json()["results"]) == count


def test_a_defect_read_again_unchanged_is_304_and_changed_is_not(vessel: Vessel, reader: Client) -> None:
    row = a_defect(vessel)
    path = f"{DEFECTS}{row.pk}/"
    etag = reader.get(path)["ETag"]

    same = reader.get(path, headers={"If-None-Match": etag})
    Defect.objects.filter(pk=row.pk).update(title="Oil cooler weeps more")
    other = reader.get(path, headers={"If-None-Match": etag})

    assert (same.status_code, same.content) == (304, b"")
    assert other.status_code == 200
    assert other["ETag"] != etag


def test_a_report_is_written_told_in_history_and_asks_for_a_new_verdict(vessel: Vessel, writer: Client) -> None:
    an_item(vessel, code="EN-01")
    body = {
        "title": "Gland drips",
        "equipment_code": "EN-01",
        "effect": "degrades",
        "mend_s": 1800,
        "mend_parts_aboard": True,
    }

    answer = report(writer, body)

    row = vessel.defects.get()
    assert answer.status_code == 201
    assert answer["Location"].endswith(f"{DEFECTS}{row.pk}/")
    assert answer.json() == writer.get(answer["Location"]).json()
    assert (row.title, row.mend_minutes, row.effect) == ("Gland drips", 30.0, "degrades")
    assert row.opened_by.startswith("owner-")
    assert HistoryEntry.objects.filter(vessel_id=vessel.pk, noun="defect", noun_key=row.code).count() == 1
    assert DueWork.objects.get().key == f"judge vessel {vessel.pk}"


def test_what_is_left_out_of_a_report_stays_not_known(vessel: Vessel, writer: Client) -> None:
    body = report(writer, {"title": "Something smells"}).json()

    assert body["effect"] is body["equipment"] is body["mend_s"] is body["mend_parts_aboard"] is None


@pytest.mark.parametrize(
    ("body", "named"),
    [
        ({}, "title"),
        ({"title": ""}, "title"),
        ({"title": "x" * 201}, "title"),
        ({"title": 1}, "title"),
        ({"title": ["x"]}, "title"),
        ({"title": "x\u0000y"}, "title"),
        ({"title": "x", "effect": "worrying"}, "effect"),
        ({"title": "x", "effect": ["none"]}, "effect"),
        ({"title": "x", "mend_s": "60"}, "mend_s"),
        ({"title": "x", "mend_s": True}, "mend_s"),
        ({"title": "x", "mend_s": -1}, "mend_s"),
        ('{"title": "x", "mend_s": 1e999}', "mend_s"),
        ('{"title": "x", "mend_s": 1' + "0" * 400 + "}", "mend_s"),
        ('{"title": "x", "mend_s": NaN}', "NaN"),
        ({"title": "x", "mend_parts_aboard": "yes"}, "mend_parts_aboard"),
        ({"title": "x", "mend_parts_aboard": 1}, "mend_parts_aboard"),
        ({"title": "x", "equipment_code": "EN-99"}, "EN-99"),
        ({"title": "x", "mend_by": "date"}, "date"),
        ('{"title": "x", "title": "y"}', "title stands twice"),
        ("[" * 100_000, "JSON"),
        ("[]", "dictionary"),
        ("null", "No data"),
        ("{", "JSON"),
        (b"\xff\xfe", "JSON"),
    ],
)
def test_what_is_not_a_report_is_400_named_and_writes_nothing(
    vessel: Vessel, writer: Client, body: Any, named: str
) -> None:
    answer = report(writer, body)

    assert answer.status_code == 400
    said = problem_of(answer)
    assert named in said["detail"]
    assert said["kept"] == "Nothing was changed."
    assert not vessel.defects.exists()


@pytest.mark.parametrize(
    "name",
    ["id", "vessel", "vessel_id", "number", "opened_by", "opened_at", "closed_at", "closed_by", "how_mended", "version",
     "photos", "series", "limit_outcome", "owner", "role", "is_staff", "hash", "verdict"],
)  # fmt: skip
def test_a_report_cannot_set_what_is_not_its_to_set(vessel: Vessel, writer: Client, name: str) -> None:
    answer = report(writer, {"title": "x", name: 1})

    assert answer.status_code == 400
    assert [wrong["field"] for wrong in problem_of(answer)["errors"]] == [name]
    assert not vessel.defects.exists()


def test_equipment_of_another_vessel_is_answered_like_a_code_that_never_was(writer: Client) -> None:
    an_item(code="XX-77")

    theirs, nobodys = (report(writer, {"title": "x", "equipment_code": code}) for code in ("XX-77", "XX-78"))

    assert theirs.status_code == 400
    assert problem_of(theirs)["detail"] == problem_of(nobodys)["detail"].replace("XX-78", "XX-77")
    assert not Defect.objects.exists()


def test_another_form_than_json_is_415_and_too_much_is_413(writer: Client) -> None:
    form = writer.post(DEFECTS, {"title": "x"})
    much = report(writer, {"title": "x", "description": "y" * 300_000})

    assert (form.status_code, much.status_code) == (415, 413)
    assert problem_of(form)["to_do"] == "Send it as application/json."
    problem_of(much)
    assert not Defect.objects.exists()


def test_a_page_somebody_is_lured_to_cannot_report(vessel: Vessel) -> None:
    answer = report(signed_in(aboard(vessel)), {"title": "x"})

    assert answer.status_code == 403
    problem_of(answer)
    assert not vessel.defects.exists()


def test_the_same_report_under_the_same_key_is_done_once_and_answered_twice(vessel: Vessel, writer: Client) -> None:
    first = report(writer, {"title": "Gland drips"}, **{"Idempotency-Key": "k1"})
    again = report(writer, {"title": "Gland drips"}, **{"Idempotency-Key": "k1"})

    assert (first.status_code, again.status_code) == (201, 201)
    assert again.json() == first.json()
    assert again["Location"] == first["Location"]
    assert vessel.defects.count() == 1


def test_another_report_under_the_same_key_is_422(vessel: Vessel, writer: Client) -> None:
    report(writer, {"title": "Gland drips"}, **{"Idempotency-Key": "k1"})

    other = report(writer, {"title": "Gland pours"}, **{"Idempotency-Key": "k1"})

    assert other.status_code == 422
    assert "The first request stands" in problem_of(other)["detail"]
    assert vessel.defects.get().title == "Gland drips"


def test_a_refused_report_does_not_use_its_key_up(vessel: Vessel, writer: Client) -> None:
    refused = report(writer, {"title": "x", "equipment_code": "EN-99"}, **{"Idempotency-Key": "k1"})

    assert refused.status_code == 400
    assert not GivenAnswer.objects.exists()
    assert report(writer, {"title": "x"}, **{"Idempotency-Key": "k1"}).status_code == 201


def test_a_key_belongs_to_one_person_and_lasts_a_day(vessel: Vessel) -> None:
    ines, tam = (with_secret(a_token(aboard(vessel), "write")[1]) for _ in range(2))
    for client in (ines, tam):
        assert report(client, {"title": "x"}, **{"Idempotency-Key": "k1"}).status_code == 201
    GivenAnswer.objects.update(made_at=datetime.now(UTC) - timedelta(hours=24, seconds=1))

    late = report(ines, {"title": "y"}, **{"Idempotency-Key": "k1"})

    assert late.status_code == 201
    assert vessel.defects.count() == 3


@pytest.mark.parametrize("key", ["", "x" * 201, "sch\u00f6n"])
def test_a_key_that_is_none_is_400(vessel: Vessel, writer: Client, key: str) -> None:
    answer = report(writer, {"title": "x"}, **{"Idempotency-Key": key})

    assert answer.status_code == 400
    assert not vessel.defects.exists()
