"""Hands at each gate: those its lines want and one at the helm."""

from collections.abc import Iterator

import numpy as np
from msgspec.structs import replace

from readiness.rules.facts import Facts, changed
from readiness.rules.facts_water import Gate, Help
from readiness.rules.gate_times import GateCall, gate_calls
from readiness.rules.gates import never_opens
from readiness.rules.hands import able_at, one_more
from readiness.rules.judgement import Judgement, Outcome, Outcomes, Remedy, Rule, Subject, Waive, Words, late_only
from readiness.rules.limits import Limits
from readiness.rules.missing import LATE_ARRIVAL, NOBODY, not_asked, unknown
from readiness.rules.passage import Passage
from readiness.rules.record import Array
from readiness.rules.way_out import refuge_in_reach, why_no_refuge
from readiness.rules.words_of_trade import GateKind, Skill

RULE_ID = "hands_at_gate"


def hands_at_gate(facts: Facts, passage: Passage, _limits: Limits) -> Iterator[Judgement]:
    """One judgement for each gate on the leg, by plan and late.

    Source: [practice]
    """
    calls = [call for call in gate_calls(facts, passage) if call.gate is None or _takes_lines(call.gate)]
    if not calls:
        yield not_asked(RULE_ID, passage, "Hands at gates", "No gate on this leg takes lines.")
    for call in calls:
        if call.gate is None or call.gate.hands is None:
            words = Words(title="Hands not known", sentence=f"How many hands {call.name} wants is not known.")
            yield unknown(RULE_ID, ("gate", call.key), passage, words)
        else:
            yield _judgement(facts, passage, call, call.gate, call.gate.hands)


def _takes_lines(gate: Gate) -> bool:
    """Nobody makes fast in narrows or under a bridge that never opens; elsewhere the gate itself says."""
    return gate.kind != GateKind.NARROWS and not never_opens(gate)


def _judgement(facts: Facts, passage: Passage, call: GateCall, gate: Gate, hands: int) -> Judgement:
    needed = hands + 1
    at_plan, at_late = able_at(facts, call.plan_at), able_at(facts, call.late_at)
    have = np.minimum(at_plan, at_late)
    by_plan, late = _outcome(at_plan, needed, gate), _outcome(at_late, needed, gate)
    leans, node = late > by_plan, max(call.node - 1, 0)  # only where it leans is a way out worth the sums
    outcome = late_only(by_plan, late, bool(leans.any()) and refuge_in_reach(facts, passage, node))
    timed = np.isfinite(call.plan_at + call.late_at)
    outcome = np.where(timed, outcome, np.int8(Outcome.UNKNOWN))

    def say(index: int) -> Words:
        helped = f" {gate.help.name} has promised to take lines." if _promised(gate) else ""
        lost = leans[index] and outcome[index] == Outcome.NO_GO
        why = f" {why_no_refuge(facts, passage, node, index)}" if lost else ""
        one_short = timed[index] and have[index] == needed - 1 and outcome[index] > Outcome.CONDITION
        fit = f"{have[index]:.0f} fit aboard" if timed[index] else "when she comes there is not known"
        return Words(
            title=f"Hands at {gate.name}",
            sentence=f"{gate.name} wants {hands} on the lines and one at the helm; {fit}.{helped}{why}",
            do=_do(gate, int(needed - have[index]), timed=bool(timed[index])) if outcome[index] else "",
            minutes=5.0,
            sums=((f"{hands} on the lines + 1 at the helm", f"{needed}"),),
            evidence=(("gate", gate.key),),
            remedies=((one_more(passage, index, Skill.LINES),) if outcome[index] else ())
            + ((_keeper_helps(gate),) if one_short and gate.kind == GateKind.LOCK else ()),
        )

    return Judgement(
        rule=RULE_ID,
        cause=("gate hands", gate.key),
        outcome=outcome.astype(np.int8),
        demand=have,
        limit=float(needed),
        unit="hands",
        say=say,
        starved_by=LATE_ARRIVAL if facts.people else NOBODY,
        starved=~timed if facts.people else True,
    )


def _do(gate: Gate, short: int, *, timed: bool) -> str:
    """What to do where so many are short; a keeper's help is worth one hand, and is asked of locks only."""
    if not timed:
        return "Give the speed and the streams of the way."
    if short != 1 or gate.kind != GateKind.LOCK:
        helped = "; a keeper's help is worth only one of them" if gate.kind == GateKind.LOCK else ""
        return f"Wait for crew: {short} more {'is' if short == 1 else 'are'} wanted{helped}."
    if _promised(gate):
        return f"Make sure of {gate.help.name} before leaving, or wait for crew."
    return "Ask the keeper to take lines, or wait for crew."


def _outcome(have: Array, needed: int, gate: Gate) -> Outcomes:
    one_short = Outcome.CONDITION if _promised(gate) else Outcome.NO_GO
    short = np.where(have == needed - 1, np.int8(one_short), np.int8(Outcome.NO_GO))
    return np.where(have >= needed, np.int8(Outcome.PASSED), short).astype(np.int8)


def _promised(gate: Gate) -> bool:
    """Whether the keeper's help is confirmed, by name and time."""
    return gate.help.confirmed is True and bool(gate.help.name.strip()) and gate.help.at is not None


def _keeper_helps(gate: Gate) -> Remedy:
    def change(facts: Facts) -> Facts:
        helped = replace(gate, help=Help(confirmed=True, name="The keeper", at=facts.judged_at))
        gates = tuple(helped if one.key == gate.key else one for one in facts.water.gates)
        return changed(facts, water=replace(facts.water, gates=gates))

    return Remedy("hand", f"The keeper of {gate.name} promises to take lines", change, minutes=5.0)


RULE = Rule(
    id=RULE_ID,
    title="Hands at each gate",
    subject=Subject.PEOPLE,
    formula="Fit people aboard against the gate's hands and one helm, by plan and late: enough passed; one short a "
    "condition where the keeper's help is confirmed by name and time, else no-go; fewer no-go. Too few only at late: a "
    "condition where a refuge passes.",
    source="[practice]",
    worst=Outcome.NO_GO,
    judge=hands_at_gate,
    waive={Outcome.NO_GO: Waive.ONE_LEG, Outcome.CONDITION: Waive.ONE_LEG},
)
