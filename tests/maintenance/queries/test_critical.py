import pytest
from pytest_django import DjangoAssertNumQueries

from maintenance.queries.critical import is_critical
from tests.factories.maintenance import a_defect
from tests.factories.vessel import a_vessel, an_item
from vessel.models import FeedChoice, Vessel

pytestmark = pytest.mark.django_db


@pytest.fixture
def vessel() -> Vessel:
    """She steers with ST-01, which runs on a group that needs EL-07."""
    vessel = a_vessel()
    vessel.functions.create(key="steer", name="Steer", tree="ALL(ST-01, supply_24v)")
    vessel.functions.create(key="supply_24v", name="24 V supply", tree="ANY(EL-07)", is_group=True)
    return vessel


@pytest.mark.parametrize(
    ("code", "effect", "critical"),
    [
        ("ST-01", "disables", True),
        ("ST-01", "degrades", True),
        ("ST-01", None, True),
        ("ST-01", "none", False),
        ("EL-07", "degrades", True),
        ("ST-011", "disables", False),
        ("GA-01", "disables", False),
        ("GA-01", None, False),
    ],
)
def test_what_a_function_leans_on_is_critical(vessel: Vessel, code: str, effect: str | None, critical: bool) -> None:
    row = a_defect(vessel, equipment=an_item(vessel, code=code), effect=effect)

    assert is_critical(row) is critical


@pytest.mark.parametrize(("effect", "critical"), [(None, True), ("degrades", True), ("none", False)])
def test_a_place_nobody_stated_may_be_any(vessel: Vessel, effect: str | None, critical: bool) -> None:
    assert is_critical(a_defect(vessel, equipment=None, effect=effect)) is critical


def test_so_is_what_feeds_it_through_others(
    vessel: Vessel, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    steering, panel, bank, lamp = (an_item(vessel, code=code) for code in ("ST-01", "EL-20", "EL-21", "LT-20"))
    for item, feed in ((steering, panel), (panel, bank), (lamp, lamp)):
        if item != feed:
            FeedChoice.objects.create(equipment=item, feed=feed)
    rows = [a_defect(vessel, equipment=item, effect="disables") for item in (panel, bank, lamp)]

    with django_assert_max_num_queries(6):
        assert [is_critical(row) for row in rows] == [True, True, False]


def test_another_vessels_functions_do_not_count() -> None:
    own, other = a_vessel(), a_vessel()
    other.functions.create(key="steer", name="Steer", tree="ST-01")

    assert not is_critical(a_defect(own, equipment=an_item(own, code="ST-01"), effect="disables"))
