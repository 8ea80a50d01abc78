"""Facts of the people: who is aboard when, and how surely."""

from datetime import timedelta

import pytest

from tests.factories.readiness import again, stored
from tests.factories.worked_example import worked_example
from vessel.models import Availability, Person

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("answers", "confirmed", "stays"),
    [
        (["yes"], True, 1),
        (["yes", "yes"], True, 2),
        (["yes", "not_known"], None, 2),
        (["yes", "no"], True, 1),
        (["no"], False, 0),
        ([], None, 0),
    ],
)
def test_a_person_is_confirmed_when_every_stay_is(answers: list[str], confirmed: bool | None, stays: int) -> None:
    put_in = worked_example()
    leg = stored(put_in)
    tam = Person.objects.get(name="Tam Ferrow")
    tam.availabilities.all().delete()
    for number, answer in enumerate(answers):
        start = put_in.judged_at + timedelta(days=number)
        Availability.objects.create(
            person=tam, aboard_from=start, aboard_until=start + timedelta(hours=20), answer=answer,
            confirmed_at=None if answer == "not_known" else put_in.judged_at,
        )  # fmt: skip

    person = next(person for person in again(leg, put_in).people if person.name == "Tam Ferrow")

    assert person.confirmed is confirmed
    assert len(person.aboard) == stays
