"""The way out must pass too: a refuge or a wait place is judged at its own times before a condition may lean on it.

Water, gate, shelter, wind, light and hands are asked of the place itself; it may not lean on another place.
"""

import numpy as np
from numpy.typing import NDArray

from readiness.calc.daylight import CIVIL, sun_altitude
from readiness.calc.track import distance_m
from readiness.calc.weather import Sampled, at_place
from readiness.rules.facts import Facts
from readiness.rules.facts_water import Place
from readiness.rules.hands import able_at
from readiness.rules.passage import Passage
from readiness.rules.record import Array
from readiness.rules.refuges import candidates, coast_of, entered, nearest_along, sheltered
from readiness.rules.weather_met import confidence_factor, sampled
from vessel.units import Flags


def refuge_in_reach(facts: Facts, passage: Passage, node: int | NDArray[np.int64]) -> Flags:
    """Whether some place other than the destination passes when she turns for it late from a node, [departure]."""
    nodes = np.broadcast_to(node, passage.departures)
    leaves = passage.late.node_at[np.arange(passage.departures), nodes]
    speed = facts.leg.speed_mps * facts.boat.vessel.late_speed_factor
    found = np.zeros(passage.departures, bool)
    for place in candidates(facts):
        if place.key != facts.leg.arrival_place:
            away = distance_m(
                passage.track.node_lat_deg[nodes], passage.track.node_lon_deg[nodes], place.lat_deg, place.lon_deg
            )
            found |= passes(facts, passage, place, leaves + np.asarray(away) / speed)
    return found


def place_of(facts: Facts, key: str | None) -> Place | None:
    """A place of the coast by its key."""
    return next((place for place in facts.water.places if place.key == key), None)


def passes(facts: Facts, passage: Passage, place: Place, at: Array) -> Flags:
    """Whether a place is known to take her safely at each time, [departure]."""
    forecast, along = sampled(facts.water.forecast), nearest_along(passage.track, place)
    coast = coast_of(facts, passage)
    return np.asarray(
        (entered(coast, place, at) == 1.0)
        & (sheltered(coast, place, at) == 1.0)
        & _light_enough(place, at)
        & _wind_bearable(facts, forecast, along, at)
        & _hands_enough(facts, place, at)
    )


def _light_enough(place: Place, at: Array) -> Flags:
    """Familiar, or not dark: a strange place in the dark is no way out, lit or not."""
    if place.familiar:
        return np.isfinite(at)
    return np.asarray(sun_altitude(at, place.lat_deg, place.lon_deg)) >= CIVIL


def _wind_bearable(facts: Facts, forecast: Sampled | None, along: Array, at: Array) -> Flags:
    if forecast is None:
        return np.zeros(at.shape, bool)
    wind = at_place(forecast, forecast.values["wind_mps"], along, at[:, None])[:, 0]
    return np.asarray(wind < facts.limits.mean_wind_no_go_mps * confidence_factor(facts))


def _hands_enough(facts: Facts, place: Place, at: Array) -> Flags:
    gates = {gate.key: gate for gate in facts.water.gates}
    flags = np.ones(at.shape, bool)
    for key in place.gates:
        hands = gates[key].hands if key in gates else None
        flags &= (able_at(facts, at) >= hands + 1) if hands is not None else False
    return flags
