from datetime import UTC, datetime
from typing import Any

import pytest

from readiness.actions.harbour import change_harbour, free_key
from readiness.models import Harbour, TideStation
from tests.factories.vessel import a_vessel
from vessel.actions.version import ChangedMeanwhile
from vessel.errors import BadInput
from vessel.models import HistoryEntry, Vessel

pytestmark = pytest.mark.django_db
AT = datetime(2027, 5, 15, 6, 0, tzinfo=UTC)


def a_harbour(vessel: Vessel, **columns: Any) -> Harbour:
    stated = {"key": "thole-bight", "name": "Thole Bight", "zone": "UTC", "lat_deg": 46.5, "lon_deg": -14.0, **columns}
    row = Harbour.objects.create(vessel=vessel, **stated)
    row.shelter_sectors.create(from_deg=0, to_deg=90)
    return row


def sectors(row: Harbour) -> list[tuple[float, float]]:
    return [(one.from_deg, one.to_deg) for one in row.shelter_sectors.all()]


def changed(row: Harbour, **changes: Any) -> Harbour:
    return change_harbour(harbour=row, seen_version=1, by="roke", at=AT, **changes)


def test_shelter_that_stays_the_same_writes_no_line() -> None:
    row = a_harbour(a_vessel())

    changed(row, shelter=[(0.0, 90.0)])

    assert sectors(row) == [(0.0, 90.0)]
    assert HistoryEntry.objects.count() == 0


def test_shelter_left_out_is_left_alone_and_an_empty_one_is_taken_away() -> None:
    row = a_harbour(a_vessel())

    changed(row, lit=True)
    assert sectors(row) == [(0.0, 90.0)]

    change_harbour(harbour=row, seen_version=2, by="roke", at=AT, shelter=[])
    assert sectors(row) == []


def test_the_same_sector_twice_is_one() -> None:
    row = a_harbour(a_vessel())

    changed(row, shelter=[(180.0, 270.0), (180.0, 270.0)])

    assert sectors(row) == [(180.0, 270.0)]


def test_a_sector_out_of_bounds_changes_nothing_at_all() -> None:
    row = a_harbour(a_vessel())

    with pytest.raises(BadInput, match="Nothing was changed"):
        changed(row, name="Elsewhere", shelter=[(0.0, 400.0)])

    row.refresh_from_db()
    assert (row.name, sectors(row)) == ("Thole Bight", [(0.0, 90.0)])


def test_a_harbour_changed_meanwhile_keeps_its_shelter_too() -> None:
    row = a_harbour(a_vessel())
    Harbour.objects.update(version=2)

    with pytest.raises(ChangedMeanwhile):
        changed(row, name="Elsewhere", shelter=[])

    assert sectors(row) == [(0.0, 90.0)]


def test_a_station_of_another_vessel_is_refused() -> None:
    row, other = a_harbour(a_vessel()), a_vessel()
    far = TideStation.objects.create(vessel=other, key="far", name="Far", kind="harmonic constants")

    with pytest.raises(BadInput, match="belongs to another vessel"):
        changed(row, tide_station=far)


@pytest.mark.parametrize(
    ("taken", "key"),
    [((), "ledrick-quay"), (("ledrick-quay",), "ledrick-quay-2"), (("ledrick-quay", "ledrick-quay-2"), "ledrick-quay-3"),
     (("ledrick-quay-2",), "ledrick-quay")],
)  # fmt: skip
def test_a_key_is_made_of_the_name_and_is_free(taken: tuple[str, ...], key: str) -> None:
    vessel = a_vessel()
    for one in taken:
        a_harbour(vessel, key=one)
    a_harbour(a_vessel(), key="ledrick-quay")

    assert free_key(Harbour, vessel, "Ledrick Quay") == key


@pytest.mark.parametrize(("name", "key"), [("港", "unnamed"), ("x" * 120, "x" * 56)])
def test_a_name_without_plain_letters_or_too_long_has_a_key_all_the_same(name: str, key: str) -> None:
    assert free_key(Harbour, a_vessel(), name) == key
