"""The worked example with one of everything the facts can hold: gates of every kind, tables by their place, members."""

from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
from msgspec.structs import replace

from readiness.rules.facts import Facts, changed
from readiness.rules.facts_boat import FuelRun, SeaSpeed
from readiness.rules.facts_water import Gate, Level, Station, WeatherWarning
from readiness.rules.words_of_trade import GateKind, StationKind, StreamBy, WarningKind
from tests.factories.ensemble import with_members
from tests.factories.worked_example import JUDGED_AT
from tests.factories.worked_water import LATITUDE, NAN, gate, longitude
from tests.readiness.rules.alter import boat, leg, vessel, water
from vessel.units import HOUR, KNOT

NO_HOURS: dict[str, Any] = {"keeps_hours": False, "place": None, "zone": "Europe/Lisbon"}
YEAR = {"valid_from": datetime(2027, 1, 1, tzinfo=UTC), "valid_to": datetime(2028, 1, 1, tzinfo=UTC)}
MILE_OF_TABLE = {"first": 5.0, "second": 17.0, "fourth": 33.0, "fifth": 44.0}  # the narrows' own has no place


def full_day(facts: Facts) -> Facts:
    """Everything at once, on a day on which she may still go."""
    return with_members(_on_the_way(_waters(_boat(facts))), 2, 0.8, 1.0)


def fuel_runs(*shares: float) -> tuple[FuelRun, ...]:
    """Runs by rpm, slow in a foul stream, and by speed alone, that used so much of what her table expects."""
    return tuple(
        FuelRun(at=JUDGED_AT - timedelta(days=9 - number), run_h=6.0, used_l=9.0 * 6.0 * share,
                rpm=NAN if number % 3 == 2 else 1800.0, speed_mps=(7.0 if number % 3 == 2 else 5.0) * KNOT)
        for number, share in enumerate(shares)
    )  # fmt: skip


def _boat(facts: Facts) -> Facts:
    kept = tuple(
        SeaSpeed(height_m=height, ahead=ahead, abeam=abeam, astern=astern)
        for height, ahead, abeam, astern in ((1.0, 0.97, 0.99, 1.0), (2.0, 0.80, 0.90, 0.95))
    )
    return boat(vessel(facts, sea_speeds=kept, air_draught_m=5.1), fuel_runs=fuel_runs(0.94, 1.02, 0.97))


def _waters(facts: Facts) -> Facts:
    held = facts.water
    gates = tuple(_lock(one) if one.kind == GateKind.LOCK else one for one in held.gates)
    streams = tuple(
        replace(table, lat_deg=LATITUDE, lon_deg=longitude(MILE_OF_TABLE[table.key]))
        if table.key in MILE_OF_TABLE
        else table
        for table in held.streams
    )
    assert held.warnings is not None
    over = JUDGED_AT + timedelta(minutes=30)
    items = (
        WeatherWarning(kind=WarningKind.GALE, area="Skarn", start=None, end=over, text="Easing."),
        WeatherWarning(kind=WarningKind.OTHER, area="Skarn", start=None, end=None, text="Drifting nets."),
    )
    levels = (Level(name="mean high water springs", height_m=4.55),)
    stations = tuple(replace(one, levels=levels, **YEAR) for one in held.stations)
    places = tuple(replace(one, station="thole") if one.key == "thole" else one for one in held.places)
    return water(
        facts, gates=(*gates, *_more_gates()), streams=streams, places=places, stations=(*stations, _constants(stations[0])),
        warnings=replace(held.warnings, items=items),
    )  # fmt: skip


def _lock(lock: Gate) -> Gate:
    """With a sill of its own, and a free flow."""
    return replace(lock, level_m=-1.0, zero="chart datum", free_flow_before_s=0.5 * HOUR, free_flow_after_s=0.5 * HOUR)


def _more_gates() -> tuple[Gate, ...]:
    narrows = gate("skarn-narrows", "Skarn Narrows", GateKind.NARROWS, "", hands=0)
    bridge = gate("hallorn-bridge", "Hallorn bridge", GateKind.BRIDGE, "", level_m=14.0)
    bar = gate("thole-bar", "Thole bar", GateKind.BAR, "", level_m=-6.0, most_sea_m=2.0)
    return (
        replace(narrows, stream="skarn", most_rate_mps=6.0 * KNOT, **NO_HOURS),
        replace(bridge, fixed=True, zero="mean high water springs", **NO_HOURS),
        replace(bar, **NO_HOURS),
    )


def _constants(near: Station) -> Station:
    """A station by constants."""
    return replace(
        near, key="thole", name="Thole Bight", kind=StationKind.HARMONIC, mean_level_m=2.6, levels=(),
        constituents=("M2", "S2"), amplitude_m=np.array([1.45, 0.50]), phase_utc_deg=np.array([120.0, 150.0]),
        speed_deg_per_h=np.array([28.9841042, 30.0]), event_at=(), event_m=np.array([]), event_high=(),
    )  # fmt: skip


def _on_the_way(facts: Facts) -> Facts:
    by = (StreamBy.BETWEEN, StreamBy.BETWEEN, StreamBy.NAMED, StreamBy.NEAREST, StreamBy.NAMED)
    segments = tuple(
        replace(one, stream_by=how, stream=one.stream if how == StreamBy.NAMED else None, crosses_bar=number == 3)
        for number, (one, how) in enumerate(zip(facts.leg.segments, by, strict=True))
    )
    calls = {2: "skarn-narrows", 3: "hallorn-bridge", 4: "thole-bar"}
    points = tuple(replace(one, gate=calls.get(number, one.gate)) for number, one in enumerate(facts.leg.points))
    return changed(leg(facts, segments=segments, points=points))
