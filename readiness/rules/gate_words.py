"""Gates in words: each kind by what opens and shuts it."""

from collections.abc import Callable, Mapping

import numpy as np

from readiness.calc.streams_together import slack_at
from readiness.calc.tidal_stream import Stream
from readiness.rules.bar_sea import seas_on_bars
from readiness.rules.facts import Facts
from readiness.rules.facts_water import Gate
from readiness.rules.gate_times import GateCall
from readiness.rules.passage import Passage
from readiness.rules.record import NOT_KNOWN, Array
from readiness.rules.streams_met import StreamsMet
from readiness.rules.tides import stream_of
from readiness.rules.weather_met import sampled
from readiness.rules.words_of_trade import GateKind
from vessel.calc.wording import clock, knots, metres, with_utc
from vessel.units import DAY, Flags

Sums = tuple[tuple[str, str], ...]
SLACKS_TOLD = 3

UNTIL = {
    GateKind.LOCK: "last entry",
    GateKind.SILL: "last entry",
    GateKind.BAR: "last crossing",
    GateKind.BRIDGE: "last opening",
    GateKind.NARROWS: "stream weak enough until",
}
SHUT = {
    GateKind.LOCK: "is shut",
    GateKind.SILL: "has too little water or is shut",
    GateKind.BAR: "is not to be crossed",
    GateKind.BRIDGE: "does not open",
    GateKind.NARROWS: "runs too hard",
}


def sums_of(facts: Facts, passage: Passage, call: GateCall, index: int, zone: str) -> Sums:
    """What stands behind the times of a gate at one departure."""
    more = _SUMS.get(call.gate.kind) if call.gate is not None else None
    return more(facts, passage, call, index, zone) if more is not None else ()


def free_flow(passage: Passage, gate: Gate, at: float) -> tuple[float, float]:
    """When both gates of a lock stand open about the high water nearest to a time; NaN where it has no free flow."""
    tide = passage.tides.get(gate.station or "")
    if tide is None or np.isnan(at + gate.free_flow_before_s + gate.free_flow_after_s):
        return NOT_KNOWN, NOT_KNOWN
    high = tide.events.at[tide.events.high]
    if not high.size:
        return NOT_KNOWN, NOT_KNOWN
    nearest = float(high[np.abs(high - at).argmin()])
    return nearest - gate.free_flow_before_s, nearest + gate.free_flow_after_s


def straight_through(passage: Passage, gate: Gate, plan: float, zone: str) -> str:
    """A sentence where she comes to a lock by plan while both its gates stand open; "" else."""
    if gate.kind != GateKind.LOCK:
        return ""
    opens, closes = free_flow(passage, gate, plan)
    if not opens <= plan < closes:
        return ""
    return f"Both gates stand open from {clock(opens, zone)} to {with_utc(closes, zone)}: straight through."


def waits_for_forecast(passage: Passage, gate: Gate, step: int, at: Array) -> Flags:
    """Where a bar is not known only because no forecast reaches so far yet, [departure]; `at` [departure, ...]."""
    tide = passage.tides.get(gate.station or "")
    if gate.kind != GateKind.BAR or tide is None or np.isnan(gate.most_sea_m):
        return np.zeros(passage.departures, np.bool_)
    told = np.isfinite(np.asarray(tide.height(at))).reshape(passage.departures, -1).all(axis=-1)
    return np.asarray(told & ~passage.weather.reached[:, step])


def stream_at_narrows(facts: Facts, passage: Passage, gate: Gate) -> Stream | None:
    """The stream of the table that rules narrows; None where it is not known."""
    table = next((table for table in facts.water.streams if table.key == gate.stream), None)
    held = passage.windows.get(gate.key)
    if table is None or held is None:
        return None
    return stream_of(table, passage.tides, held.start, held.end + DAY)


def _of_lock(_facts: Facts, passage: Passage, call: GateCall, index: int, zone: str) -> Sums:
    assert call.gate is not None  # noqa: S101 - sums_of gives gates only
    opens, closes = free_flow(passage, call.gate, float(call.plan_at[index]))
    return (("Both gates open", f"{clock(opens, zone)} to {with_utc(closes, zone)}"),) if np.isfinite(opens) else ()


def _of_bar(facts: Facts, passage: Passage, call: GateCall, index: int, _zone: str) -> Sums:
    assert call.gate is not None  # noqa: S101 - sums_of gives gates only
    streams = StreamsMet({}, tuple(passage.streams), passage.stream_of_step)
    seas = seas_on_bars(facts, passage.track, passage.point_node, streams, sampled(facts.water.forecast))
    sea = float(np.asarray(seas[call.key](call.plan_at[[index]]))[0])
    most = call.gate.most_sea_m
    return (("Sea on the bar by plan", metres(sea, 2)), ("Crossed in up to", metres(most, 1)))


def _of_narrows(facts: Facts, passage: Passage, call: GateCall, index: int, zone: str) -> Sums:
    assert call.gate is not None  # noqa: S101 - sums_of gives gates only
    stream, plan = stream_at_narrows(facts, passage, call.gate), float(call.plan_at[index])
    if stream is None or np.isnan(plan):
        return ()
    rate = float(np.hypot(*stream.at(plan)))
    slacks = np.asarray(slack_at(stream))
    told = np.sort(slacks[np.abs(slacks - plan).argsort()[:SLACKS_TOLD]])
    return (
        ("Stream by plan", knots(rate, 1)),
        ("Passed up to", knots(call.gate.most_rate_mps, 1)),
        ("Slack", ", ".join(with_utc(float(at), zone) for at in told) or "none in the table"),
    )


_SUMS: Mapping[GateKind, Callable[[Facts, Passage, GateCall, int, str], Sums]] = {
    GateKind.LOCK: _of_lock,
    GateKind.BAR: _of_bar,
    GateKind.NARROWS: _of_narrows,
}
