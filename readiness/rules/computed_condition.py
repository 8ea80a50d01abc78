"""Conditions that success trees name and nobody types: near a refuge, no lock on the route, a cool engine space."""

import numpy as np

from readiness.calc.success_tree import Level, Levels
from readiness.rules.circumstances import circumstances, negated, somewhere
from readiness.rules.facts import Facts
from readiness.rules.facts_boat import Reading
from readiness.rules.judgement import Outcome, graded
from readiness.rules.passage import Passage
from readiness.rules.record import NOT_KNOWN, Array, epoch
from readiness.rules.words_of_trade import GateKind

NEAR, NO_LOCK, ENGINE_SPACE = "near_ok", "no_lock_ok", "engine_space_ok"
CONDITIONS = frozenset({NEAR, NO_LOCK, ENGINE_SPACE})
ENGINE_SPACE_LIMIT_C = 60.0  # warmest engine space in which she may run without the fan [own]
RISE_WITHOUT_FAN = 1.5  # how much more the engine space warms up without the fan, where nobody measured it [own]


def computed_conditions(facts: Facts, passage: Passage) -> dict[str, Array]:
    """Every computed condition, three-valued, [departure]."""
    return {
        NEAR: circumstances(facts, passage).near,
        NO_LOCK: np.full(passage.departures, _no_lock(facts)),
        ENGINE_SPACE: engine_space_ok(facts, passage),
    }


def condition_level(answer: Array) -> Levels:
    """Level of a computed condition: in service where it is met, out where it is not."""
    known = np.where(answer == 1.0, np.int8(Level.IN_SERVICE), np.int8(Level.OUT))
    return np.where(np.isnan(answer), np.int8(Level.UNKNOWN), known).astype(np.int8)


def engine_space_ok(facts: Facts, passage: Passage) -> Array:
    """Whether the engine space stays cool enough without the fan on every step, three-valued.

    Source: [own]
    """
    rise = fresh(facts, facts.boat.engine_space_rise_k, passage)
    warmest = passage.weather.air_c + RISE_WITHOUT_FAN * rise[:, None]
    return negated(somewhere(np.greater, warmest, ENGINE_SPACE_LIMIT_C))


def fresh(facts: Facts, reading: Reading, passage: Passage) -> Array:
    """A reading at each departure, NaN where it is not known, undated, dated ahead or older than it keeps."""
    taken, now = epoch(reading.at), facts.judged_at.timestamp()
    age = np.where(taken <= now, passage.departure_at - taken, np.nan)
    keeps = graded(age, (np.greater, reading.keeps_s, Outcome.UNKNOWN)) == Outcome.PASSED
    return np.where(keeps, reading.value, np.nan)


def _no_lock(facts: Facts) -> float:
    """Whether no lock and no sill is on the route, three-valued: the places and every gate must be known."""
    ends = (facts.leg.departure_place, facts.leg.arrival_place)
    places = {place.key: place for place in facts.water.places}
    kinds = {gate.key: gate.kind for gate in facts.water.gates}
    met = {key for place in ends if place in places for key in places[place].gates}
    met |= {point.gate for point in facts.leg.points if point.gate is not None}
    if any(kinds.get(key) in {GateKind.LOCK, GateKind.SILL} for key in met):
        return 0.0
    return 1.0 if met <= kinds.keys() and all(place in places for place in ends) else NOT_KNOWN
