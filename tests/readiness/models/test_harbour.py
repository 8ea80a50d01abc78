"""What must always be true of a harbour and its shelter."""

import pytest

from readiness.models import Harbour, ShelterSector
from tests.readiness.models.conftest import Refused


@pytest.mark.parametrize(
    ("name", "value", "rule"),
    [
        ("key", "", "harbour_key_is_not_empty"),
        ("name", "", "harbour_name_is_not_empty"),
        ("zone", "", "harbour_zone_is_not_empty"),
        ("lat_deg", 90.1, "harbour_lat_deg_is_within_bounds"),
        ("lat_deg", -90.1, "harbour_lat_deg_is_within_bounds"),
        ("lon_deg", 180.1, "harbour_lon_deg_is_within_bounds"),
    ],
)
def test_a_harbour_that_breaks_a_rule_is_refused(
    harbour: Harbour, refused: Refused, name: str, value: object, rule: str
) -> None:
    setattr(harbour, name, value)

    refused(harbour, rule)


def test_the_pole_and_the_date_line_are_places(harbour: Harbour) -> None:
    harbour.lat_deg, harbour.lon_deg = 90.0, -180.0

    harbour.save()

    assert Harbour.objects.get().lat_deg == 90.0


@pytest.mark.parametrize(("start", "end"), [(-1.0, 90.0), (0.0, 361.0)])
def test_a_sector_lies_on_the_compass(harbour: Harbour, refused: Refused, start: float, end: float) -> None:
    refused(ShelterSector(harbour=harbour, from_deg=start, to_deg=end), "is_within_bounds")


def test_a_sector_is_there_once(harbour: Harbour, refused: Refused) -> None:
    harbour.shelter_sectors.create(from_deg=0, to_deg=360)

    refused(ShelterSector(harbour=harbour, from_deg=0, to_deg=360), "UNIQUE")
