"""Writing down the coast."""

from datetime import timedelta
from typing import Any

import pytest

from readiness.actions.coast import add_gate, add_harbour, add_stream_table, add_tide_events, add_tide_station
from readiness.models import Harbour, StreamTable, TideEvent
from tests.readiness.models.conftest import AT
from vessel.errors import BadInput
from vessel.models import HistoryEntry, Vessel

pytestmark = pytest.mark.django_db
HARBOUR: dict[str, Any] = {"key": "thole", "name": "Thole Bight", "zone": "UTC", "lat_deg": 46.5, "lon_deg": -14.0}
ROW = {"from_high_water_s": 0.0, "set_deg": 90.0, "rate_neaps_mps": 0.3, "rate_springs_mps": 0.3}


@pytest.fixture
def vessel() -> Vessel:
    """A boat."""
    return Vessel.objects.create(name="Tallow Wren")


def test_a_harbour_comes_with_its_shelter_and_a_line_in_history(vessel: Vessel) -> None:
    harbour = add_harbour(vessel=vessel, by="owner-1", at=AT, shelter=[(0.0, 90.0), (300.0, 360.0)], **HARBOUR)

    assert list(harbour.shelter_sectors.values_list("from_deg", "to_deg")) == [(0.0, 90.0), (300.0, 360.0)]
    assert HistoryEntry.objects.get().what == "Harbour written down: Thole Bight."


def test_a_harbour_with_a_sector_off_the_compass_is_not_written(vessel: Vessel) -> None:
    with pytest.raises(BadInput, match="Nothing was changed"):
        add_harbour(vessel=vessel, by="owner-1", at=AT, shelter=[(0.0, 400.0)], **HARBOUR)

    assert not Harbour.objects.exists()
    assert not HistoryEntry.objects.exists()


def test_what_belongs_to_another_vessel_is_refused(vessel: Vessel) -> None:
    harbour = add_harbour(vessel=vessel, by="owner-1", at=AT, **HARBOUR)
    other = Vessel.objects.create(name="Another")

    with pytest.raises(BadInput, match="Thole Bight belongs to another vessel"):
        add_gate(vessel=other, by="owner-1", at=AT, harbour=harbour, key="bar", name="Bar", kind="bar")


def test_printed_events_come_in_once_and_a_corrected_one_is_written_over(vessel: Vessel) -> None:
    events = [(AT, 4.0, True), (AT + timedelta(hours=6), 1.0, False)]
    station = add_tide_station(
        vessel=vessel, by="owner-1", at=AT, key="ostrel", name="Ostrel", kind="printed table", events=events
    )

    add_tide_events(station=station, by="owner-1", at=AT, events=[(AT, 4.2, True)])

    assert list(TideEvent.objects.values_list("height_m", flat=True)) == [4.2, 1.0]


def test_a_stream_table_needs_a_row(vessel: Vessel) -> None:
    with pytest.raises(BadInput, match="at least one row"):
        add_stream_table(vessel=vessel, by="owner-1", at=AT, key="bay", name="Bay", steady=True, rows=[])

    table = add_stream_table(vessel=vessel, by="owner-1", at=AT, key="bay", name="Bay", steady=True, rows=[ROW])
    assert StreamTable.objects.get() == table
    assert table.rows.count() == 1
