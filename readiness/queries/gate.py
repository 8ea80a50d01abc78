"""When a gate is open, asked for itself: no leg, no crew and no forecast."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import datetime

import numpy as np
from django.db.models import QuerySet
from msgspec.structs import replace

from readiness.calc.tidal_stream import turns
from readiness.calc.window import Windows
from readiness.models import Gate, LimitSet
from readiness.queries.facts import limits_of
from readiness.queries.facts_number import number
from readiness.queries.facts_stream import streams_of
from readiness.queries.facts_tide import stations_of
from readiness.queries.facts_water import gate_of, gate_rows, gate_with_last_entry
from readiness.rules.facts_water import Departures, Station, Stream
from readiness.rules.facts_water import Gate as GateFact
from readiness.rules.gate_lacks import lacking
from readiness.rules.gates import Setting, gate_windows_of
from readiness.rules.limits import Limits
from readiness.rules.passage import Tide
from readiness.rules.record import Array
from readiness.rules.tides import stream_of, tide_of
from readiness.rules.words_of_trade import GateKind
from vessel.models import Vessel
from vessel.units import DAY, Flags

FLAT_WATER = "By height of tide in flat water: the sea on the bar is judged with each passage."
NOTHING = np.array([])


@dataclass(frozen=True, slots=True)
class GateDays:
    """The windows of a gate between two times, UTC seconds; half-open, [opens, closes).

    `opens_known` false: open already when what is known begins; `closes_known` likewise. Within `dark_from` and
    `dark_to` nobody knows. `why_not`: what must be known before any window can be told, "" where they are told.
    `note`: what they are told for, "" for nothing to say. `turns_at`: when the stream of narrows turns.
    """

    opens_at: Array
    closes_at: Array
    last_entry_at: Array
    opens_known: Flags
    closes_known: Flags
    dark_from: Array
    dark_to: Array
    why_not: str
    note: str
    turns_at: Array


def windows_of_gates(gates: Collection[Gate], *, start: datetime, end: datetime) -> dict[int, GateDays]:
    """The windows of gates of one vessel under her limits, by primary key. Five queries however many.

    Raises BadInput for a limit out of bounds.
    """
    rows = gate_rows(Gate.objects.filter(pk__in=[gate.pk for gate in gates]), None)
    if not rows:
        return {}
    first = next(iter(gates))
    limits, vessel = limits_of(_limit_values(first.vessel_id)), _vessel(first)
    tables, stream_stations = streams_of({row["stream_table_id"] for row in rows} - {None})
    span = Departures(first=start, every_s=(end - start).total_seconds(), count=1)
    stations = stations_of(({row["tide_station_id"] for row in rows} | stream_stations) - {None}, span)
    moments = (start.timestamp(), end.timestamp())
    tides = _tides(stations, moments)
    found = {}
    for row in rows:
        fact = gate_with_last_entry(replace(gate_of(row), zone=row["zone"] or row["harbour__zone"]), limits)
        setting = _setting(fact, vessel, limits, stations, tides, tables, moments)
        held = gate_windows_of(fact, setting, *moments)
        note = FLAT_WATER if fact.kind == GateKind.BAR else ""
        found[row["pk"]] = _days(held, fact.last_entry_s, lacking(fact, setting), note, _turns_at(fact, setting))
    return found


def _turns_at(gate: GateFact, setting: Setting) -> Array:
    of_narrows = setting.stream if gate.kind == GateKind.NARROWS else None
    return NOTHING if of_narrows is None else np.asarray(turns(of_narrows))


def _limit_values(vessel_id: int) -> dict[str, object] | None:
    return LimitSet.objects.filter(vessel_id=vessel_id).order_by("-number").values_list("values", flat=True).first()


def _vessel(gate: Gate) -> Vessel:
    return Vessel.objects.only("draught_m", "air_draught_m").get(pk=gate.vessel_id)


def _tides(stations: tuple[Station, ...], span: tuple[float, float]) -> dict[str, Tide]:
    """The tides that can be told, a day beyond the days that streams are wanted for."""
    held = ((one.key, tide_of(one, span[0] - 2 * DAY, span[1] + 2 * DAY)) for one in stations)
    return {key: tide for key, tide in held if tide is not None}


def _setting(
    gate: GateFact,
    vessel: Vessel,
    limits: Limits,
    stations: tuple[Station, ...],
    tides: Mapping[str, Tide],
    tables: tuple[Stream, ...],
    span: tuple[float, float],
) -> Setting:
    start, end = span[0] - DAY, span[1] + DAY
    return Setting(
        draught_m=number(vessel.draught_m),
        air_draught_m=number(vessel.air_draught_m),
        under_keel_m=limits.under_keel_m,
        zone=gate.zone or "",
        station=next((one for one in stations if one.key == gate.station), None),
        tide=tides.get(gate.station or ""),
        stream=next((stream_of(table, tides, start, end) for table in tables if table.key == gate.stream), None),
    )


def _days(held: Windows | None, entry_s: float, why_not: str, note: str, turns_at: Array) -> GateDays:
    if held is None:
        flags = np.zeros(0, np.bool_)
        return GateDays(
            NOTHING, NOTHING, NOTHING, flags, flags, NOTHING, NOTHING, why_not or "its times", note, NOTHING
        )
    return GateDays(
        opens_at=held.opens_at,
        closes_at=held.closes_at,
        last_entry_at=held.closes_at - entry_s,
        opens_known=held.opens_known,
        closes_known=held.closes_known,
        dark_from=held.dark_from,
        dark_to=held.dark_to,
        why_not="",
        note=note,
        turns_at=turns_at,
    )


def gates_on_the_way(vessel_id: int) -> "QuerySet[Gate]":
    """The gates that no harbour has, by name. One query."""
    rows = Gate.objects.filter(vessel_id=vessel_id, harbour=None)
    return rows.select_related("tide_station", "stream_table", "wait_place").order_by("name")
