"""The stream on each step of the way: of the table a segment names, the nearest one, or those to either side.

A table farther off than `FARTHEST_M` is not used, and where none is near enough the stream is not known.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from readiness.calc.abeam import abeam
from readiness.calc.streams_together import combined
from readiness.calc.tidal_stream import Stream
from readiness.calc.track import Track
from readiness.rules.facts import Facts
from readiness.rules.facts_water import Stream as Table
from readiness.rules.passage import Tide
from readiness.rules.record import Array
from readiness.rules.tides import stream_of
from readiness.rules.words_of_trade import StreamBy
from vessel.units import NAUTICAL_MILE, Counts

FARTHEST_M = 10 * NAUTICAL_MILE  # a stream is not taken from a table observed farther off than this [own]

Shares = tuple[tuple[str, float], ...]  # keys of tables and the share each has


@dataclass(frozen=True)
class StreamsMet:
    """The streams of the way; None where not known."""

    by_table: Mapping[str, Stream | None]
    streams: tuple[Stream | None, ...]
    of_step: Counts  # [step] index into the streams


@dataclass(frozen=True)
class _Near:
    """The tables whose place is known, along the way."""

    keys: tuple[str, ...]
    along_m: Array  # [table] where the way passes nearest
    away_m: Array  # [table, step] from the middle of each step


def streams_met(facts: Facts, tides: Mapping[str, Tide], track: Track, start: float, end: float) -> StreamsMet:
    """The stream of every step, known from `start` to `end` at most."""
    by_table = {table.key: stream_of(table, tides, start, end) for table in facts.water.streams}
    found: dict[Shares, int] = {}
    of_step = [found.setdefault(shares, len(found)) for shares in shares_of_steps(facts, track)]
    return StreamsMet(
        by_table=by_table,
        streams=tuple(_combined(by_table, shares) for shares in found),
        of_step=np.array(of_step, np.int64),
    )


def shares_of_steps(facts: Facts, track: Track) -> Iterator[Shares]:
    """The tables of each step with their shares, none where no table is near enough or named.

    A table that nobody names is there for its place; where that is lost, no step can tell which table is nearest.
    """
    named = {segment.stream for segment in facts.leg.segments} | {gate.stream for gate in facts.water.gates}
    lost = any(np.isnan(table.lat_deg + table.lon_deg) and table.key not in named for table in facts.water.streams)
    near = _near(() if lost else facts.water.streams, track)
    for step, segment in enumerate(track.segment):
        stated = facts.leg.segments[int(segment)]
        if stated.stream_by == StreamBy.NAMED:
            yield ((stated.stream, 1.0),) if stated.stream is not None else ()
        elif stated.stream_by == StreamBy.NEAREST:
            yield _nearest(near, step)
        else:
            yield _between(near, step, float(track.step_along_m[step]))


def _nearest(near: _Near, step: int) -> Shares:
    away = near.away_m[:, step]
    if not away.size or away.min() > FARTHEST_M:
        return ()
    return ((near.keys[int(away.argmin())], 1.0),)


def _between(near: _Near, step: int, along_m: float) -> Shares:
    """The nearest table behind and the nearest ahead, by distance along the way; beyond the outermost that one alone."""
    in_reach = np.flatnonzero(near.away_m[:, step] <= FARTHEST_M)
    ahead_m = near.along_m[in_reach] - along_m
    behind, ahead = in_reach[ahead_m <= 0], in_reach[ahead_m > 0]
    if not behind.size or not ahead.size:
        return _nearest(near, step)
    last, following = behind[near.along_m[behind].argmax()], ahead[near.along_m[ahead].argmin()]
    apart = near.along_m[following] - near.along_m[last]
    share = float((along_m - near.along_m[last]) / apart)
    return ((near.keys[last], 1.0 - share), (near.keys[following], share))


def _combined(by_table: Mapping[str, Stream | None], shares: Shares) -> Stream | None:
    streams = [by_table.get(key) for key, _ in shares]
    known = [stream for stream in streams if stream is not None]
    if not known or len(known) < len(streams):
        return None
    return known[0] if len(known) == 1 else combined(known, np.array([share for _, share in shares]))


def _near(tables: tuple[Table, ...], track: Track) -> _Near:
    placed = [table for table in tables if np.isfinite(table.lat_deg + table.lon_deg)]
    lat, lon = (np.array([getattr(table, name) for table in placed], float) for name in ("lat_deg", "lon_deg"))
    along, away = abeam(track, lat, lon)
    return _Near(tuple(table.key for table in placed), np.asarray(along), np.asarray(away))
