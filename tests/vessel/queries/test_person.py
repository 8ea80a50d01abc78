from datetime import timedelta

import pytest
from pytest_django import DjangoAssertNumQueries

from tests.factories.vessel import AT, a_person, a_vessel
from vessel.actions.person import tell_rest
from vessel.queries.person import people_of

pytestmark = pytest.mark.django_db


def test_skippers_stand_first_each_with_skills_coming_stays_and_the_newest_rest() -> None:
    vessel = a_vessel()
    tam = a_person(vessel, name="Tam", can_helm=True, can_lead=True)
    ines = a_person(vessel, name="Ines", is_skipper=True)
    a_person(a_vessel(), name="Stranger")
    over = tam.availabilities.create(aboard_from=AT - timedelta(days=3), aboard_until=AT)
    later = tam.availabilities.create(aboard_from=AT + timedelta(days=3), aboard_until=AT + timedelta(days=4))
    soon = tam.availabilities.create(aboard_from=AT - timedelta(days=1), aboard_until=AT + timedelta(seconds=1))
    for day, hours in ((2, 6.0), (1, 8.0)):
        tell_rest(person_id=tam.pk, by="owner-1", at=AT - timedelta(days=day), rest_24_h=hours, longest_unbroken_h=5)

    first, second = people_of(vessel.pk, AT)

    assert (first.person, first.skills, first.stays, first.rest) == (ines, (), (), None)
    assert (second.person, second.skills, second.stays) == (tam, ("helm", "leads a watch"), (soon, later))
    assert over not in second.stays
    assert second.rest is not None
    assert second.rest.rest_24_h == 8.0


@pytest.mark.parametrize("rows", [1, 3])
def test_it_costs_three_queries_however_many_people(
    rows: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    vessel = a_vessel()
    for _ in range(rows):
        tell_rest(person_id=a_person(vessel).pk, by="owner-1", at=AT, rest_24_h=8, longest_unbroken_h=5)

    with django_assert_num_queries(3):
        assert len(people_of(vessel.pk, AT)) == rows
