"""Fitting, feeding and proving equipment: what changed, what history says, what is refused in which words."""

from datetime import datetime, timedelta

import pytest

from tests.factories.vessel import a_vessel, an_item
from vessel.actions.equipment import add_equipment, change_equipment, feed_text, prove_equipment
from vessel.errors import BadInput, StaleVersion
from vessel.models import Equipment, Proof, Vessel
from vessel.queries.history import chain_problem, history_page

pytestmark = pytest.mark.django_db
BY = "owner-1"


def a_bank(vessel: Vessel) -> Equipment:
    return an_item(vessel, code="EL-05", kind="ship's bank", subject="electrical")


def test_an_item_is_fitted_with_its_feeds(at: datetime) -> None:
    vessel = a_vessel()
    a_bank(vessel)
    an_item(vessel, code="EL-06")

    item = add_equipment(vessel=vessel, by=BY, at=at, fed_by="EL-06|EL-05", code="EL-07", name="Main panel",
                         kind="main panel", subject="electrical")  # fmt: skip

    assert feed_text(item) == "EL-05|EL-06"
    assert history_page(vessel.pk)[0].what == "Equipment written down: EL-07 Main panel."
    assert chain_problem(vessel.pk) is None


@pytest.mark.parametrize(
    ("fed_by", "sentence"), [("EL-99", "no such equipment aboard"), ("EL-07", "cannot feed itself")]
)
def test_an_item_fed_by_nothing_aboard_is_not_fitted(at: datetime, fed_by: str, sentence: str) -> None:
    vessel = a_vessel()
    an_item(code="EL-99")  # of another vessel

    with pytest.raises(BadInput, match=sentence):
        add_equipment(vessel=vessel, by=BY, at=at, fed_by=fed_by, code="EL-07", name="x", subject="electrical")

    assert not Equipment.objects.filter(vessel=vessel).exists()
    assert not history_page(vessel.pk)


def test_feeds_are_changed_and_told(at: datetime) -> None:
    vessel = a_vessel()
    bank, item = a_bank(vessel), an_item(vessel, code="EL-07")

    change_equipment(equipment_id=item.pk, seen_version=1, by=BY, at=at, fed_by="EL-05", name="Panel")

    told = [line.what for line in history_page(vessel.pk)]
    assert told == ["EL-07 is now fed by EL-05.", "Equipment EL-07 Main diesel changed: name."]
    with pytest.raises(BadInput, match="cannot feed itself"):
        change_equipment(equipment_id=bank.pk, seen_version=1, by=BY, at=at, fed_by="EL-05")
    with pytest.raises(StaleVersion):
        change_equipment(equipment_id=item.pk, seen_version=1, by=BY, at=at, fed_by="", name="Other")
    assert feed_text(item) == "EL-05"


@pytest.mark.parametrize(("passed", "word"), [(True, "proved"), (False, "failed its test")])
def test_a_proof_is_written_either_way(at: datetime, passed: bool, word: str) -> None:
    item = an_item(code="BP-01", name="Bilge pump")

    prove_equipment(equipment_id=item.pk, text="38 L/min.", by=BY, at=at, passed=passed, happened_at=at - timedelta(1))

    proof = Proof.objects.get()
    assert (proof.passed, proof.at, proof.by) == (passed, at - timedelta(1), BY)
    line = history_page(item.vessel_id)[0]
    assert line.what == f"BP-01 Bilge pump {word}: 38 L/min."
    assert (line.at, line.happened_at) == (at, at - timedelta(1))


@pytest.mark.parametrize(("text", "later", "sentence"), [("  ", 0, "Say how"), ("x", 1, "lies in the future")])
def test_a_proof_without_words_or_from_the_future_is_refused(
    at: datetime, text: str, later: int, sentence: str
) -> None:
    item = an_item()

    with pytest.raises(BadInput, match=sentence):
        prove_equipment(equipment_id=item.pk, text=text, by=BY, at=at, happened_at=at + timedelta(seconds=later))

    assert not Proof.objects.exists()
    assert not history_page(item.vessel_id)
