"""What the database itself holds of coastlines."""

from typing import Any

import pytest
from django.db import IntegrityError, transaction

from readiness.models import Coastline, LandPolygon
from tests.factories.broken_rows import checks_of
from tests.readiness.models.conftest import AT
from vessel.models import Vessel

AREA = {"south_deg": 46.0, "west_deg": -16.0, "north_deg": 47.0, "east_deg": -13.0}


def coastline(vessel: Vessel, **changes: Any) -> Coastline:
    return Coastline(vessel=vessel, **{"key": "coast", "name": "Coast", "points": 5, "taken_at": AT, **AREA, **changes})


BROKEN: dict[str, dict[str, Any]] = {
    "coastline_key_is_not_empty": {"key": ""},
    "coastline_name_is_not_empty": {"name": ""},
    "coastline_points_is_above_zero": {"points": 0},
    "coastline_south_deg_is_within_bounds": {"south_deg": -85.1},
    "coastline_north_deg_is_within_bounds": {"north_deg": 85.1},
    "coastline_west_deg_is_within_bounds": {"west_deg": -180.1},
    "coastline_east_deg_is_within_bounds": {"east_deg": 540.1},
    "coastline_area_has_a_size": {"south_deg": 47.0},
}


@pytest.mark.parametrize("rule", BROKEN)
def test_the_database_refuses(vessel: Vessel, rule: str) -> None:
    with pytest.raises(IntegrityError, match=rule), transaction.atomic():
        coastline(vessel, **BROKEN[rule]).save()


def test_every_check_of_a_coastline_is_tried() -> None:
    assert {check.name for _, check in checks_of("readiness", [Coastline])} == set(BROKEN)


def test_a_key_stands_once_for_a_boat(vessel: Vessel) -> None:
    coastline(vessel).save()

    with pytest.raises(IntegrityError), transaction.atomic():
        coastline(vessel).save()


@pytest.mark.parametrize("change", [{"number": 0}, {"south_deg": 48.0}, {"west_deg": -12.0}])
def test_a_polygon_has_a_number_and_a_box_the_right_way_round(vessel: Vessel, change: dict[str, Any]) -> None:
    row = coastline(vessel)
    row.save()

    with pytest.raises(IntegrityError), transaction.atomic():
        LandPolygon.objects.create(coastline=row, **{"number": 1, "rings": [], **AREA, **change})
