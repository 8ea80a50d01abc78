"""The coast, the forecast and the leg of a facts document written into the database."""

from collections.abc import Mapping
from datetime import datetime

import numpy as np
from msgspec.structs import asdict

from readiness.feeds.forecast import QUANTITIES, ForecastFile, pack
from readiness.models import (
    Forecast,
    Gate,
    Harbour,
    KeeperPromise,
    Leg,
    LegPoint,
    LegSegment,
    StreamTable,
    TideEvent,
    TideStation,
    WarningLook,
)
from readiness.rules.facts import Facts
from readiness.rules.facts_water import Forecast as ForecastFact
from readiness.rules.facts_water import Gate as GateFact
from readiness.rules.facts_water import Station, Stream, Warnings
from readiness.rules.record import epochs
from tests.factories.stored_boat import BY, known
from vessel.models import Vessel

Stations = Mapping[str | None, TideStation]
Streams = Mapping[str | None, StreamTable]


def stored_stations(facts: Facts, vessel: Vessel) -> Stations:
    """The tide stations with their constants or events."""
    return {station.key: _station(station, vessel) for station in facts.water.stations}


def _station(station: Station, vessel: Vessel) -> TideStation:
    names = ("amplitude_m", "phase_utc_deg", "speed_deg_per_h")
    columns = zip(station.constituents, *(getattr(station, name).tolist() for name in names), strict=True)
    row = TideStation.objects.create(
        vessel=vessel,
        key=station.key,
        name=station.name,
        kind=station.kind,
        datum=station.datum,
        source=station.source,
        mean_level_m=known(station.mean_level_m),
        differences_applied=station.differences_applied,
        levels={level.name: known(level.height_m) for level in station.levels},
        valid_from=station.valid_from,
        valid_to=station.valid_to,
        constants=[
            {"name": name, **{key: known(value) for key, value in zip(names, values, strict=True)}}
            for name, *values in columns
        ],
    )
    TideEvent.objects.bulk_create(
        TideEvent(station=row, at=at, height_m=height_m, high=high)
        for at, height_m, high in zip(station.event_at, station.event_m.tolist(), station.event_high, strict=True)
    )
    return row


def stored_coast(facts: Facts, vessel: Vessel, stations: Stations, streams: Streams) -> dict[str, Harbour]:
    """Harbours with their shelter, and the gates."""
    harbours = {}
    for place in facts.water.places:
        harbour = Harbour.objects.create(
            vessel=vessel, key=place.key, name=place.name, zone=place.zone, lat_deg=place.lat_deg,
            lon_deg=place.lon_deg, charted_m=known(place.charted_m), tide_station=stations.get(place.station),
            familiar=place.familiar, lit=place.lit, night_price=known(place.night_price),
        )  # fmt: skip
        for sector in place.shelter:
            harbour.shelter_sectors.create(from_deg=sector.from_deg, to_deg=sector.to_deg)
        harbours[place.key] = harbour
    for gate in facts.water.gates:
        _gate(gate, vessel, stations, harbours, streams)
    return harbours


def _gate(
    gate: GateFact, vessel: Vessel, stations: Stations, harbours: Mapping[str, Harbour], streams: Streams
) -> None:
    Gate.objects.create(
        vessel=vessel,
        harbour=harbours.get(gate.place or ""),
        zone=gate.zone or "",
        key=gate.key,
        name=gate.name,
        kind=gate.kind,
        tide_station=stations.get(gate.station),
        before_s=known(gate.before_s),
        after_s=known(gate.after_s),
        free_flow_before_s=known(gate.free_flow_before_s),
        free_flow_after_s=known(gate.free_flow_after_s),
        level_m=known(gate.level_m),
        fixed=gate.fixed,
        most_sea_m=known(gate.most_sea_m),
        stream_table=streams.get(gate.stream),
        most_rate_mps=known(gate.most_rate_mps),
        zero=gate.zero,
        keeps_hours=gate.keeps_hours,
        opens_local_s=known(gate.opens_local_s),
        closes_local_s=known(gate.closes_local_s),
        last_entry_s=known(gate.last_entry_s),
        hands=gate.hands,
        wait_place=harbours.get(gate.wait_place or ""),
    )


def stored_streams(facts: Facts, vessel: Vessel, stations: Stations) -> dict[str | None, StreamTable]:
    """The stream tables with their rows."""
    return {stream.key: _stream(stream, vessel, stations) for stream in facts.water.streams}


def _stream(stream: Stream, vessel: Vessel, stations: Stations) -> StreamTable:
    table = StreamTable.objects.create(
        vessel=vessel, key=stream.key, name=stream.name, lat_deg=known(stream.lat_deg), lon_deg=known(stream.lon_deg),
        steady=stream.steady,
        tide_station=stations.get(stream.station), neaps_range_m=known(stream.neaps_range_m),
        springs_range_m=known(stream.springs_range_m), rates_held_beyond=stream.rates_held_beyond,
    )  # fmt: skip
    columns = (stream.from_high_water_s, stream.set_deg, stream.rate_neaps_mps, stream.rate_springs_mps)
    for start, set_deg, neaps, springs in zip(*(column.tolist() for column in columns), strict=True):
        table.rows.create(from_high_water_s=start, set_deg=set_deg, rate_neaps_mps=neaps, rate_springs_mps=springs)
    return table


def stored_leg(facts: Facts, vessel: Vessel, stations: Stations) -> Leg:
    """The leg with its points, segments, refuges and keepers' promises."""
    stated = facts.leg
    streams = stored_streams(facts, vessel, stations)
    harbours = stored_coast(facts, vessel, stations, streams)
    gates = {gate.key: gate for gate in Gate.objects.filter(vessel=vessel)}
    contact = facts.contact
    leg = Leg.objects.create(
        vessel=vessel,
        key=stated.key,
        name=stated.name,
        planned_at=stated.planned_at,
        departure=harbours[stated.departure_place],
        arrival=harbours[stated.arrival_place],
        harbour_move=stated.harbour_move,
        speed_mps=known(stated.speed_mps),
        running_on_s=known(stated.running_on_s),
        watch_plan_counts_autopilot=stated.watch_plan_counts_autopilot,
        contact_name=contact.name if contact else "",
        contact_told_at=contact.told_at if contact else None,
        contact_acknowledged=contact.acknowledged if contact else None,
        overdue_at=contact.overdue_at if contact else None,
    )
    leg.refuges.set([harbours[key] for key in stated.refuges])
    for number, point in enumerate(stated.points, start=1):
        LegPoint.objects.create(
            leg=leg, number=number, name=point.name, lat_deg=point.lat_deg, lon_deg=point.lon_deg,
            charted_m=known(point.charted_m), depth_matters=point.depth_matters,
            tide_station=stations.get(point.station), gate=gates.get(point.gate or ""),
        )  # fmt: skip
    for number, segment in enumerate(stated.segments, start=1):
        LegSegment.objects.create(
            leg=leg, number=number, name=segment.name, kind=segment.kind, exposed=segment.exposed,
            crosses_bar=segment.crosses_bar, stream_by=segment.stream_by, stream_table=streams.get(segment.stream),
            shore_m=known(segment.shore_m), shore_to_deg=known(segment.shore_to_deg), land=segment.land,
        )  # fmt: skip
    for gate in facts.water.gates:
        if gate.help.at is not None:
            KeeperPromise.objects.create(
                leg=leg, gate=gates[gate.key], confirmed=gate.help.confirmed, keeper=gate.help.name, at=gate.help.at
            )
    return leg


def stored_warnings(stated: Warnings, vessel: Vessel) -> WarningLook:
    """The look at the warnings, which must say when it was and how far it speaks."""
    assert stated.looked_at is not None
    assert stated.good_to is not None
    items = [{**asdict(item), "start": _iso(item.start), "end": _iso(item.end)} for item in stated.items]
    return WarningLook.objects.create(
        vessel=vessel, source=stated.source, looked_at=stated.looked_at, good_to=stated.good_to, by=BY, items=items
    )


def _iso(moment: datetime | None) -> str | None:
    return None if moment is None else moment.isoformat()


def stored_forecast(stated: ForecastFact, facts: Facts, vessel: Vessel) -> Forecast:
    """The same weather everywhere: the forecast's first point over a wide grid."""
    lat_deg = np.array([min(point.lat_deg for point in facts.leg.points) - 1, 0.0])
    lat_deg[1] = lat_deg[0] + 2
    lon_deg = np.array([min(point.lon_deg for point in facts.leg.points) - 1, 0.0])
    lon_deg[1] = lon_deg[0] + 4
    shape = (len(stated.at), 2, 2)
    file = ForecastFile(
        kind="grib", layout="grid", source=stated.source,
        issued_at=stated.issued_at.timestamp() if stated.issued_at else float("nan"), at=epochs(stated.at),
        lat_deg=lat_deg, lon_deg=lon_deg,
        variables={
            name: np.broadcast_to(getattr(stated, name)[:, 0, None, None], shape).copy() for name in QUANTITIES
        },
    )  # fmt: skip
    return Forecast.objects.create(
        vessel=vessel, source=stated.source, issued_at=stated.issued_at, taken_in_at=stated.at[0], by=BY,
        confidence=stated.confidence, south_deg=lat_deg[0], north_deg=lat_deg[1], west_deg=lon_deg[0],
        east_deg=lon_deg[1], first_at=stated.at[0], last_at=stated.at[-1], packed=pack(file),
        sha256=f"{vessel.forecasts.count():064x}",
    )  # fmt: skip
