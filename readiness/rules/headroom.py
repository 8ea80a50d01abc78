"""Room under each bridge that never opens, at the highest water from early to late."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from msgspec.structs import replace

from readiness.rules.facts import Facts, changed
from readiness.rules.facts_water import Gate
from readiness.rules.gate_lacks import FIXED_BRIDGE, lacking_of
from readiness.rules.gate_times import departure_gates, gate_calls, gate_cause
from readiness.rules.gates import HEADROOM_M, is_fixed_bridge, setting_of, zero_m
from readiness.rules.judgement import Judgement, Outcome, Remedy, Rule, Subject, Waive, Words, graded
from readiness.rules.limits import Limits
from readiness.rules.missing import not_asked
from readiness.rules.passage import Passage, Tide
from readiness.rules.record import NOT_KNOWN, Array
from readiness.rules.telling import departure_zone
from vessel.calc.wording import metres, toward_limit, with_utc

RULE_ID = "headroom"
LEAST_M = 0.2  # less than this over the highest point of the boat is no room [own]
SAMPLES = 13  # heights looked at between early and late, ends included; high waters between are looked at besides
FOLDING_MINUTES = 15.0  # own default


@dataclass(frozen=True)
class Under:
    """One bridge and the first and last moment she may pass under it, [departure]."""

    gate: Gate
    first_at: Array
    last_at: Array


def headroom(facts: Facts, passage: Passage, _limits: Limits) -> Iterator[Judgement]:
    """One judgement for each bridge on the way, and on the way out, that is not known to open.

    Source: [practice]
    """
    bridges = [*_leaving(facts, passage), *_calling(facts, passage)]
    if not bridges:
        yield not_asked(RULE_ID, passage, "Headroom", "No fixed bridge is on this leg.")
    for bridge in bridges:
        yield _judgement(facts, passage, bridge)


def highest_m(tide: Tide | None, first_at: Array, last_at: Array) -> Array:
    """The highest predicted water between two moments, [departure]; air pressure is left out."""
    if tide is None:
        return np.full(first_at.shape, NOT_KNOWN)
    between = first_at[:, None] + (last_at - first_at)[:, None] * np.linspace(0.0, 1.0, SAMPLES)
    sampled = np.asarray(tide.height(between)).max(axis=-1)
    at, height = tide.events.at[tide.events.high], tide.events.height_m[tide.events.high]
    inside = (at >= first_at[:, None]) & (at <= last_at[:, None])
    return np.asarray(np.maximum(sampled, np.where(inside, height, -np.inf).max(axis=-1, initial=-np.inf)))


def _leaving(facts: Facts, passage: Passage) -> Iterator[Under]:
    keys = departure_gates(facts)
    for gate in facts.water.gates:
        if gate.key in keys and is_fixed_bridge(gate):
            yield Under(gate, passage.departure_at, passage.departure_at + facts.boat.vessel.slip_s)


def _calling(facts: Facts, passage: Passage) -> Iterator[Under]:
    for call in gate_calls(facts, passage):
        if call.gate is not None and is_fixed_bridge(call.gate):
            times = np.stack([call.early_at, call.plan_at, call.late_at])
            yield Under(call.gate, times.min(axis=0), times.max(axis=0))


def _judgement(facts: Facts, passage: Passage, bridge: Under) -> Judgement:
    gate, vessel = bridge.gate, facts.boat.vessel
    setting = setting_of(gate, facts, passage.tides, {}, None)
    highest = highest_m(setting.tide, bridge.first_at, bridge.last_at)
    room = gate.level_m + zero_m(setting.station, gate.zero) - highest
    clear = room - vessel.air_draught_m
    outcome = graded(clear, (np.less, HEADROOM_M, Outcome.CONDITION), (np.less, LEAST_M, Outcome.NO_GO))
    missing = outcome == Outcome.UNKNOWN
    lacks = lacking_of(FIXED_BRIDGE, gate, setting) or "the tide when she is there"

    def say(index: int) -> Words:
        left, answer = float(clear[index]), Outcome(int(outcome[index]))
        sentence = (
            f"Room under {gate.name} is not known. Not known: {lacks}."
            if missing[index]
            else f"{metres(left, 2)} clear under {gate.name} at the highest water, {metres(HEADROOM_M, 1)} wanted; "
            f"from {with_utc(float(bridge.first_at[index]), departure_zone(facts))}."
        )
        return Words(
            title=TITLES[answer].format(name=gate.name),
            sentence=sentence,
            do=DO[answer],
            sums=(
                (f"Clearance above {gate.zero or 'a level not known'}", metres(gate.level_m, 2)),
                ("Water to the arch at its highest", metres(float(room[index]), 2)),
                ("Air draught", metres(vessel.air_draught_m, 2)),
            ),
            evidence=(("gate", gate.key), ("station", gate.station or "")),
            remedies=_folded(facts, float(room[index])) if answer in (Outcome.CONDITION, Outcome.NO_GO) else (),
            margin=f"{toward_limit(left - HEADROOM_M, 0.0, 2)} m" if not answer else "",
        )

    return Judgement(
        rule=RULE_ID,
        cause=gate_cause(passage, gate, gate.key),
        outcome=outcome,
        demand=clear,
        limit=HEADROOM_M,
        unit="m",
        say=say,
    )


def _folded(facts: Facts, room_m: float) -> tuple[Remedy, ...]:
    """What can be folded down, where that makes more room."""
    folded = facts.boat.vessel.air_draught_folded_m
    if not folded < facts.boat.vessel.air_draught_m:
        return ()

    def change(held: Facts) -> Facts:
        vessel = replace(held.boat.vessel, air_draught_m=folded)
        return changed(held, boat=replace(held.boat, vessel=vessel))

    text = f"Fold mast and aerials ({metres(room_m - folded, 1)} clear then)"
    return (Remedy("job", text, change, minutes=FOLDING_MINUTES),)


TITLES = {
    Outcome.PASSED: "Headroom at {name}",
    Outcome.CONDITION: "Little headroom at {name}",
    Outcome.UNKNOWN: "Headroom at {name} not known",
    Outcome.NO_GO: "No headroom at {name}",
}
DO = {
    Outcome.PASSED: "",
    Outcome.CONDITION: "Read the gauge at the bridge before going under.",
    Outcome.UNKNOWN: "Enter the clearance with the level it is above, and her air draught.",
    Outcome.NO_GO: "Pass at lower water.",
}

RULE = Rule(
    id=RULE_ID,
    title="Headroom under fixed bridges",
    subject=Subject.WATER,
    formula="Clearance + (the level it is above − highest tide from early to late) − air draught, pressure left out: "
    "0.5 m passed, 0.2 m condition, less no-go.",
    source="[practice]",
    worst=Outcome.NO_GO,
    judge=headroom,
    waive={Outcome.NO_GO: Waive.NEVER, Outcome.CONDITION: Waive.ONE_LEG},
)
