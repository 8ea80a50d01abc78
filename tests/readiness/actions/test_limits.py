"""Setting limits: kept in versions, held to their bounds, told in history."""

import pytest

from readiness.actions.limits import set_limits
from readiness.models import LimitSet
from tests.readiness.models.conftest import AT
from vessel.errors import BadInput
from vessel.models import HistoryEntry, Vessel

pytestmark = pytest.mark.django_db


@pytest.fixture
def vessel() -> Vessel:
    """A boat."""
    return Vessel.objects.create(name="Tallow Wren")


def test_limits_are_kept_in_versions_and_history_tells_what_changed(vessel: Vessel) -> None:
    set_limits(vessel=vessel, values={"under_keel_m": 0.5}, by="owner-1", at=AT)

    second = set_limits(vessel=vessel, values={"fuel_ok": 1.8}, by="owner-1", at=AT, reason="Longer legs")

    assert [row.number for row in LimitSet.objects.order_by("number")] == [1, 2]
    assert second.values == {"fuel_ok": 1.8}
    told = HistoryEntry.objects.latest("number")
    assert told.what == "Limits set, number 2: fuel_ok, under_keel_m."
    assert told.changes == {"fuel_ok": [None, 1.8], "under_keel_m": [0.5, None]}


def test_a_limit_as_printed_is_not_kept_as_her_own(vessel: Vessel) -> None:
    assert set_limits(vessel=vessel, values={"under_keel_m": 0.30}, by="owner-1", at=AT).values == {}


def test_the_same_limits_again_change_nothing(vessel: Vessel) -> None:
    first = set_limits(vessel=vessel, values={"under_keel_m": 0.5}, by="owner-1", at=AT)

    assert set_limits(vessel=vessel, values={"under_keel_m": 0.5}, by="owner-1", at=AT) == first
    assert HistoryEntry.objects.count() == 1


@pytest.mark.parametrize("depth_m", [0.2, 1.0])
def test_a_limit_exactly_on_its_bounds_is_kept(vessel: Vessel, depth_m: float) -> None:
    assert set_limits(vessel=vessel, values={"under_keel_m": depth_m}, by="owner-1", at=AT).values


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"under_keel_m": 0.19}, "out of its bounds: .*under_keel_m.* The old limits hold"),
        ({"under_keel_m": 1.01}, "out of its bounds"),
        ({"courage": 2.0}, "“courage” is not a limit of this program"),
    ],
)
def test_a_limit_that_cannot_be_is_refused_and_the_old_ones_hold(
    vessel: Vessel, values: dict[str, float], words: str
) -> None:
    set_limits(vessel=vessel, values={"fuel_ok": 1.8}, by="owner-1", at=AT)

    with pytest.raises(BadInput, match=words):
        set_limits(vessel=vessel, values=values, by="owner-1", at=AT)

    assert LimitSet.objects.get().values == {"fuel_ok": 1.8}
