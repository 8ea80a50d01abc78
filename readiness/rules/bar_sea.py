"""The sea on each bar at any time: the forecast there, on the stream there."""

from collections.abc import Mapping

import numpy as np

from readiness.calc.sea_state import wave_on_stream
from readiness.calc.tidal_stream import Stream
from readiness.calc.track import Track
from readiness.calc.weather import Sampled, at_time, on_steps, speed_and_from
from readiness.rules.facts import Facts
from readiness.rules.facts_water import Gate
from readiness.rules.gates import Sea
from readiness.rules.record import NOT_KNOWN, Array
from readiness.rules.refuges import nearest_along
from readiness.rules.streams_met import StreamsMet
from readiness.rules.way_out import place_of
from readiness.rules.weather_met import SEA, stacked
from readiness.rules.words_of_trade import GateKind
from vessel.units import Counts, Epoch, Metres


def seas_on_bars(
    facts: Facts, track: Track, point_node: Counts, streams: StreamsMet, forecast: Sampled | None
) -> Mapping[str, Sea]:
    """The effective sea on every bar of the coast, by gate: infinite where the stream stops the waves, NaN not known.

    A bar on the way has the forecast and the stream of the step that leads to it, one off the way those of the
    nearest point of the track.
    """
    seas = {}
    for gate in facts.water.gates:
        if gate.kind == GateKind.BAR:
            along = _along(gate, facts, track, point_node)
            step = int(np.clip(np.searchsorted(track.node_along_m, along) - 1, 0, track.step_m.size - 1))
            seas[gate.key] = _sea(forecast, along, streams.streams[streams.of_step[step]])
    return seas


def _along(gate: Gate, facts: Facts, track: Track, point_node: Counts) -> float:
    """Where along the track the sea of a bar is taken from; NaN where nobody knows where it is."""
    named = [number for number, point in enumerate(facts.leg.points) if point.gate == gate.key]
    if named:
        return float(track.node_along_m[point_node[named[0]]])
    place = place_of(facts, gate.place)
    return NOT_KNOWN if place is None else float(nearest_along(track, place)[0])


def _sea(forecast: Sampled | None, along_m: float, stream: Stream | None) -> Sea:
    if forecast is None or stream is None or np.isnan(along_m):
        return lambda at: np.full(np.shape(at), np.nan)
    here = on_steps(forecast, stacked(forecast, SEA), np.array([along_m]))[..., 0]

    def sea(at: Epoch) -> Metres:
        when = np.asarray(at, float)
        height, period, east, north = at_time(forecast, here, when)
        return _on_stream(height, period, speed_and_from(-east, -north)[1], stream, when)

    return sea


def _on_stream(height: Array, period: Array, wave_from: Array, stream: Stream, at: Array) -> Array:
    met = wave_on_stream(height, period, wave_from, *stream.at(at))
    effective = np.where(met.blocked, np.inf, met.hs_eff_m)
    return np.where(height == 0.0, 0.0, effective)  # a calm comes from nowhere
