"""The starting model: complete, sound, and nothing in it proved or done."""

import re
from datetime import datetime

import pytest

from maintenance.actions.template import load_template
from maintenance.models import ServiceDone, ServiceItem
from tests.factories.vessel import a_vessel, an_item
from vessel.errors import Refused
from vessel.models import Equipment, FeedChoice, Function, Proof
from vessel.queries.history import history_page

pytestmark = pytest.mark.django_db
COMPUTED = {"engine_space_ok", "near_ok", "no_lock_ok"}
FORMS = {"ALL", "ANY", "ATLEAST"}


def test_the_whole_model_is_loaded_in_one_go(at: datetime) -> None:
    vessel = a_vessel()

    loaded = load_template(vessel=vessel, by="owner-1", at=at)

    assert loaded == {"equipment": 100, "functions": 22, "services": 58}
    assert (Equipment.objects.count(), Function.objects.count(), ServiceItem.objects.count()) == (100, 22, 58)
    assert len(history_page(vessel.pk)) == 2


def test_nothing_in_it_counts_as_proved_or_done(at: datetime) -> None:
    load_template(vessel=a_vessel(), by="owner-1", at=at)

    assert not Proof.objects.exists()
    assert not ServiceDone.objects.exists()


def test_every_row_keeps_the_rules_of_its_table(at: datetime) -> None:
    load_template(vessel=a_vessel(), by="owner-1", at=at)

    for kind in (Equipment, Function, ServiceItem):
        for row in kind._default_manager.all():
            row.full_clean(validate_unique=False)


def test_every_tree_speaks_of_equipment_groups_and_known_conditions_only(at: datetime) -> None:
    load_template(vessel=a_vessel(), by="owner-1", at=at)
    known = {*Equipment.objects.values_list("code", flat=True), *COMPUTED, *FORMS}
    known |= set(Function.objects.filter(is_group=True).values_list("key", flat=True))

    for function in Function.objects.all():
        assert set(re.findall(r"[A-Za-z][A-Za-z0-9_-]*", function.tree)) <= known, function.key


def test_the_main_panel_is_fed_by_either_bank_or_alternator(at: datetime) -> None:
    load_template(vessel=a_vessel(), by="owner-1", at=at)

    feeds = FeedChoice.objects.filter(equipment__code="EL-07").values_list("feed__code", flat=True)

    assert set(feeds) == {"EL-05", "EL-06"}


def test_a_vessel_with_equipment_is_left_alone(at: datetime) -> None:
    item = an_item()

    with pytest.raises(Refused, match="has equipment or functions already"):
        load_template(vessel=item.vessel, by="owner-1", at=at)

    assert Equipment.objects.count() == 1
    assert not history_page(item.vessel_id)
