"""The passage of the facts: all departures swept along the track, with the water, weather and light they meet."""

import numpy as np
from numpy.typing import NDArray

from readiness.calc.daylight import CIVIL, sun_altitude_along
from readiness.calc.sweep import Run, ShareKept, sweep
from readiness.calc.track import Track, cut
from readiness.rules.bar_sea import seas_on_bars
from readiness.rules.facts import Facts
from readiness.rules.gates import windows_of
from readiness.rules.passage import Passage
from readiness.rules.record import Array
from readiness.rules.refuges import Coast, greatest_refuge_distance, longest_until_refuge, refuges_met
from readiness.rules.slowed_by_sea import shares_met, slowed_by_sea
from readiness.rules.streams_met import StreamsMet, streams_met
from readiness.rules.tides import tide_of
from readiness.rules.weather_met import sampled, weather_met
from readiness.rules.words_of_trade import TrackKind
from vessel.errors import BadInput
from vessel.units import DAY, NAUTICAL_MILE

STEP_M = 1 * NAUTICAL_MILE  # the longest piece of track that is looked at as one
SLOWEST_SHARE = 0.4  # of her speed by plan, late, in a sea and a foul stream: how far ahead tides are worked out [own]
LEAST_REACH_S = 2 * DAY  # tides and gates are worked out so far beyond the last departure
MOST_REACH_S = 60 * DAY  # no leg lasts longer [own]

FAIR_LATE, FOUL_LATE = 0.75, 1.25  # share of a fair and a foul stream in the late figures, early the other way [own]


def passage_of(facts: Facts) -> Passage:
    """Sweep the leg for every departure. Raises BadInput where its track cannot be drawn."""
    track, point_node = _track(facts)
    departure_at = np.arange(facts.departures.count, dtype=np.float64) * facts.departures.every_s
    departure_at += facts.departures.first.timestamp()
    start, end = departure_at[0] - DAY, departure_at[-1] + _reach(facts, track)
    stations = facts.water.stations
    tides = {s.key: tide for s in stations if (tide := tide_of(s, start - DAY, end + DAY)) is not None}
    streams, forecast = streams_met(facts, tides, track, start, end), sampled(facts.water.forecast)
    seas = seas_on_bars(facts, track, point_node, streams, forecast)
    windows = windows_of(facts, tides, start, end, streams.by_table, seas)
    share = slowed_by_sea(facts, track, streams.streams, streams.of_step, forecast)
    plan, early, late = _runs(facts, track, departure_at, streams, share)
    sea_share = shares_met(share, plan.node_at[:, :-1])
    places = (track.node_lat_deg, track.node_lon_deg)
    refuges = refuges_met(Coast(facts, track, tides, windows, forecast), plan, sea_share, start, end)
    sun_plan, sun_late = (sun_altitude_along(run.node_at, *places) for run in (plan, late))
    return Passage(
        departure_at=departure_at,
        track=track,
        point_node=point_node,
        plan=plan,
        early=early,
        late=late,
        weather=weather_met(forecast, track, streams.streams, streams.of_step, plan, late),
        weather_at_plan=weather_met(forecast, track, streams.streams, streams.of_step, plan, plan),
        sun_plan_deg=np.asarray(sun_plan),
        sun_late_deg=np.asarray(sun_late),
        dark_s=_dark(plan, np.asarray(sun_plan)),
        refuge_m=greatest_refuge_distance(refuges),
        refuge_s=longest_until_refuge(refuges),
        refuges=refuges,
        sea_share=sea_share,
        streams=streams.streams,
        stream_of_step=streams.of_step,
        tides=tides,
        windows=windows,
        exposed=np.array([segment.exposed is not False for segment in facts.leg.segments])[track.segment],
    )


def swept_from(facts: Facts) -> tuple[object, ...]:
    """The parts of the facts that a passage is worked out from; where they are the same ones, so is the passage."""
    return facts.boat.vessel, facts.leg, facts.water, facts.limits, facts.departures


def _track(facts: Facts) -> tuple[Track, NDArray[np.int64]]:
    points, segments = facts.leg.points, facts.leg.segments
    if len(points) < 2 or len(segments) != len(points) - 1:
        raise BadInput(
            f"{facts.leg.name} has {len(points)} points and {len(segments)} segments: no track can be drawn."
        )
    lat, lon = (np.array([getattr(point, name) for point in points]) for name in ("lat_deg", "lon_deg"))
    try:
        track = cut(lat, lon, np.array([s.kind == TrackKind.GEODESIC for s in segments]), STEP_M)
    except ValueError as error:
        raise BadInput(f"{facts.leg.name} cannot be drawn: {error} Nothing was judged.") from error
    firsts = np.searchsorted(track.segment, np.arange(len(points)), side="left")
    return track, firsts.astype(np.int64)


def _reach(facts: Facts, track: Track) -> float:
    """How long after the last departure anything of the passage is worked out; later is not known."""
    slow = facts.leg.speed_mps * SLOWEST_SHARE
    under_way = float(track.node_along_m[-1]) / slow if slow > 0 else 0.0
    return min(max(LEAST_REACH_S, under_way + DAY), MOST_REACH_S)


def _runs(
    facts: Facts, track: Track, departure_at: Array, streams: StreamsMet, share: ShareKept | None
) -> tuple[Run, ...]:
    """Plan, early and late: share of the speed, of a fair and of a foul stream, and the slip."""
    vessel = facts.boat.vessel
    figures = (
        (1.0, 1.0, 1.0, 0.0),
        (vessel.early_speed_factor, FOUL_LATE, FAIR_LATE, 0.0),
        (vessel.late_speed_factor, FAIR_LATE, FOUL_LATE, vessel.slip_s),
    )
    return tuple(
        sweep(
            track,
            departure_at,
            facts.leg.speed_mps,
            streams.streams,
            streams.of_step,
            share,
            speed_factor=speed,
            fair_factor=fair,
            foul_factor=foul,
            slip_s=slip,
        )
        for speed, fair, foul, slip in figures
    )


def _dark(run: Run, sun_deg: Array) -> Array:
    """Time with the sun below -6 degrees, [departure]; the crossing inside a step by a straight line."""
    low, high = np.minimum(sun_deg[:, :-1], sun_deg[:, 1:]), np.maximum(sun_deg[:, :-1], sun_deg[:, 1:])
    span = np.where(high > low, high - low, 1.0)
    share = np.where(high <= CIVIL, 1.0, np.where(low >= CIVIL, 0.0, (CIVIL - low) / span))
    share = np.where(np.isnan(low), np.nan, share)
    return np.asarray((np.diff(run.node_at, axis=-1) * share).sum(axis=-1))
