"""Places she could run to from each point of the passage, and whether she would get in and lie sheltered there."""

from collections.abc import Mapping

import numpy as np

from readiness.calc.refuge import distances_to, to_nearest
from readiness.calc.sweep import Run
from readiness.calc.track import Track
from readiness.calc.weather import Sampled, at_place, speed_and_from
from readiness.calc.window import Windows, inside
from readiness.rules.facts import Facts
from readiness.rules.facts_water import Place
from readiness.rules.passage import Tide
from readiness.rules.record import Array
from vessel.units import Flags


def candidates(facts: Facts) -> tuple[Place, ...]:
    """The refuges of the leg, home and destination, as far as the coast of the facts knows them."""
    wanted = {*facts.leg.refuges, facts.leg.departure_place, facts.leg.arrival_place}
    return tuple(place for place in facts.water.places if place.key in wanted)


def greatest_refuge_distance(
    facts: Facts,
    track: Track,
    run: Run,
    tides: Mapping[str, Tide],
    windows: Mapping[str, Windows],
    forecast: Sampled | None,
) -> Array:
    """Greatest distance on the track to the nearest usable refuge, [departure]; infinite where there is none.

    Whether a place can be used is asked for the moment she would be there at her late speed. What is not known of
    a place counts against it.
    """
    places = candidates(facts)
    lat, lon = (np.array([getattr(place, name) for place in places], float) for name in ("lat_deg", "lon_deg"))
    away = np.asarray(distances_to(track, lat, lon))
    speed = facts.leg.speed_mps * facts.boat.vessel.late_speed_factor
    usable = np.zeros((len(run.node_at), len(places), away.shape[-1]), np.bool_)
    for number, place in enumerate(places):
        arrival = run.node_at + away[number] / speed
        usable[:, number] = (
            open_then(place, windows, arrival)
            & water_then(facts, place, tides, arrival)
            & sheltered_then(place, forecast, track.node_along_m, arrival)
        )
    farthest = np.asarray(to_nearest(away, usable)).max(axis=-1, initial=0.0)
    return np.where(np.isnan(run.node_at).any(axis=-1), np.nan, farthest)


def open_then(place: Place, windows: Mapping[str, Windows], at: Array) -> Flags:
    """Whether every gate of a place is known to be open."""
    flags = np.isfinite(at)
    for gate in place.gates:
        flags = flags & (inside(windows[gate], at) if gate in windows else False)
    return flags


def water_then(facts: Facts, place: Place, tides: Mapping[str, Tide], at: Array) -> Flags:
    """Whether there is known to be water enough at the berth or anchorage."""
    tide = tides.get(place.station or "")
    if tide is None:
        return np.zeros(at.shape, bool)
    needed = facts.boat.vessel.draught_m + facts.limits.under_keel_m
    return np.asarray(place.charted_m + np.asarray(tide.height(at)) >= needed)


def sheltered_then(place: Place, forecast: Sampled | None, along_m: Array, at: Array) -> Flags:
    """Whether the wind of that moment is known to come from a sector the place is sheltered from.

    `at` is [departure, node] with the wind of the track at `along_m` [node].
    """
    if any(sector.to_deg - sector.from_deg >= 360 for sector in place.shelter):
        return np.ones(at.shape, bool)
    if forecast is None:
        return np.zeros(at.shape, bool)
    parts = [at_place(forecast, forecast.values[name], along_m, at) for name in ("wind_east_mps", "wind_north_mps")]
    wind_from = speed_and_from(*parts)[1]
    flags = np.zeros(at.shape, bool)
    for sector in place.shelter:
        flags |= (wind_from - sector.from_deg) % 360 <= (sector.to_deg - sector.from_deg) % 360
    return flags
