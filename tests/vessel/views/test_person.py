"""The crew pages: who sees and changes what of people."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import time_machine
from django.test import Client
from pytest_django import DjangoAssertNumQueries

from tests.factories.aboard import aboard, signed_in
from tests.factories.vessel import a_person
from vessel.actions.person import tell_rest
from vessel.models import Availability, DueWork, HistoryEntry, Membership, Person, Rest, Role

pytestmark = pytest.mark.django_db
NOW = datetime(2027, 5, 14, 16, 0, tzinfo=UTC)


@pytest.fixture(autouse=True)
def _hour() -> Iterator[None]:
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def ines() -> Membership:
    return aboard()


@pytest.fixture
def owner(ines: Membership) -> Client:
    return signed_in(ines)


@pytest.fixture
def tam(ines: Membership) -> Person:
    """One of the crew, with an account of his own and something private."""
    user = aboard(ines.vessel, Role.CREW).user
    person = a_person(ines.vessel, name="Tam Ferrow", user=user, fit="limits", fit_note="A bad knee", can_helm=True)
    tell_rest(person_id=person.pk, by="owner-1", at=NOW, rest_24_h=7.5, longest_unbroken_h=6.0)
    return person


def browser_of(person: Person) -> Client:
    client = Client()
    assert person.user is not None
    client.force_login(person.user)
    return client


def page(browser: Client, address: str) -> str:
    answer = browser.get(address)
    assert answer.status_code == 200
    return answer.content.decode()


def test_an_empty_list_says_what_belongs_there(owner: Client) -> None:
    text = page(owner, "/crew/")

    assert "People belong here" in text
    assert "Add a person" in text


@pytest.mark.parametrize("rows", [1, 3])
def test_the_list_costs_the_same_however_long(
    owner: Client, ines: Membership, rows: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    for _ in range(rows):
        person = a_person(ines.vessel)
        person.availabilities.create(aboard_from=NOW, aboard_until=NOW + timedelta(days=2))
        tell_rest(person_id=person.pk, by="owner-1", at=NOW, rest_24_h=7.5, longest_unbroken_h=6.0)

    with django_assert_num_queries(8):
        page(owner, "/crew/")


@pytest.mark.parametrize(
    ("role", "status", "private"),
    [(Role.OWNER, 200, True), (Role.SKIPPER, 200, True), (Role.CREW, 200, False), (Role.VIEWER, 403, False)],
)
def test_fitness_notes_and_rest_are_for_those_in_command(
    ines: Membership, tam: Person, role: str, status: int, private: bool
) -> None:
    browser = signed_in(aboard(ines.vessel, role))

    answers = [browser.get("/crew/"), browser.get(f"/crew/{tam.pk}/")]

    texts = "".join(answer.content.decode() for answer in answers)
    assert [answer.status_code for answer in answers] == [status, status]
    assert ("A bad knee" in texts) is private
    assert ("7.5 h" in texts) is private
    assert ("it with limits" in texts) is private
    assert ("Tam Ferrow" in texts) is (status == 200)


def test_a_person_sees_and_tells_their_own_rest_and_stays_but_changes_nothing_else(tam: Person) -> None:
    own = browser_of(tam)

    text = page(own, f"/crew/{tam.pk}/")
    rested = own.post(f"/crew/{tam.pk}/rest/", {"rest_24_h": "9", "longest_unbroken_h": "8"})

    assert "7.5 h in 24 h" in text
    assert "Add the stay" in text
    assert "Erase this person" not in text
    assert (rested.status_code, Rest.objects.filter(person=tam).count()) == (302, 2)
    assert own.post(f"/crew/{tam.pk}/", {"name": "Tom"}).status_code == 403


def test_nobody_of_the_crew_changes_another(ines: Membership, tam: Person) -> None:
    other = a_person(ines.vessel)

    for path in ("rest/", "stays/"):
        assert browser_of(tam).post(f"/crew/{other.pk}/{path}", {}).status_code == 403
    assert not Rest.objects.filter(person=other).exists()


def person_sent(**sent: Any) -> dict[str, Any]:
    return {"name": "Odile Marr", "jacket_size": "adult", "can_helm": "on", **sent}


def test_a_person_is_added_once_under_a_token_of_their_own(owner: Client) -> None:
    sent = person_sent(once="k1", fit="yes", fit_note="Rings her sister")

    first, again = owner.post("/crew/add/", sent), owner.post("/crew/add/", sent)

    row = Person.objects.get()
    assert first["Location"] == again["Location"] == f"/crew/{row.pk}/"
    assert (row.name, row.can_helm, row.can_night, row.fit) == ("Odile Marr", True, False, "yes")
    entry = HistoryEntry.objects.latest("number")
    assert "Odile" not in entry.what + str(entry.changes)


@pytest.mark.parametrize(("sent", "told"), [({"name": ""}, "such as: Tam Ferrow"), ({"fit": "maybe"}, "valid choice")])
def test_a_mistake_is_told_and_the_rest_is_kept(owner: Client, sent: dict[str, str], told: str) -> None:
    answer = owner.post("/crew/add/", person_sent(fit_note="Rings her sister", **sent))

    assert answer.status_code == 422
    assert told in answer.content.decode()
    assert "Rings her sister" in answer.content.decode()
    assert not Person.objects.exists()


def test_a_person_is_changed_and_what_two_typed_is_shown_side_by_side(owner: Client, tam: Person) -> None:
    first = owner.post(f"/crew/{tam.pk}/", person_sent(name="Tam F", version=1))
    second = owner.post(f"/crew/{tam.pk}/", person_sent(name="Thomas", version=1))

    tam.refresh_from_db()
    assert (first.status_code, second.status_code, tam.name) == (302, 422, "Tam F")
    assert "yours “Thomas”, theirs “Tam F”" in second.content.decode()
    assert 'value="Thomas"' in second.content.decode()
    assert DueWork.objects.filter(task="readiness.tasks.judge_coming_legs").exists()


def test_not_asked_stays_not_known(owner: Client, tam: Person) -> None:
    owner.post(f"/crew/{tam.pk}/", person_sent(version=1, fit=""))

    tam.refresh_from_db()
    assert tam.fit is None


@pytest.mark.parametrize(
    ("hours", "told"),
    [
        ({"rest_24_h": "25", "longest_unbroken_h": "8"}, "24"),
        ({"rest_24_h": "6", "longest_unbroken_h": "8"}, "cannot be more than all of it, 6 h"),
        ({"rest_24_h": "", "longest_unbroken_h": "8"}, "required"),
    ],
)
def test_rest_that_cannot_be_is_refused(owner: Client, tam: Person, hours: dict[str, str], told: str) -> None:
    answer = owner.post(f"/crew/{tam.pk}/rest/", hours)

    assert answer.status_code == 422
    assert told in answer.content.decode()
    assert Rest.objects.count() == 1


def test_the_safety_brief_is_written_down(owner: Client, tam: Person) -> None:
    owner.post(f"/crew/{tam.pk}/brief/", {"version": 1})

    tam.refresh_from_db()
    assert tam.briefed_at == NOW
    assert "Safety brief Fri 14 May 17:00" in page(owner, f"/crew/{tam.pk}/")


def test_erasing_asks_first_and_takes_stays_and_rest_along(owner: Client, tam: Person) -> None:
    asked = page(owner, f"/crew/{tam.pk}/erase/")
    owner.post(f"/crew/{tam.pk}/erase/", {"version": 1})

    assert "go for good" in asked
    assert not Person.objects.exists()
    assert not Rest.objects.exists()
    assert HistoryEntry.objects.latest("number").what == f"The record of {tam.token} was erased at their wish."


@pytest.mark.parametrize("path", ["", "erase/", "rest/", "brief/", "stays/"])
def test_a_person_of_another_boat_is_not_there(owner: Client, path: str) -> None:
    stranger = a_person()
    send = owner.get if path in {"", "erase/"} else owner.post

    assert send(f"/crew/{stranger.pk}/{path}").status_code == 404


STAY = {"aboard_from": "2027-05-14T18:00", "aboard_until": "2027-05-16T20:00", "answer": "yes"}


def stay_sent(prefix: str, **sent: str) -> dict[str, str]:
    return {f"{prefix}-{name}": value for name, value in {**STAY, **sent}.items()}


@pytest.mark.parametrize(("answer", "confirmed_at"), [("yes", NOW), ("no", NOW), ("not_known", None)])
def test_a_stay_is_added_with_its_answer(
    owner: Client, tam: Person, answer: str, confirmed_at: datetime | None
) -> None:
    sent = owner.post(f"/crew/{tam.pk}/stays/", stay_sent("new", answer=answer, must_leave_at="2027-05-16T19:00"))

    stay = Availability.objects.get()
    assert (sent.status_code, stay.answer, stay.confirmed_at) == (302, answer, confirmed_at)
    assert stay.aboard_from == datetime(2027, 5, 14, 17, 0, tzinfo=UTC)
    assert stay.must_leave_at == datetime(2027, 5, 16, 18, 0, tzinfo=UTC)


@pytest.mark.parametrize(
    ("sent", "told"),
    [
        ({"aboard_until": "2027-05-14T18:00"}, "not after the time they come aboard"),
        ({"must_leave_at": "2027-05-16T19:00", "free_to_stay": "on"}, "leave one of the two out"),
        ({"aboard_from": "2027-10-31T01:30", "aboard_until": "2027-11-01T10:00"}, "Say which one"),
    ],
)
def test_a_stay_that_cannot_be_is_refused(owner: Client, tam: Person, sent: dict[str, str], told: str) -> None:
    answer = owner.post(f"/crew/{tam.pk}/stays/", stay_sent("new", **sent))

    assert answer.status_code == 422
    assert told in answer.content.decode()
    assert not Availability.objects.exists()


def a_stay(person: Person, **fields: Any) -> Availability:
    stay: Availability = person.availabilities.create(
        **{"aboard_from": NOW + timedelta(hours=1), "aboard_until": NOW + timedelta(days=2, hours=3), **fields}
    )
    return stay


def test_an_answer_is_written_down_without_moving_the_stay(tam: Person) -> None:
    stay = a_stay(tam)

    browser_of(tam).post(f"/crew/{tam.pk}/stays/{stay.pk}/", stay_sent(f"stay{stay.pk}", version="1"))

    stay.refresh_from_db()
    assert (stay.answer, stay.confirmed_at, stay.version) == ("yes", NOW, 2)


def test_a_stay_that_is_moved_loses_its_old_answer_unless_it_is_given_again(owner: Client, tam: Person) -> None:
    stay = a_stay(tam, answer="yes", confirmed_at=NOW - timedelta(days=1))
    sent = stay_sent(f"stay{stay.pk}", version="1", aboard_until="2027-05-17T20:00", answer="not_known")

    owner.post(f"/crew/{tam.pk}/stays/{stay.pk}/", sent)

    stay.refresh_from_db()
    assert (stay.answer, stay.confirmed_at) == ("not_known", None)


def test_a_stay_changed_meanwhile_is_kept_and_both_are_shown(owner: Client, tam: Person) -> None:
    stay = a_stay(tam)
    Availability.objects.filter(pk=stay.pk).update(version=2)

    answer = owner.post(f"/crew/{tam.pk}/stays/{stay.pk}/", stay_sent(f"stay{stay.pk}", version="1"))
    removed = owner.post(
        f"/crew/{tam.pk}/stays/{stay.pk}/",
        stay_sent(
            f"stay{stay.pk}",
            version="1",
        )
        | {"remove": "yes"},
    )

    assert (answer.status_code, removed.status_code) == (422, 422)
    assert "was changed by somebody else" in answer.content.decode()
    assert Availability.objects.filter(pk=stay.pk).exists()


def test_a_stay_is_taken_away(owner: Client, tam: Person) -> None:
    stay = a_stay(tam)

    owner.post(f"/crew/{tam.pk}/stays/{stay.pk}/", stay_sent(f"stay{stay.pk}", version="1") | {"remove": "yes"})

    assert not Availability.objects.exists()
    assert "was taken away" in HistoryEntry.objects.latest("number").what


def test_a_stay_of_somebody_else_is_not_there(ines: Membership, owner: Client, tam: Person) -> None:
    stay = a_stay(a_person(ines.vessel))

    assert owner.post(f"/crew/{tam.pk}/stays/{stay.pk}/", {}).status_code == 404
