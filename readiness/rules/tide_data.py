"""Are the tide figures of this leg fit to use at all?"""

from collections.abc import Iterator

import numpy as np

from readiness.rules.facts import Facts
from readiness.rules.facts_water import Gate, Station
from readiness.rules.gate_times import departure_gates, gate_calls
from readiness.rules.gates import DATUM, by_tide, zero_m
from readiness.rules.judgement import Judgement, Outcome, Rule, Subject, Waive, Words
from readiness.rules.limits import Limits
from readiness.rules.missing import LATE_ARRIVAL, not_asked, unknown, unknown_where
from readiness.rules.passage import Passage
from readiness.rules.tides import fit_to_use
from readiness.rules.way_out import place_of
from readiness.rules.words_of_trade import GateKind

RULE_ID = "tide_data"


def tide_data(facts: Facts, passage: Passage, _limits: Limits) -> Iterator[Judgement]:
    """One judgement for each tide station the leg leans on, and one for each height whose zero is not known.

    Source: [practice]
    """
    gates = _gates(facts, passage)
    stations = _stations(facts, gates)
    if not stations:
        yield not_asked(RULE_ID, passage, "Tide data", "Nothing on this leg depends on the tide.")
    for key in stations:
        yield _station(facts, passage, key)
    for gate in gates:
        if _needs_level(gate) and np.isnan(gate.level_m + zero_m(_station_of(facts, gate.station), gate.zero)):
            words = Words(
                title=f"{gate.name}: height not known",
                sentence=_no_level(gate),
                do="Ring the keeper; enter the level with its zero.",
                minutes=10.0,
                evidence=(("gate", gate.key),),
            )
            yield unknown(RULE_ID, ("gate", gate.key), passage, words)


def _gates(facts: Facts, passage: Passage) -> list[Gate]:
    keys = [*departure_gates(facts), *(call.key for call in gate_calls(facts, passage))]
    return [gate for gate in facts.water.gates if gate.key in keys]


def _stations(facts: Facts, gates: list[Gate]) -> tuple[str, ...]:
    """Keys of the stations, "" where a point or gate that needs one names none."""
    place = place_of(facts, facts.leg.departure_place)
    named = [point.station for point in facts.leg.points if point.depth_matters is not False]
    named += [gate.station for gate in gates if by_tide(gate)] + ([place.station] if place is not None else [])
    return tuple(dict.fromkeys(key or "" for key in named))


def _needs_level(gate: Gate) -> bool:
    """A sill, a bar, a fixed bridge; a lock only where it has a sill of its own."""
    return by_tide(gate) and (gate.kind != GateKind.LOCK or not np.isnan(gate.level_m))


def _no_level(gate: Gate) -> str:
    if gate.zero in (None, DATUM) or np.isnan(gate.level_m):
        return f"The height of {gate.name} above {DATUM} is not known."
    return f"The height of {gate.name} is given above {gate.zero}: where that lies is not known."


def _station_of(facts: Facts, key: str | None) -> Station | None:
    return next((one for one in facts.water.stations if one.key == key), None)


def _station(facts: Facts, passage: Passage, key: str) -> Judgement:
    station = _station_of(facts, key)
    lacks = "the station itself" if station is None else fit_to_use(station)
    start, end = passage.departure_at, passage.late.arrives_at
    missing, timeless = np.ones(passage.departures, bool), np.zeros(passage.departures, bool)
    if not lacks and key in passage.tides:
        height = passage.tides[key].height
        missing = np.isnan(np.asarray(height(start)) + np.asarray(height(end)))
        timeless = np.isnan(end) & np.isfinite(np.asarray(height(start)))
    name = station.name if station is not None else key or "a point of the leg"

    def say(index: int) -> Words:
        if not missing[index]:
            sentence = f"Heights at {name} are known for the whole leg, above {station.datum if station else ''}."
        elif lacks:
            sentence = f"Not known for the tide at {name}: {lacks}."
        else:
            sentence = f"The tide at {name} is not known from departure to late arrival."
        return Words(
            title=f"Tide at {name}" if not missing[index] else f"Tide at {name} not known",
            sentence=sentence,
            do="Enter tide figures for these days, with datum and unit." if missing[index] else "",
            minutes=10.0,
            evidence=(("station", key),),
        )

    return Judgement(
        rule=RULE_ID,
        cause=("tide", key),
        outcome=unknown_where(missing),
        demand=np.nan,
        limit=np.nan,
        unit="",
        say=say,
        starved_by=LATE_ARRIVAL,
        starved=timeless,
    )


RULE = Rule(
    id=RULE_ID,
    title="Tide data fit to use",
    subject=Subject.WATER,
    formula="Heights known from departure to late arrival, with datum, unit and differences applied, and the "
    "height of every sill, bar and fixed bridge above chart datum or a level that is known: else unknown.",
    source="[practice]",
    worst=Outcome.UNKNOWN,
    judge=tide_data,
    waive={Outcome.UNKNOWN: Waive.NEVER},
)
