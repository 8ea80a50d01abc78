"""Are the tide figures of this leg fit to use at all?"""

from collections.abc import Iterator

import numpy as np

from readiness.rules.facts import Facts
from readiness.rules.facts_water import Gate
from readiness.rules.gate_times import departure_gates, gate_calls
from readiness.rules.judgement import Judgement, Outcome, Rule, Subject, Waive, Words
from readiness.rules.limits import Limits
from readiness.rules.missing import not_asked, unknown, unknown_where
from readiness.rules.passage import Passage
from readiness.rules.tides import fit_to_use
from readiness.rules.way_out import place_of
from readiness.rules.words_of_trade import GateKind

RULE_ID = "tide_data"
DATUM = "chart datum"


def tide_data(facts: Facts, passage: Passage, _limits: Limits) -> Iterator[Judgement]:
    """One judgement for each tide station the leg leans on, and one for each sill whose zero is not known.

    Source: [practice]
    """
    gates = _gates(facts, passage)
    stations = _stations(facts, gates)
    if not stations:
        yield not_asked(RULE_ID, passage, "Tide data", "Nothing on this leg depends on the tide.")
    for key in stations:
        yield _station(facts, passage, key)
    for gate in gates:
        if gate.kind in (GateKind.SILL, GateKind.BAR) and (gate.zero != DATUM or np.isnan(gate.level_m)):
            words = Words(
                title=f"{gate.name}: height not known",
                sentence=f"The height of {gate.name} above {DATUM} is not known.",
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
    named += [gate.station for gate in gates] + ([place.station] if place is not None else [])
    return tuple(dict.fromkeys(key or "" for key in named))


def _station(facts: Facts, passage: Passage, key: str) -> Judgement:
    station = next((one for one in facts.water.stations if one.key == key), None)
    lacks = "the station itself" if station is None else fit_to_use(station)
    start, end = passage.departure_at, passage.late.arrives_at
    missing = np.ones(passage.departures, bool)
    if not lacks and key in passage.tides:
        height = passage.tides[key].height
        missing = np.isnan(np.asarray(height(start)) + np.asarray(height(end)))
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
    )


RULE = Rule(
    id=RULE_ID,
    title="Tide data fit to use",
    subject=Subject.WATER,
    formula="Heights known from departure to late arrival, with datum, unit and differences applied, and every sill's "
    "height above chart datum: else unknown.",
    source="[practice]",
    worst=Outcome.UNKNOWN,
    judge=tide_data,
    waive={Outcome.UNKNOWN: Waive.NEVER},
)
