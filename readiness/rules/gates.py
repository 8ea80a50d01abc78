"""When the gates of the facts are open: lock about high water, sill and bar by height, and the keeper's hours."""

from collections.abc import Callable, Mapping
from datetime import time

import numpy as np

from readiness.calc.window import Condition, Windows, about_high_water, both, daily_hours, height_at_least, windows
from readiness.rules.facts import Facts
from readiness.rules.facts_water import Gate
from readiness.rules.passage import Tide
from readiness.rules.words_of_trade import GateKind
from vessel.units import DAY, MINUTE

RESOLUTION_S = 10 * MINUTE  # shorter openings than this may be missed


def windows_of(facts: Facts, tides: Mapping[str, Tide], start: float, end: float) -> dict[str, Windows]:
    """The windows of each gate between two times, by key; a gate whose windows cannot be known is left out."""
    zones = {place.key: place.zone for place in facts.water.places}
    held = {}
    for gate in facts.water.gates:
        condition = condition_of(gate, facts, tides, gate.zone or zones.get(gate.place or "", ""))
        if condition is not None:
            held[gate.key] = windows(condition, start, end, RESOLUTION_S)
    return held


def condition_of(gate: Gate, facts: Facts, tides: Mapping[str, Tide], zone: str) -> Condition | None:
    """Whether the gate is open at any time; None where that cannot be known."""
    tide = tides.get(gate.station or "")
    by_water = _BY_WATER.get(gate.kind)
    water = by_water(gate, facts, tide) if tide is not None and by_water is not None else None
    if water is None or gate.keeps_hours is None:
        return None
    if not gate.keeps_hours:
        return water
    hours = _hours(gate, zone)
    return None if hours is None else both(water, hours)


def _lock(gate: Gate, _facts: Facts, tide: Tide) -> Condition | None:
    if not np.isfinite(gate.before_s + gate.after_s):
        return None
    return about_high_water(tide.events.at[tide.events.high], gate.before_s, gate.after_s)


def _by_height(gate: Gate, facts: Facts, tide: Tide) -> Condition | None:
    needed = gate.level_m + facts.boat.vessel.draught_m + facts.limits.under_keel_m
    if gate.zero != "chart datum" or not np.isfinite(needed):
        return None
    return height_at_least(lambda at: np.asarray(tide.height(at)), needed)


def _hours(gate: Gate, zone: str) -> Condition | None:
    seconds = (gate.opens_local_s, gate.closes_local_s)
    if not zone or not all(0 <= second < DAY for second in seconds):
        return None
    opens, closes = (time(int(s // 3600), int(s % 3600 // 60), int(s % 60)) for s in seconds)
    return daily_hours(opens, closes, zone)


_BY_WATER: Mapping[GateKind, Callable[[Gate, Facts, Tide], Condition | None]] = {
    GateKind.LOCK: _lock,
    GateKind.SILL: _by_height,
    GateKind.BAR: _by_height,
}
