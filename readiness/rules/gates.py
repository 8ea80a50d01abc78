"""When gates are open: about high water, by height of tide, by rate of stream, by the sea, and by the keeper's hours.

What is not known is never open. A fixed bridge never opens: its times are those at which she passes under it.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import time
from types import MappingProxyType
from typing import Any

import numpy as np

from readiness.calc.tidal_stream import Stream
from readiness.calc.window import (
    Condition,
    Windows,
    about_high_water,
    always,
    both,
    daily_hours,
    height_at_least,
    height_at_most,
    rate_at_most,
    windows,
)
from readiness.rules.circumstances import all_of, holds
from readiness.rules.depth import SHARE_OF_SEA
from readiness.rules.facts import Facts
from readiness.rules.facts_water import Gate, Station
from readiness.rules.passage import Tide
from readiness.rules.record import NOT_KNOWN
from readiness.rules.telling import zone_or_none
from readiness.rules.words_of_trade import GateKind
from vessel.units import DAY, MINUTE, Array, Epoch, Metres

RESOLUTION_S = 10 * MINUTE  # shorter openings than this may be missed, but none of a stream
DATUM = "chart datum"
MEAN_LEVEL = "mean level"
HEADROOM_M = 0.5  # wanted over the highest point of the boat [own]

NOTHING: Mapping[str, Any] = MappingProxyType({})
Sea = Callable[[Epoch], Metres]  # height of the effective sea at a bar, NaN where not known


@dataclass(frozen=True)
class Setting:
    """What a gate's times hang on besides its own rule; None and NaN where not known.

    `sea` None: asked for flat water.
    """

    draught_m: float
    air_draught_m: float
    under_keel_m: float
    zone: str
    station: Station | None
    tide: Tide | None
    stream: Stream | None
    sea: Sea | None = None


def windows_of(
    facts: Facts,
    tides: Mapping[str, Tide],
    start: float,
    end: float,
    streams: Mapping[str, Stream | None] = NOTHING,
    seas: Mapping[str, Sea] = NOTHING,
) -> dict[str, Windows]:
    """The windows of each gate between two times, by key; a gate whose windows cannot be known is left out.

    `streams` by table; `seas` by gate, those at bars.
    """
    found = {
        gate.key: gate_windows_of(gate, setting_of(gate, facts, tides, streams, seas.get(gate.key)), start, end)
        for gate in facts.water.gates
    }
    return {key: held for key, held in found.items() if held is not None}


def setting_of(
    gate: Gate, facts: Facts, tides: Mapping[str, Tide], streams: Mapping[str, Stream | None], sea: Sea | None
) -> Setting:
    """What the facts say of everything that the times of a gate hang on."""
    vessel, water = facts.boat.vessel, facts.water
    return Setting(
        draught_m=vessel.draught_m,
        air_draught_m=vessel.air_draught_m,
        under_keel_m=facts.limits.under_keel_m,
        zone=zone_of(gate, facts),
        station=next((station for station in water.stations if station.key == gate.station), None),
        tide=tides.get(gate.station or ""),
        stream=streams.get(gate.stream or ""),
        sea=sea,
    )


def zone_of(gate: Gate, facts: Facts) -> str:
    """The zone of a gate: its own, or its harbour's; "" where neither is known."""
    return gate.zone or next((place.zone for place in facts.water.places if place.key == gate.place), "")


def gate_windows_of(gate: Gate, setting: Setting, start: float, end: float) -> Windows | None:
    """The windows of a gate between two times; None where they cannot be known."""
    condition = condition_of(gate, setting)
    stream = setting.stream if gate.kind == GateKind.NARROWS else None
    turns = np.array([]) if stream is None else np.append(stream.changes_at, stream.ends_at)
    return None if condition is None else windows(condition, start, end, RESOLUTION_S, turns_at=turns)


def condition_of(gate: Gate, setting: Setting) -> Condition | None:
    """Whether the gate is open at any time; None where that cannot be known."""
    if never_opens(gate):
        return _under(gate, setting)
    by_water = _BY_WATER[gate.kind](gate, setting)
    if by_water is None or gate.keeps_hours is None:
        return None
    if not gate.keeps_hours:
        return by_water
    hours = hours_of(gate, setting.zone)
    return None if hours is None else both(by_water, hours)


def zero_m(station: Station | None, zero: str | None) -> float:
    """Height of a zero above the datum that the station's heights are given from; NaN where not known."""
    named: dict[str | None, float] = {DATUM: 0.0}
    if station is not None:
        named |= {MEAN_LEVEL: station.mean_level_m, **{level.name: level.height_m for level in station.levels}}
        named |= {station.datum: 0.0} if station.datum is not None else {}
    return named.get(zero, NOT_KNOWN)


def is_fixed_bridge(gate: Gate) -> bool:
    """A bridge that is not known to open: it has headroom, no hours."""
    return gate.kind == GateKind.BRIDGE and gate.fixed is not False


def never_opens(gate: Gate) -> bool:
    """A bridge that is known never to open: nothing but headroom is asked of it."""
    return gate.kind == GateKind.BRIDGE and gate.fixed is True


def by_tide(gate: Gate) -> bool:
    """Whether the gate's times, or its headroom, hang on the height of tide or on high water."""
    return gate.kind in (GateKind.LOCK, GateKind.SILL, GateKind.BAR) or is_fixed_bridge(gate)


def _lock(gate: Gate, setting: Setting) -> Condition | None:
    tide = setting.tide
    if tide is None or not np.isfinite(gate.before_s + gate.after_s):
        return None
    about = about_high_water(tide.events.at[tide.events.high], gate.before_s, gate.after_s)
    if gate.zero is None and np.isnan(gate.level_m):  # it has no sill of its own
        return about
    over_sill = _by_height(gate, setting)
    return None if over_sill is None else both(about, over_sill)


def _by_height(gate: Gate, setting: Setting) -> Condition | None:
    tide, needed = setting.tide, gate.level_m + zero_m(setting.station, gate.zero) + setting.draught_m
    needed += setting.under_keel_m
    if tide is None or not np.isfinite(needed):
        return None
    return height_at_least(lambda at: np.asarray(tide.height(at)), needed)


def _bar(gate: Gate, setting: Setting) -> Condition | None:
    """A bar wants half the sea's height under the keel besides, and no higher sea than it is crossed in."""
    flat, tide, sea = _by_height(gate, setting), setting.tide, setting.sea
    if flat is None or tide is None or sea is None:
        return flat
    needed = gate.level_m + zero_m(setting.station, gate.zero) + setting.draught_m + setting.under_keel_m

    def open_at(at: Array) -> Array:
        height, met = np.asarray(tide.height(at)), np.asarray(sea(at))
        deep_enough = (holds(np.greater_equal, left, needed) for left in (height, height - SHARE_OF_SEA * met))
        return all_of(*deep_enough, holds(np.less_equal, met, gate.most_sea_m))

    return open_at


def _lifting(gate: Gate, _setting: Setting) -> Condition | None:
    return always if gate.fixed is False else None


def _under(gate: Gate, setting: Setting) -> Condition | None:
    tide = setting.tide
    highest = gate.level_m + zero_m(setting.station, gate.zero) - setting.air_draught_m - HEADROOM_M
    if tide is None or not np.isfinite(highest):
        return None
    return height_at_most(lambda at: np.asarray(tide.height(at)), highest)


def _narrows(gate: Gate, setting: Setting) -> Condition | None:
    stream = setting.stream
    if stream is None or not np.isfinite(gate.most_rate_mps):
        return None
    return rate_at_most(lambda at: np.hypot(*stream.at(at)), gate.most_rate_mps)


def hours_of(gate: Gate, zone: str) -> Condition | None:
    """The keeper's hours; None where they or their zone are not known."""
    seconds = (gate.opens_local_s, gate.closes_local_s)
    if zone_or_none(zone) is None or not all(0 <= second <= DAY for second in seconds):
        return None
    if seconds == (0, DAY):
        return always
    opens, closes = (time(int(s % DAY // 3600), int(s % 3600 // 60), int(s % 60)) for s in seconds)
    return daily_hours(opens, closes, zone)


_BY_WATER: Mapping[GateKind, Callable[[Gate, Setting], Condition | None]] = {
    GateKind.LOCK: _lock,
    GateKind.SILL: _by_height,
    GateKind.BAR: _bar,
    GateKind.BRIDGE: _lifting,
    GateKind.NARROWS: _narrows,
}
