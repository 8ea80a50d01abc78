import pytest
from django.test import Client
from django.utils import timezone

from tests.factories.aboard import aboard, signed_in
from vessel.actions.history import record
from vessel.actions.person import add_person, change_person
from vessel.models import Membership, Role

pytestmark = pytest.mark.django_db
PAGE = "/history/"


@pytest.fixture
def ines() -> Membership:
    return aboard()


def tell(member: Membership, count: int, **more: str) -> None:
    for number in range(1, count + 1):
        record(vessel=member.vessel, what=f"Deed {number} done.", by=member.user, at=timezone.now(), noun="defect",
               noun_key="DEF-1", **more)  # type: ignore[arg-type]  # fmt: skip


def test_an_empty_history_says_what_will_stand_there(ines: Membership) -> None:
    assert "Nothing has been written yet" in signed_in(ines).get(PAGE).content.decode()


def test_the_newest_stands_first_and_older_ones_are_a_link_away(ines: Membership) -> None:
    tell(ines, 53)
    browser = signed_in(ines)

    first = browser.get(PAGE).content.decode()
    older = browser.get(PAGE, {"before": "4"}).content.decode()

    assert first.index("Deed 53") < first.index("Deed 4 ")
    assert "Deed 3 " not in first
    assert "?before=4" in first
    assert "Deed 3 " in older
    assert "Older entries" not in older


def test_a_part_comes_without_the_frame(ines: Membership) -> None:
    tell(ines, 2)

    part = signed_in(ines).get(PAGE, HTTP_HX_REQUEST="true").content.decode()

    assert "Deed 2" in part
    assert "<html" not in part


@pytest.mark.parametrize("nonsense", ["x", "-1", "9" * 40, "0"])
def test_a_nonsense_number_is_no_error(ines: Membership, nonsense: str) -> None:
    tell(ines, 1)

    assert signed_in(ines).get(PAGE, {"before": nonsense}).status_code == 200


@pytest.mark.parametrize(
    ("role", "seen"), [(Role.OWNER, True), (Role.SKIPPER, True), (Role.CREW, False), (Role.VIEWER, False)]
)
def test_private_lines_are_for_those_in_command(ines: Membership, role: str, seen: bool) -> None:
    tell(ines, 1, private="Tam was unwell")

    text = signed_in(aboard(ines.vessel, role)).get(PAGE).content.decode()

    assert ("Tam was unwell" in text) is seen


def test_the_history_of_another_vessel_is_not_shown(ines: Membership) -> None:
    tell(aboard(), 1)

    assert "Deed 1" not in signed_in(ines).get(PAGE).content.decode()


def test_the_history_of_one_thing(ines: Membership) -> None:
    tell(ines, 1)
    record(vessel=ines.vessel, what="Another thing.", by=ines.user, at=timezone.now(), noun="job", noun_key="JOB-1")

    text = signed_in(ines).get(PAGE, {"noun": "job", "key": "JOB-1"}).content.decode()

    assert "Another thing." in text
    assert "Deed 1" not in text


def test_a_visitor_is_sent_to_sign_in() -> None:
    assert Client().get(PAGE).status_code == 302


def test_what_changed_is_said_in_words_and_private_values_stay_private(ines: Membership) -> None:
    person = add_person(vessel=ines.vessel, by=ines.user, at=timezone.now(), name="Tam Ferrow", can_helm=True)
    change_person(person_id=person.pk, seen_version=1, by=ines.user, at=timezone.now(), name="Tam F", can_helm=False)

    owner, crew = (signed_in(member).get(PAGE).content.decode() for member in (ines, aboard(ines.vessel, Role.CREW)))

    assert "Can helm: yes → no" in owner
    assert "Can helm: yes → no" in crew
    assert "Name: Tam Ferrow → Tam F" in owner
    assert "Tam F" not in crew
    assert "None" not in owner


def test_a_change_names_the_column_as_people_do(ines: Membership) -> None:
    record(vessel=ines.vessel, what="Leg changed.", by=ines.user, at=timezone.now(), noun="leg", noun_key="out",
           changes={"planned_at": [None, "2027-05-15T06:30:00.000000Z"], "speed_mps": [None, 3.6011]},
           private="contact_name: None → Ann")  # fmt: skip

    text = signed_in(ines).get(PAGE).content.decode()

    assert "Planned departure: not known → Sat 15 May 07:30 (06:30 UTC)" in text
    assert "Speed through the water: not known → 7.00 kn" in text
    assert "Shore contact: not known → Ann" in text
