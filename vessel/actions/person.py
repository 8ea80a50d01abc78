"""People: who they are, when they come, how rested they are. History knows them by token only."""

from datetime import datetime
from typing import Any

from django.db import transaction

from vessel.actions.author import By, new_token, token_of
from vessel.actions.history import record
from vessel.actions.particulars import change, write_down
from vessel.actions.version import check, save_changed
from vessel.errors import BadInput, Refused
from vessel.models import Answer, Availability, Person, Rest, Vessel


def add_person(*, vessel: Vessel, by: By, at: datetime, **fields: Any) -> Person:
    """A person who may sail in her, under a token of their own."""
    return write_down(Person, vessel=vessel, by=by, at=at, token=new_token("hand"), **fields)


def change_person(*, person_id: int, seen_version: int, by: By, at: datetime, **changes: Any) -> Person:
    """Change what a person can do or is called; name, fitness and notes stay out of the chain."""
    person = Person.objects.select_related("vessel").get(pk=person_id)
    if "token" in changes:
        raise BadInput("A token is never changed; nothing was saved.")
    return change(person, vessel=person.vessel, seen_version=seen_version, by=by, at=at, **changes)


@transaction.atomic
def erase_person(*, person_id: int, by: By, at: datetime) -> None:
    """Erase a person's record with stays and rest; what they did stays in history under the token."""
    person = Person.objects.select_related("vessel").get(pk=person_id)
    vessel, token = person.vessel, person.token
    person.delete()
    _tell(vessel, token, f"The record of {token} was erased at their wish.", by, at)


@transaction.atomic
def add_stay(*, person_id: int, by: By, at: datetime, **fields: Any) -> Availability:
    """A stay aboard, [from, until), not confirmed until an answer is written down."""
    person = Person.objects.select_related("vessel").get(pk=person_id)
    stay = Availability(person=person, **fields)
    check(stay)
    stay.save(force_insert=True)
    _tell(person.vessel, person.token, f"A stay aboard was written down for {person.token}.", by, at)
    return stay


@transaction.atomic
def change_stay(*, stay_id: int, seen_version: int, by: By, at: datetime, **changes: Any) -> Availability:
    """Change the times of a stay; an answer already given to other times counts no more."""
    stay = Availability.objects.select_related("person__vessel").get(pk=stay_id)
    cleared = {"answer": Answer.NOT_KNOWN, "confirmed_at": None}
    if save_changed(stay, seen_version, **changes, **cleared):
        token = stay.person.token
        _tell(stay.person.vessel, token, f"A stay aboard of {token} was changed; its answer is open again.", by, at)
    return stay


@transaction.atomic
def answer_stay(*, stay_id: int, seen_version: int, answer: str, by: By, at: datetime) -> Availability:
    """Write down yes, no or not known for a stay, with the time it was said."""
    if answer not in Answer.values:
        raise BadInput(f"“{answer}” is not an answer: say yes, no or not known. Nothing was changed.")
    stay = Availability.objects.select_related("person__vessel").get(pk=stay_id)
    said_at = None if answer == Answer.NOT_KNOWN else at
    save_changed(stay, seen_version, answer=answer, confirmed_at=said_at)
    token = stay.person.token
    _tell(stay.person.vessel, token, f"{token}, stay aboard: {stay.get_answer_display()}.", by, at)
    return stay


@transaction.atomic
def remove_stay(*, stay_id: int, seen_version: int, by: By, at: datetime) -> None:
    """A stay that will not be. Refused where somebody changed it meanwhile."""
    stay = Availability.objects.select_related("person__vessel").get(pk=stay_id)
    deleted, _ = Availability.objects.filter(pk=stay_id, version=seen_version).delete()
    if not deleted:
        raise Refused("This stay was changed by somebody else meanwhile, so it was kept. Look at it again.")
    _tell(stay.person.vessel, stay.person.token, f"A stay aboard of {stay.person.token} was taken away.", by, at)


@transaction.atomic
def tell_rest(*, person_id: int, by: By, at: datetime, **hours: float) -> Rest:
    """Rest up to `at`, as told. The hours stay out of history."""
    person = Person.objects.select_related("vessel").get(pk=person_id)
    rest = Rest(person=person, at=at, by=token_of(by=by, vessel_id=person.vessel_id), **hours)
    check(rest)
    rest.save(force_insert=True)
    _tell(person.vessel, person.token, f"Rest was written down for {person.token}.", by, at)
    return rest


@transaction.atomic
def brief_person(*, person_id: int, seen_version: int, by: By, at: datetime) -> Person:
    """The safety brief was given."""
    person = Person.objects.select_related("vessel").get(pk=person_id)
    save_changed(person, seen_version, briefed_at=at)
    _tell(person.vessel, person.token, f"{person.token} was given the safety brief.", by, at)
    return person


def _tell(vessel: Vessel, token: str, what: str, by: By, at: datetime) -> None:
    record(vessel=vessel, what=what, by=by, at=at, noun="person", noun_key=token)
