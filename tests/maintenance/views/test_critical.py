"""Closing a defect that bites on something she needs: for owner and skipper; the crew propose it."""

import pytest

from maintenance.models import Defect
from tests.factories.aboard import aboard, signed_in
from tests.factories.maintenance import a_defect
from tests.factories.vessel import an_item
from vessel.models import Membership, Role

pytestmark = pytest.mark.django_db


@pytest.fixture
def ines() -> Membership:
    return aboard()


def critical(ines: Membership, effect: str | None = "degrades") -> Defect:
    """A defect on the steering."""
    item = an_item(ines.vessel, code="ST-01")
    ines.vessel.functions.create(key="steer", name="Steer", tree="ANY(ST-01, ST-04)")
    return a_defect(ines.vessel, equipment=item, effect=effect)


@pytest.mark.parametrize(
    ("role", "status"), [(Role.OWNER, 302), (Role.SKIPPER, 302), (Role.CREW, 403), (Role.VIEWER, 403)]
)
def test_what_bites_on_a_function_is_closed_by_owner_or_skipper_only(ines: Membership, role: str, status: int) -> None:
    row = critical(ines)

    answer = signed_in(aboard(ines.vessel, role)).post(f"/defects/{row.pk}/mend/", {"version": 1, "proof": "Welded"})

    row.refresh_from_db()
    assert answer.status_code == status
    assert (row.closed_at is not None) is (status == 302)
    if role == Role.CREW:
        assert "owner or skipper close it" in answer.content.decode()


def test_the_crew_say_it_is_mended_and_it_stays_open(ines: Membership) -> None:
    row, crew = critical(ines), signed_in(aboard(ines.vessel, Role.CREW))
    assert "It is mended and tried" not in crew.get(f"/defects/{row.pk}/").content.decode()

    answer = crew.post(f"/defects/{row.pk}/propose/", {"proof": "Pin renewed, full helm both ways"})

    row.refresh_from_db()
    assert (answer.status_code, row.closed_at) == (302, None)
    assert (
        "is said to be mended and waits for the skipper: Pin renewed" in crew.get(answer["Location"]).content.decode()
    )
    assert crew.post(f"/defects/{row.pk}/propose/", {"proof": ""}).status_code == 422
