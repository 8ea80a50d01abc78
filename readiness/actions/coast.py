"""Writing down the coast: harbours, gates, tide stations and stream tables, as this boat knows them.

Changing one column of any of them is `vessel.actions.particulars.change`.
"""

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from datetime import datetime
from typing import Any

from django.db import transaction
from django.db.models import Q

from readiness.feeds.stream_table import StreamTableFile
from readiness.models import Gate, Harbour, ShelterSector, StreamRow, StreamTable, TideEvent, TideStation
from vessel.actions.author import By
from vessel.actions.history import record
from vessel.actions.particulars import write_down
from vessel.actions.version import check
from vessel.errors import BadInput
from vessel.models import Vessel


@transaction.atomic
def add_harbour(
    *, vessel: Vessel, by: By, at: datetime, shelter: Sequence[tuple[float, float]] = (), **fields: Any
) -> Harbour:
    """A harbour with the sectors of wind it shelters from, each clockwise from first to second. Raises BadInput."""
    same_vessel(vessel, fields.get("tide_station"))
    harbour = write_down(Harbour, vessel=vessel, by=by, at=at, **fields)
    for from_deg, to_deg in shelter:
        sector = ShelterSector(harbour=harbour, from_deg=from_deg, to_deg=to_deg)
        check(sector)
        sector.save(force_insert=True)
    return harbour


@transaction.atomic
def add_gate(*, vessel: Vessel, by: By, at: datetime, **fields: Any) -> Gate:
    """A gate of a harbour, or of none: then it has a zone of its own. Raises BadInput."""
    same_vessel(vessel, *(fields.get(name) for name in ("harbour", "tide_station", "wait_place", "stream_table")))
    return write_down(Gate, vessel=vessel, by=by, at=at, **fields)


@transaction.atomic
def add_tide_station(
    *, vessel: Vessel, by: By, at: datetime, events: Sequence[tuple[datetime, float, bool]] = (), **fields: Any
) -> TideStation:
    """A tide station with its constants, or with printed high and low waters (time, metres, high). Raises BadInput."""
    same_vessel(vessel, fields.get("reference"))
    station = write_down(TideStation, vessel=vessel, by=by, at=at, **fields)
    add_tide_events(station=station, by=by, at=at, events=events)
    return station


@transaction.atomic
def add_tide_events(
    *, station: TideStation, by: By, at: datetime, events: Sequence[tuple[datetime, float, bool]]
) -> int:
    """More high and low waters for a printed table; one at a time already held is written over. How many came in."""
    rows = [TideEvent(station=station, at=when, height_m=height_m, high=high) for when, height_m, high in events]
    TideEvent.objects.bulk_create(
        rows, update_conflicts=True, unique_fields=["station", "at"], update_fields=["height_m", "high"]
    )
    if rows:
        what = f"{len(rows)} high and low waters of {station.name} were taken in."
        record(vessel=station.vessel, what=what, by=by, at=at, noun="tide station", noun_key=station.key[:40])
    return len(rows)


@transaction.atomic
def add_stream_table(
    *, vessel: Vessel, by: By, at: datetime, rows: Sequence[Mapping[str, float]], **fields: Any
) -> StreamTable:
    """A stream table with its rows {from_high_water_s, set_deg, rate_neaps_mps, rate_springs_mps}. Raises BadInput."""
    same_vessel(vessel, fields.get("tide_station"))
    if not rows:
        raise BadInput("A stream table needs at least one row. Nothing was written.")
    table = write_down(StreamTable, vessel=vessel, by=by, at=at, **fields)
    for columns in rows:
        row = StreamRow(table=table, **columns)
        check(row)
        row.save(force_insert=True)
    return table


def take_in_stream_table(*, vessel: Vessel, file: StreamTableFile, key: str, by: By, at: datetime) -> StreamTable:
    """A stream table as read from a file. Raises BadInput where its reference port is not held, or the key is taken."""
    named = TideStation.objects.filter(Q(key=file.reference) | Q(name=file.reference), vessel=vessel).order_by("pk")[:2]
    if len(named) != 1:
        held = ", ".join(TideStation.objects.filter(vessel=vessel).order_by("name").values_list("name", flat=True)[:8])
        which = "More than one tide station is" if named else "No tide station is"
        raise BadInput(f"{which} called {file.reference}. Stations held: {held or 'none yet'}. Nothing was written.")
    return add_stream_table(
        vessel=vessel,
        by=by,
        at=at,
        rows=[asdict(row) for row in file.rows],
        key=key,
        name=file.name,
        tide_station=named[0],
        lat_deg=file.lat_deg,
        lon_deg=file.lon_deg,
        neaps_range_m=file.neaps_range_m,
        springs_range_m=file.springs_range_m,
        rates_held_beyond=file.rates_held_beyond,
        source=file.source,
    )


def same_vessel(vessel: Vessel, *rows: Any) -> None:
    """Raises BadInput where one of the rows belongs to another vessel; rows that are None are no matter."""
    for row in rows:
        if row is not None and row.vessel_id != vessel.pk:
            raise BadInput(f"{row} belongs to another vessel. Nothing was written.")
