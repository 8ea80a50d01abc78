"""Writing down the coast."""

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from readiness.actions.coast import (
    add_gate,
    add_harbour,
    add_stream_table,
    add_tide_events,
    add_tide_station,
    take_in_stream_table,
)
from readiness.feeds.stream_table import StreamRowRead, StreamTableFile
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


def test_a_gate_in_no_harbour_has_a_zone_of_its_own_and_the_vessels_own_stream(vessel: Vessel) -> None:
    table = add_stream_table(
        vessel=vessel, by="owner-1", at=AT, rows=[ROW], key="skarn", name="Skarn Narrows", steady=True
    )

    gate = add_gate(
        vessel=vessel, by="owner-1", at=AT, key="skarn", name="Skarn Narrows", kind="narrows", zone="Europe/Lisbon",
        stream_table=table, most_rate_mps=2.0,
    )  # fmt: skip

    assert (gate.harbour, gate.zone, gate.stream_table) == (None, "Europe/Lisbon", table)
    with pytest.raises(BadInput, match="Nothing was"):
        add_gate(vessel=vessel, by="owner-1", at=AT, key="lost", name="Lost", kind="narrows")
    with pytest.raises(BadInput, match="Skarn Narrows belongs to another vessel"):
        add_gate(
            vessel=Vessel.objects.create(name="Another"), by="owner-1", at=AT, key="skarn", name="Skarn", kind="narrows",
            zone="UTC", stream_table=table,
        )  # fmt: skip


def stream_file(**parts: Any) -> StreamTableFile:
    file = StreamTableFile(
        name="Skarn Narrows", reference="ostrel", lat_deg=46.5, lon_deg=-14.45, neaps_range_m=2.1, springs_range_m=3.8,
        rates_held_beyond=False, source="table 12", rows=tuple(StreamRowRead(h * 3600.0, 90.0, 0.5, 1.0) for h in range(-6, 7)),
        ignored=(), warnings=(),
    )  # fmt: skip
    return replace(file, **parts)


@pytest.mark.parametrize("reference", ["ostrel", "Ostrel Haven"])
def test_a_stream_table_comes_in_from_a_file_by_the_name_of_its_port(vessel: Vessel, reference: str) -> None:
    port = add_tide_station(vessel=vessel, by="owner-1", at=AT, key="ostrel", name="Ostrel Haven", kind="printed table")

    table = take_in_stream_table(vessel=vessel, file=stream_file(reference=reference), key="skarn", by="owner-1", at=AT)

    assert (table.tide_station, table.rows.count()) == (port, 13)
    assert (table.lat_deg, table.lon_deg, table.source) == (46.5, -14.45, "table 12")
    assert HistoryEntry.objects.order_by("pk").last() is not None
    with pytest.raises(BadInput, match="Nothing was"):
        take_in_stream_table(vessel=vessel, file=stream_file(), key="skarn", by="owner-1", at=AT)
    assert StreamTable.objects.count() == 1


def test_a_port_that_is_not_held_is_named_with_those_that_are(vessel: Vessel) -> None:
    add_tide_station(vessel=vessel, by="owner-1", at=AT, key="thole", name="Thole Bight", kind="printed table")
    other = Vessel.objects.create(name="Another")
    add_tide_station(vessel=other, by="owner-1", at=AT, key="ostrel", name="Ostrel Haven", kind="printed table")

    with pytest.raises(BadInput) as refused:
        take_in_stream_table(vessel=vessel, file=stream_file(), key="skarn", by="owner-1", at=AT)

    assert str(refused.value) == ("No tide station is called ostrel. Stations held: Thole Bight. Nothing was written.")


def test_a_port_of_which_there_are_two_is_not_guessed_at(vessel: Vessel) -> None:
    for key, name in (("ostrel", "Ostrel Haven"), ("second", "ostrel")):
        add_tide_station(vessel=vessel, by="owner-1", at=AT, key=key, name=name, kind="printed table")

    with pytest.raises(BadInput, match="More than one tide station is called ostrel"):
        take_in_stream_table(vessel=vessel, file=stream_file(), key="skarn", by="owner-1", at=AT)
