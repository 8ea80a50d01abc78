"""Tides and streams of the facts as the sums want them: heights at any time, high and low waters, stream pieces."""

from collections.abc import Callable, Mapping

import numpy as np

from readiness.calc.tidal_stream import Stream as StreamPieces
from readiness.calc.tidal_stream import steady, stream_pieces
from readiness.calc.tide import Harmonics, TideTable, cosine_height, harmonic_height, high_low_of, mean_range, within
from readiness.calc.tide_agency import shares_of
from readiness.rules.facts_water import Station, Stream
from readiness.rules.passage import Tide
from readiness.rules.record import Array, epoch, epochs
from readiness.rules.words_of_trade import StationKind
from vessel.units import MINUTE, Epoch, Metres


def fit_to_use(station: Station) -> str:
    """What is missing before this station's figures may be used; empty when nothing is.

    A secondary port whose differences were not applied and a table without datum or unit give heights of nothing.
    """
    wanted = {
        "the datum of its heights": station.datum is not None,
        "the unit of its heights": station.unit is not None,
        "whether its differences are applied": station.differences_applied is True,
        "when its figures hold": station.valid_from is not None and station.valid_to is not None,
        "its constants": station.kind != StationKind.HARMONIC or _constants_whole(station),
        "its high and low waters": station.kind != StationKind.TABLE or _table_whole(station),
    }
    return next((name for name, held in wanted.items() if not held), "")


def tide_of(station: Station, start: float, end: float) -> Tide | None:
    """Heights and high and low waters of a station between two times; None where its figures may not be used.

    Before they are valid and when they are no longer, heights are not known and there are no events.
    """
    if fit_to_use(station):
        return None
    first, last = epoch(station.valid_from), epoch(station.valid_to)
    if station.kind == StationKind.TABLE:
        table = TideTable(epochs(station.event_at), station.event_m, np.array(station.event_high, bool))
        table = within(table, first, last)
        return Tide(height=lambda at: cosine_height(table, at), events=table)
    constants = Harmonics(
        station.constituents,
        station.amplitude_m,
        station.phase_utc_deg,
        station.speed_deg_per_h,
        station.mean_level_m,
        shares_of(station.source, station.constituents),
    )
    start, end = max(start, first), min(end, last)
    if end <= start:
        return None
    height = _by_the_minute(constants, start, end)
    return Tide(height=_only(height, first, last), events=high_low_of(constants, start, end))


def stream_of(stream: Stream, tides: Mapping[str, Tide], start: float, end: float) -> StreamPieces | None:
    """The pieces of a stream between two times; None where they cannot be known."""
    if not _rows_whole(stream):
        return None
    if stream.steady:
        return steady(float(stream.set_deg[0]), float(stream.rate_neaps_mps[0]), start, end)
    tide = tides.get(stream.station or "")
    if tide is None:
        return None
    high = tide.events.at[tide.events.high]
    ranges = np.asarray(mean_range(tide.events, high))
    held = np.isfinite(ranges)
    if not held.any() or not _unbroken(held):
        return None
    return stream_pieces(
        high[held],
        ranges[held],
        stream.from_high_water_s,
        stream.set_deg,
        stream.rate_neaps_mps,
        stream.rate_springs_mps,
        stream.neaps_range_m,
        stream.springs_range_m,
        rates_held_beyond=stream.rates_held_beyond,
    )


def _by_the_minute(constants: Harmonics, start: float, end: float) -> Callable[[Epoch], Metres]:
    """Heights by straight lines between whole minutes: 0.02 mm off for a range of 4 m, and a hundred times faster."""
    first = np.floor(start / MINUTE) * MINUTE
    grid = np.arange(first, end + MINUTE, MINUTE)
    heights = np.asarray(harmonic_height(constants, grid))
    return lambda at: np.interp(np.asarray(at, float), grid, heights, left=np.nan, right=np.nan)


def _only(height: Callable[[Epoch], Metres], first: float, last: float) -> Callable[[Epoch], Metres]:
    """The same heights while the figures are valid, not known before and after."""
    if first == -np.inf and last == np.inf:
        return height

    def valid(at: Epoch) -> Metres:
        at = np.asarray(at, float)
        return np.where((at >= first) & (at <= last), height(at), np.nan)[()]

    return valid


def _constants_whole(station: Station) -> bool:
    count = len(station.constituents)
    grids: tuple[Array, ...] = (station.amplitude_m, station.phase_utc_deg)
    whole = all(grid.shape == (count,) and bool(np.isfinite(grid).all()) for grid in grids)
    return count > 0 and whole and station.speed_deg_per_h.shape == (count,) and np.isfinite(station.mean_level_m)


def _table_whole(station: Station) -> bool:
    count = len(station.event_at)
    return count > 1 and station.event_m.shape == (count,) and len(station.event_high) == count


def _rows_whole(stream: Stream) -> bool:
    grids = (stream.from_high_water_s, stream.set_deg, stream.rate_neaps_mps, stream.rate_springs_mps)
    count = stream.from_high_water_s.size
    whole = count > 0 and all(grid.shape == (count,) and bool(np.isfinite(grid).all()) for grid in grids)
    rising = bool((np.diff(stream.from_high_water_s) > 0).all()) if whole else False
    return rising and (stream.steady or stream.springs_range_m > stream.neaps_range_m)


def _unbroken(held: Array) -> bool:
    """Whether the known ranges stand in one run, so that no high water in between is lost."""
    places = np.flatnonzero(held)
    return bool(places[-1] - places[0] + 1 == places.size)
