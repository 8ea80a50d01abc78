"""Which gates the leg calls at, and when, by each of the three figures."""

from dataclasses import dataclass

from readiness.rules.facts import Facts
from readiness.rules.facts_water import Gate
from readiness.rules.gates import by_tide
from readiness.rules.judgement import Cause
from readiness.rules.passage import Passage
from readiness.rules.record import Array
from readiness.rules.way_out import place_of


@dataclass(frozen=True)
class GateCall:
    """One gate on the way, [departure]; `gate` None where the coast of the facts does not know it."""

    key: str
    gate: Gate | None
    node: int
    early_at: Array
    plan_at: Array
    late_at: Array

    @property
    def name(self) -> str:
        """The gate's name, its key where there is nothing else."""
        return self.key if self.gate is None else self.gate.name


def gate_calls(facts: Facts, passage: Passage) -> tuple[GateCall, ...]:
    """Every gate after the departure: those of the points, and those of the arrival place at the last point."""
    gates = {gate.key: gate for gate in facts.water.gates}
    last = len(facts.leg.points) - 1
    wanted = {point.gate: number for number, point in enumerate(facts.leg.points) if point.gate and number}
    arrival = place_of(facts, facts.leg.arrival_place)
    for key in arrival.gates if arrival is not None else ():
        wanted.setdefault(key, last)
    return tuple(_call(passage, key, gates.get(key), number) for key, number in wanted.items())


def departure_gates(facts: Facts) -> tuple[str, ...]:
    """Keys of the gates she must pass to get out."""
    place = place_of(facts, facts.leg.departure_place)
    first = facts.leg.points[0].gate if facts.leg.points else None
    return tuple(dict.fromkeys([*(place.gates if place is not None else ()), *([first] if first else [])]))


def gate_cause(passage: Passage, gate: Gate | None, key: str) -> Cause:
    """What starves a gate whose windows are not known: its tide where that is missing, else the gate itself."""
    starved = gate is not None and by_tide(gate) and (gate.station or "") not in passage.tides
    return ("tide", (gate.station if gate is not None else None) or "") if starved else ("gate", key)


def _call(passage: Passage, key: str, gate: Gate | None, point: int) -> GateCall:
    runs = (passage.early, passage.plan, passage.late)
    return GateCall(key, gate, int(passage.point_node[point]), *(passage.at_point(run, point) for run in runs))
