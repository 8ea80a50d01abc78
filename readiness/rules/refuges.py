"""Places she could run to from each moment of the passage, and whether she would get in and lie sheltered there.

She runs straight for a place at her late speed in the worst sea of the way, with no stream. The wind at a place is that
of the nearest point of the track, for no other is held; of a place farther off than that is good for, nothing is known.
Answers are three-valued, [time]: 1 yes, 0 no, NaN not known.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from readiness.calc.refuge import Looks, at_looks, distances_to, looks_along, to_nearest
from readiness.calc.sweep import Run
from readiness.calc.track import Track, distance_m
from readiness.calc.weather import Sampled, at_place, speed_and_from
from readiness.calc.window import Windows, inside, known
from readiness.rules.circumstances import all_of, any_of, holds
from readiness.rules.facts import Facts
from readiness.rules.facts_water import Place
from readiness.rules.passage import Passage, Refuges, Standing, Tide
from readiness.rules.record import Array
from readiness.rules.weather_met import WIND, sampled, stacked
from vessel.units import MINUTE, NAUTICAL_MILE

FORECAST_GOOD_FOR_M = 15 * NAUTICAL_MILE  # the wind of the track is taken for a place no farther off than this [own]


@dataclass(frozen=True)
class Coast:
    """What is asked of a place besides the place itself."""

    facts: Facts
    track: Track
    tides: Mapping[str, Tide]
    windows: Mapping[str, Windows]
    forecast: Sampled | None


def coast_of(facts: Facts, passage: Passage) -> Coast:
    """The coast as a passage met it."""
    return Coast(facts, passage.track, passage.tides, passage.windows, sampled(facts.water.forecast))


def candidates(facts: Facts) -> tuple[Place, ...]:
    """The refuges of the leg, home and destination, as far as the coast of the facts knows them."""
    wanted = {*facts.leg.refuges, facts.leg.departure_place, facts.leg.arrival_place}
    return tuple(place for place in facts.water.places if place.key in wanted)


def refuges_met(coast: Coast, run: Run, sea_share: Array, start: float, end: float) -> Refuges:
    """Every refuge at every look of every departure. Whether a place can be used is worked out once, to the minute
    on the safe side, from `start` to `end` for all departures. `sea_share[departure, step]` of her speed by plan: the
    least of it counts all the way to a refuge.
    """
    facts, track, places = coast.facts, coast.track, candidates(coast.facts)
    lat, lon = (np.array([getattr(place, name) for place in places], float) for name in ("lat_deg", "lon_deg"))
    looks = looks_along(run.node_at)
    away = np.asarray(at_looks(distances_to(track, lat, lon), looks))
    speed = facts.leg.speed_mps * facts.boat.vessel.late_speed_factor * sea_share.min(axis=-1)
    to_go = away / np.where(speed > 0, speed, np.nan)[:, None]
    minutes = np.arange(start, end + MINUTE, MINUTE)
    since = looks.at - start
    standing = np.zeros(away.shape, np.int8)
    for number, place in enumerate(places):
        by_minute = _standing(entered(coast, place, minutes), sheltered(coast, place, minutes))
        minute = (since + to_go[number]) / MINUTE
        reached = np.where(np.isfinite(minute), minute, -1.0).astype(np.int32)  # the last of the minutes is shut
        standing[number] = by_minute[np.minimum(reached, minutes.size - 1)]
    standing[np.isnan(to_go)] = Standing.AT_BEST  # nobody can tell how far off it is
    return Refuges(tuple(place.key for place in places), looks, away, to_go, standing)


def greatest_refuge_distance(refuges: Refuges) -> Array:
    """Greatest distance to the nearest usable refuge at any look, [departure]; infinite where there is none.

    What is not known of a place counts against it. NaN where her times are not known.
    """
    nearest = np.asarray(to_nearest(refuges.away_m, refuges.standing == Standing.USABLE))
    return _greatest(np.where(np.isnan(refuges.looks.at), 0.0, nearest), refuges.looks)


def longest_until_refuge(refuges: Refuges) -> Array:
    """Longest time from departure to lying in the nearest usable refuge, whenever she turns off for it, [departure]."""
    nearest = np.asarray(to_nearest(refuges.to_go_s, refuges.standing == Standing.USABLE))
    since = refuges.looks.at - refuges.looks.at[:, :1]
    return _greatest(np.where(np.isnan(since), 0.0, since + nearest), refuges.looks)


def entered(coast: Coast, place: Place, at: Array) -> Array:
    """Whether every gate of a place is open and there is water enough at its berth, three-valued."""
    gates = [gate_open(coast, key, at) for key in place.gates]
    return all_of(*gates, water_then(coast.facts, place, coast.tides, at))


def gate_open(coast: Coast, key: str, at: Array) -> Array:
    """Whether a gate is open, three-valued."""
    held = coast.windows.get(key)
    if held is None:
        return np.full(at.shape, np.nan)
    return np.where(known(held, at), np.asarray(inside(held, at), float), np.nan)


def water_then(facts: Facts, place: Place, tides: Mapping[str, Tide], at: Array) -> Array:
    """Whether there is water enough at the berth or anchorage, three-valued."""
    tide = tides.get(place.station or "")
    if tide is None:
        return np.full(at.shape, np.nan)
    needed = facts.boat.vessel.draught_m + facts.limits.under_keel_m
    return holds(np.greater_equal, place.charted_m + np.asarray(tide.height(at)), needed)


def sheltered(coast: Coast, place: Place, at: Array) -> Array:
    """Whether the wind of that moment comes from a sector the place is sheltered from, three-valued."""
    if any(sector.to_deg - sector.from_deg >= 360 for sector in place.shelter):
        return np.ones(at.shape)
    along = nearest_along(coast.track, place)
    if coast.forecast is None or np.isnan(along).any():
        return np.full(at.shape, np.nan)
    wind, wind_from = speed_and_from(
        *at_place(coast.forecast, stacked(coast.forecast, WIND), along, at[:, None])[..., 0]
    )
    within = [
        holds(np.less_equal, (wind_from - sector.from_deg) % 360, (sector.to_deg - sector.from_deg) % 360)
        for sector in place.shelter
    ]
    calm = np.isnan(wind_from) & ~np.isnan(wind)
    return any_of(np.where(np.isnan(wind), np.nan, calm), *(np.where(calm, 1.0, one) for one in within))


def nearest_along(track: Track, place: Place) -> Array:
    """How far along the track the weather of a place is taken from, [1]; NaN for a place too far off for that."""
    away = np.asarray(distance_m(track.node_lat_deg, track.node_lon_deg, place.lat_deg, place.lon_deg))
    node = int(np.argmin(away))
    return np.where(away[node] <= FORECAST_GOOD_FOR_M, track.node_along_m[[node]], np.nan)


def _standing(water: Array, shelter: Array) -> NDArray[np.int8]:
    """How a place stands in each minute: the worse of its beginning and its end; shut beyond the last."""
    hopeful = (water != 0.0) & (shelter != 0.0)
    answer = np.select(
        [(water == 1.0) & (shelter == 1.0), (water == 1.0) & hopeful, hopeful],
        [Standing.USABLE, Standing.IF_SHELTERED, Standing.AT_BEST],
        Standing.NONE,
    ).astype(np.int8)
    return np.append(np.minimum(answer[:-1], answer[1:]), np.int8(Standing.NONE))


def _greatest(values: Array, looks: Looks) -> Array:
    return np.where(np.isnan(looks.at[:, 0]), np.nan, values.max(axis=-1, initial=0.0))
