"""Facts of the water and the weather of a leg: its harbours and gates, their tides, the streams, the forecast."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from math import isnan
from operator import itemgetter
from typing import Any

from django.db.models import Exists, FilteredRelation, OuterRef, Q, QuerySet
from msgspec.structs import replace

from readiness.models import Gate, Harbour, Leg
from readiness.queries.facts_forecast import forecast_of
from readiness.queries.facts_leg import LegRow, Way
from readiness.queries.facts_number import number
from readiness.queries.facts_stream import streams_of, tables_near
from readiness.queries.facts_tide import stations_of
from readiness.rules.facts_water import Departures, Help, Place, Sector, Water
from readiness.rules.facts_water import Gate as GateFact
from readiness.rules.limits import Limits
from readiness.rules.words_of_trade import GateKind

Row = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class LegWater:
    """The water of a leg, and the keys of its refuges."""

    facts: Water
    refuges: tuple[str, ...]


def water_of(row: LegRow, way: Way, departures: Departures) -> LegWater:
    """Everything about water and weather that a leg may meet. Five queries."""
    leg = row.leg
    harbours, gates = _harbour_rows(leg), gate_rows(Gate.objects.filter(vessel_id=leg.vessel_id), leg.pk)
    near = _reached(leg, harbours, gates, way.gate_ids)
    places = [group for group in harbours if group[0]["pk"] in near]
    shown = [gate for gate in gates if gate["harbour_id"] in near or gate["pk"] in way.gate_ids]
    named = way.stream_ids | {gate["stream_table_id"] for gate in shown}
    streams, stream_stations = streams_of(named - {None}, tables_near(leg.vessel_id, way.facts))
    station_ids = {place[0]["tide_station_id"] for place in places} | {gate["tide_station_id"] for gate in shown}
    station_ids |= way.station_ids | stream_stations
    facts = Water(
        places=tuple(_place(group, shown) for group in places),
        gates=tuple(gate_of(gate) for gate in shown),
        stations=stations_of(station_ids - {None}, departures),
        streams=streams,
        forecast=forecast_of(leg.vessel_id, way.facts, departures),
        warnings=row.warnings,
    )
    return LegWater(facts, tuple(group[0]["key"] for group in places if group[0]["is_refuge"]))


def with_last_entry(water: Water, limits: Limits) -> Water:
    """The same water, each gate whose last entry nobody stated taking the skipper's limit for a lock, none else."""
    return replace(water, gates=tuple(gate_with_last_entry(gate, limits) for gate in water.gates))


def gate_with_last_entry(gate: GateFact, limits: Limits) -> GateFact:
    """The same gate with a last entry. No query."""
    default = {GateKind.LOCK: limits.lock_last_entry_s}
    return replace(gate, last_entry_s=default.get(gate.kind, 0.0)) if isnan(gate.last_entry_s) else gate


def _harbour_rows(leg: Leg) -> Sequence[Sequence[Row]]:
    """The vessel's harbours, each with its sectors. One query."""
    rows = (
        Harbour.objects.filter(vessel_id=leg.vessel_id)
        .annotate(is_refuge=Exists(Leg.refuges.through.objects.filter(leg_id=leg.pk, harbour_id=OuterRef("pk"))))
        .order_by("pk", "shelter_sectors__from_deg", "shelter_sectors__pk")
        .values(
            "pk", "key", "name", "zone", "lat_deg", "lon_deg", "charted_m", "familiar", "lit", "night_price", "is_refuge",
            "tide_station_id", "tide_station__key", "shelter_sectors__from_deg", "shelter_sectors__to_deg",
        )
    )  # fmt: skip
    return [list(group) for _, group in groupby(rows, key=itemgetter("pk"))]


def gate_rows(gates: QuerySet[Gate], leg_id: int | None) -> Sequence[Row]:
    """Gates as `gate_of` takes them, each with what its keeper promised for a leg. One query."""
    rows = (
        gates.annotate(promise=FilteredRelation("keeper_promises", condition=Q(keeper_promises__leg_id=leg_id)))
        .order_by("pk")
        .values(
            "pk", "key", "name", "kind", "zone", "harbour_id", "harbour__key", "harbour__zone",
            "stream_table_id", "stream_table__key", "tide_station_id", "tide_station__key",
            "before_s", "after_s", "free_flow_before_s", "free_flow_after_s", "level_m", "zero", "fixed", "most_sea_m",
            "most_rate_mps", "keeps_hours", "opens_local_s", "closes_local_s",
            "last_entry_s", "hands", "wait_place_id", "wait_place__key",
            "promise__confirmed", "promise__keeper", "promise__at",
        )
    )  # fmt: skip
    return list(rows)


def _reached(leg: Leg, harbours: Sequence[Sequence[Row]], gates: Sequence[Row], gate_ids: Iterable[int]) -> set[int]:
    """Harbours the leg can come to: its ends, refuges, those of its gates, and where one waits for any of them."""
    passed = [gate for gate in gates if gate["pk"] in set(gate_ids)]
    near = {leg.departure_id, leg.arrival_id} | {group[0]["pk"] for group in harbours if group[0]["is_refuge"]}
    near |= {gate[where] for gate in passed for where in ("harbour_id", "wait_place_id")} - {None}
    while True:
        waits = {gate["wait_place_id"] for gate in gates if gate["harbour_id"] in near} - {None}
        if waits <= near:
            return near
        near |= waits


def _place(group: Sequence[Row], gates: Sequence[Row]) -> Place:
    first = group[0]
    return Place(
        key=first["key"],
        name=first["name"],
        zone=first["zone"],
        lat_deg=first["lat_deg"],
        lon_deg=first["lon_deg"],
        charted_m=first["charted_m"],
        station=first["tide_station__key"],
        gates=tuple(gate["key"] for gate in gates if gate["harbour_id"] == first["pk"]),
        shelter=tuple(
            Sector(from_deg=row["shelter_sectors__from_deg"], to_deg=row["shelter_sectors__to_deg"])
            for row in group
            if row["shelter_sectors__from_deg"] is not None
        ),
        familiar=first["familiar"],
        lit=first["lit"],
        night_price=number(first["night_price"]),
    )


def gate_of(row: Row) -> GateFact:
    """One row of `gate_rows` as a fact. No query."""
    straight = (
        "key", "name", "before_s", "after_s", "free_flow_before_s", "free_flow_after_s", "level_m", "zero", "fixed",
        "most_sea_m", "most_rate_mps", "keeps_hours", "opens_local_s", "closes_local_s",
        "last_entry_s", "hands",
    )  # fmt: skip
    return GateFact(
        **{name: row[name] for name in straight},
        kind=GateKind(row["kind"]),
        place=row["harbour__key"],
        zone=row["zone"] or None,
        stream=row["stream_table__key"],
        station=row["tide_station__key"],
        help=Help(confirmed=row["promise__confirmed"], name=row["promise__keeper"] or "", at=row["promise__at"]),
        wait_place=row["wait_place__key"],
    )
