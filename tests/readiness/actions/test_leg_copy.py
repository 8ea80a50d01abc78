from datetime import timedelta

import pytest

from readiness.actions.leg_copy import copy_leg
from readiness.models import Leg
from tests.factories.readiness import stored
from tests.factories.worked_example import worked_example
from vessel.models import HistoryEntry

pytestmark = pytest.mark.django_db


@pytest.fixture
def leg() -> Leg:
    return stored(worked_example(1))


def way(leg: Leg) -> list[tuple[object, ...]]:
    """Points and segments as far as they are the leg's own."""
    points = leg.points.values_list(
        "number", "name", "lat_deg", "lon_deg", "charted_m", "depth_matters", "tide_station", "gate"
    )
    segments = leg.segments.values_list("number", "name", "kind", "exposed", "crosses_bar", "stream_table")
    return [*points, *segments]


def test_the_way_the_refuges_and_the_crew_go_with_it(leg: Leg) -> None:
    later = leg.planned_at + timedelta(days=7)

    new = copy_leg(leg_id=leg.pk, name=leg.name, planned_at=later, by="owner-1", at=leg.planned_at)

    assert (new.planned_at, new.status, new.key != leg.key) == (later, "planned", True)
    assert way(new) == way(leg)
    assert set(new.refuges.all()) == set(leg.refuges.all())
    assert list(new.crew_rows.values_list("person", "skipper")) == list(leg.crew_rows.values_list("person", "skipper"))
    assert (new.speed_mps, new.departure, new.arrival) == (leg.speed_mps, leg.departure, leg.arrival)


def test_whatever_was_said_for_the_old_one_is_not_said_for_the_new(leg: Leg) -> None:
    new = copy_leg(leg_id=leg.pk, name="Again", planned_at=leg.planned_at, by="owner-1", at=leg.planned_at)

    assert new.contact_name == leg.contact_name != ""
    assert (new.contact_told_at, new.contact_acknowledged, new.overdue_at) == (None, None, None)
    assert not new.keeper_promises.exists()
    assert not new.conditions_met.exists()
    assert not new.waivers.exists()
    assert HistoryEntry.objects.latest("number").noun == "leg"
