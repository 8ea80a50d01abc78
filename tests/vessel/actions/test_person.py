"""People: answers with their time, rest that stays private, a record erased at their wish."""

from datetime import datetime, timedelta

import pytest

from tests.factories.vessel import a_person, a_vessel
from vessel.actions.person import (
    add_person,
    add_stay,
    answer_stay,
    brief_person,
    change_person,
    change_stay,
    erase_person,
    tell_rest,
)
from vessel.errors import BadInput, StaleVersion
from vessel.models import Availability, Person, Rest
from vessel.queries.history import chain, chain_problem, history_page

pytestmark = pytest.mark.django_db
BY = "owner-1"


def a_stay(at: datetime, **fields: object) -> Availability:
    times = {"aboard_from": at, "aboard_until": at + timedelta(days=2), **fields}
    return add_stay(person_id=a_person(token="hand-1").pk, by=BY, at=at, **times)


def test_a_person_gets_a_token_and_the_chain_holds_no_name(at: datetime) -> None:
    vessel = a_vessel()

    person = add_person(vessel=vessel, by=BY, at=at, name="Jory Pask", can_lines=True)

    assert person.token.startswith("hand-")
    assert "Jory" not in str(list(chain(vessel.pk)))
    assert person.token in history_page(vessel.pk)[0].what


def test_a_competence_is_changed_openly_and_a_token_never(at: datetime) -> None:
    person = a_person()

    change_person(person_id=person.pk, seen_version=1, by=BY, at=at, can_helm=True)

    assert history_page(person.vessel_id)[0].changes == {"can_helm": [False, True]}
    with pytest.raises(BadInput, match="A token is never changed"):
        change_person(person_id=person.pk, seen_version=2, by=BY, at=at, token="x")


@pytest.mark.parametrize(("answer", "timed"), [("yes", True), ("no", True), ("not_known", False)])
def test_an_answer_carries_the_time_it_was_given(at: datetime, answer: str, timed: bool) -> None:
    stay = a_stay(at)
    later = at + timedelta(hours=1)

    answer_stay(stay_id=stay.pk, seen_version=1, answer=answer, by=BY, at=later)

    stay.refresh_from_db()
    assert (stay.answer, stay.confirmed_at) == (answer, later if timed else None)


def test_other_times_open_the_answer_again(at: datetime) -> None:
    stay = a_stay(at)
    answer_stay(stay_id=stay.pk, seen_version=1, answer="yes", by=BY, at=at)

    change_stay(stay_id=stay.pk, seen_version=2, by=BY, at=at, aboard_until=at + timedelta(days=1))

    stay.refresh_from_db()
    assert (stay.answer, stay.confirmed_at) == ("not_known", None)
    assert history_page(stay.person.vessel_id)[0].what == (
        "A stay aboard of hand-1 was changed; its answer is open again."
    )


@pytest.mark.parametrize("answer", ["perhaps", ""])
def test_any_other_answer_is_refused(at: datetime, answer: str) -> None:
    stay = a_stay(at)

    with pytest.raises(BadInput, match="say yes, no or not known"):
        answer_stay(stay_id=stay.pk, seen_version=1, answer=answer, by=BY, at=at)
    with pytest.raises(StaleVersion):
        answer_stay(stay_id=stay.pk, seen_version=7, answer="yes", by=BY, at=at)

    assert Availability.objects.get().answer == "not_known"


def test_a_stay_that_ends_before_it_begins_is_refused(at: datetime) -> None:
    with pytest.raises(BadInput, match="Aboard until must come after aboard from"):
        a_stay(at, aboard_until=at)

    assert not Availability.objects.exists()


def test_rest_is_kept_and_its_hours_stay_out_of_the_chain(at: datetime) -> None:
    person = a_person(token="hand-1")

    tell_rest(person_id=person.pk, by=BY, at=at, rest_24_h=7.5, longest_unbroken_h=6.25)

    assert Rest.objects.get().rest_24_h == 7.5
    assert "7.5" not in str(list(chain(person.vessel_id)))
    with pytest.raises(BadInput, match="The longest unbroken rest cannot be more than all of it"):
        tell_rest(person_id=person.pk, by=BY, at=at, rest_24_h=5.0, longest_unbroken_h=6.0)
    assert Rest.objects.count() == 1


def test_a_brief_is_dated(at: datetime) -> None:
    person = a_person(token="hand-1")

    brief_person(person_id=person.pk, seen_version=1, by=BY, at=at)

    assert Person.objects.get().briefed_at == at
    assert history_page(person.vessel_id)[0].what == "hand-1 was given the safety brief."


def test_an_erased_person_is_gone_and_the_chain_is_whole(at: datetime) -> None:
    person = a_person(token="hand-1", name="Odile Marr")
    tell_rest(person_id=person.pk, by=BY, at=at, rest_24_h=8.0, longest_unbroken_h=8.0)

    erase_person(person_id=person.pk, by=BY, at=at)

    assert not Person.objects.exists()
    assert not Rest.objects.exists()
    assert chain_problem(person.vessel_id) is None
    assert history_page(person.vessel_id)[0].what == "The record of hand-1 was erased at their wish."
