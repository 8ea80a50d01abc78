"""Hands at each gate: those its lines want and one at the helm."""

from collections.abc import Iterator

import numpy as np

from readiness.rules.facts import Facts
from readiness.rules.facts_water import Gate
from readiness.rules.gate_times import GateCall, gate_calls
from readiness.rules.hands import able_at
from readiness.rules.judgement import Judgement, Outcome, Outcomes, Rule, Subject, Waive, Words
from readiness.rules.limits import Limits
from readiness.rules.missing import not_asked, unknown
from readiness.rules.passage import Passage
from readiness.rules.record import Array

RULE_ID = "hands_at_gate"


def hands_at_gate(facts: Facts, passage: Passage, _limits: Limits) -> Iterator[Judgement]:
    """One judgement for each gate on the leg, by plan and late.

    Source: [practice]
    """
    calls = gate_calls(facts, passage)
    if not calls:
        yield not_asked(RULE_ID, passage, "Hands at gates", "No lock, sill or bar is on this leg.")
    for call in calls:
        if call.gate is None or call.gate.hands is None:
            words = Words(title="Hands not known", sentence=f"How many hands {call.name} wants is not known.")
            yield unknown(RULE_ID, ("gate", call.key), passage, words)
        else:
            yield _judgement(facts, call, call.gate, call.gate.hands)


def _judgement(facts: Facts, call: GateCall, gate: Gate, hands: int) -> Judgement:
    needed = hands + 1 if hands else 1
    have = np.minimum(able_at(facts, call.plan_at), able_at(facts, call.late_at))
    outcome = _outcome(have, needed, gate)
    outcome = np.where(np.isnan(call.plan_at + call.late_at), np.maximum(outcome, np.int8(Outcome.UNKNOWN)), outcome)

    def say(index: int) -> Words:
        helped = f" {gate.help.name} has promised to take lines." if gate.help.confirmed else ""
        return Words(
            title=f"Hands at {gate.name}",
            sentence=f"{gate.name} wants {hands} on the lines and one at the helm; "
            f"{have[index]:.0f} fit aboard.{helped}",
            do="Ask the keeper to take lines, or wait for crew." if outcome[index] else "",
            minutes=5.0,
            sums=((f"{hands} on the lines + 1 at the helm", f"{needed}"),),
            evidence=(("gate", gate.key),),
        )

    return Judgement(
        rule=RULE_ID,
        cause=("gate hands", gate.key),
        outcome=outcome.astype(np.int8),
        demand=have,
        limit=float(needed),
        unit="hands",
        say=say,
    )


def _outcome(have: Array, needed: int, gate: Gate) -> Outcomes:
    one_short = Outcome.CONDITION if gate.help.confirmed is True else Outcome.NO_GO
    short = np.where(have == needed - 1, np.int8(one_short), np.int8(Outcome.NO_GO))
    return np.where(have >= needed, np.int8(Outcome.PASSED), short).astype(np.int8)


RULE = Rule(
    id=RULE_ID,
    title="Hands at each gate",
    subject=Subject.PEOPLE,
    formula="Fit people aboard against the gate's hands and one helm, by plan and late: enough passed; one short a "
    "condition where the keeper's help is confirmed by name, else no-go; fewer no-go.",
    source="[practice]",
    worst=Outcome.NO_GO,
    judge=hands_at_gate,
    waive={Outcome.NO_GO: Waive.ONE_LEG, Outcome.CONDITION: Waive.ONE_LEG},
)
