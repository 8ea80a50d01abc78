"""What a defect does and where, said otherwise by owner or skipper."""

import pytest
from django.test import Client

from maintenance.models import Defect
from tests.factories.aboard import aboard, signed_in
from tests.factories.maintenance import a_defect
from tests.factories.vessel import an_item
from vessel.models import DueWork, Equipment, Membership, Role
from vessel.queries.history import history_page

pytestmark = pytest.mark.django_db


@pytest.fixture
def ines() -> Membership:
    return aboard()


@pytest.fixture
def engine(ines: Membership) -> Equipment:
    return an_item(ines.vessel, code="EN-01")


@pytest.fixture
def defect(ines: Membership) -> Defect:
    """Reported in a hurry: nobody said what it does, or to what."""
    return a_defect(ines.vessel, title="Knocks")


def typed(defect: Defect, engine: Equipment, **more: str) -> dict[str, str]:
    return {
        "version": str(defect.version), "once": "k", "equipment": str(engine.pk), "effect": "degrades",
        "limit_text": "not above 1,500 rpm", **more,
    }  # fmt: skip


@pytest.mark.parametrize("role", [Role.OWNER, Role.SKIPPER])
def test_it_is_corrected_once_with_a_line_in_words_and_legs_are_judged_again(
    ines: Membership, defect: Defect, engine: Equipment, role: str
) -> None:
    browser = signed_in(aboard(ines.vessel, role))

    answers = [browser.post(f"/defects/{defect.pk}/correct/", typed(defect, engine)) for _ in range(2)]

    defect.refresh_from_db()
    assert [answer.status_code for answer in answers] == [302, 302]
    assert (defect.effect, defect.equipment, defect.limit_text) == ("degrades", engine, "not above 1,500 rpm")
    (line,) = history_page(ines.vessel_id)
    assert line.what == f"Defect {defect} changed: effect, equipment, works within this limit."
    assert line.changes["effect"] == [None, "degrades"]
    assert line.changes["equipment"] == [None, "EN-01"]
    assert DueWork.objects.filter(task="readiness.tasks.judge_coming_legs").exists()


def test_what_is_left_empty_is_not_known_again(ines: Membership, defect: Defect, engine: Equipment) -> None:
    Defect.objects.update(effect="none", equipment=engine)

    signed_in(ines).post(f"/defects/{defect.pk}/correct/", typed(defect, engine, effect="", equipment=""))

    defect.refresh_from_db()
    assert (defect.effect, defect.equipment) == (None, None)


def test_a_row_changed_meanwhile_is_told_and_kept(ines: Membership, defect: Defect, engine: Equipment) -> None:
    Defect.objects.update(version=2, effect="disables")

    answer = signed_in(ines).post(f"/defects/{defect.pk}/correct/", typed(defect, engine))

    defect.refresh_from_db()
    assert (answer.status_code, defect.effect) == (422, "disables")
    assert "changed by somebody else" in answer.content.decode()


def test_a_thing_of_another_vessel_is_no_place(ines: Membership, defect: Defect) -> None:
    answer = signed_in(ines).post(f"/defects/{defect.pk}/correct/", typed(defect, an_item()))

    assert answer.status_code == 422
    assert "Select a valid choice" in answer.content.decode()


def test_a_mended_one_is_opened_again_first(ines: Membership, defect: Defect, engine: Equipment) -> None:
    Defect.objects.update(closed_at=defect.opened_at, closed_by="owner-1", how_mended="New shells")
    browser = signed_in(ines)

    answer = browser.post(f"/defects/{defect.pk}/correct/", typed(defect, engine))

    defect.refresh_from_db()
    assert (answer.status_code, defect.effect) == (422, None)
    assert "Open it again first." in answer.content.decode()
    assert "Save the correction" not in browser.get(f"/defects/{defect.pk}/").content.decode()


def test_crew_neither_see_the_form_nor_correct(ines: Membership, defect: Defect, engine: Equipment) -> None:
    crew: Client = signed_in(aboard(ines.vessel, Role.CREW))

    answer = crew.post(f"/defects/{defect.pk}/correct/", typed(defect, engine, effect="none"))

    defect.refresh_from_db()
    assert (answer.status_code, defect.effect) == (403, None)
    assert "Save the correction" not in crew.get(f"/defects/{defect.pk}/").content.decode()
