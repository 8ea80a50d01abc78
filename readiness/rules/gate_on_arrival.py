"""Is each gate open when she comes to it, by plan and late, before its last entry?

Where it is shut by plan and a wait place takes her, the words say how long she waits there and what that costs.
"""

from collections.abc import Iterator

import numpy as np

from readiness.calc.window import Windows, inside, known, last_closing_in, next_opening
from readiness.rules.facts import Facts
from readiness.rules.facts_water import Gate
from readiness.rules.gate_lacks import lacking
from readiness.rules.gate_times import GateCall, gate_calls, gate_cause
from readiness.rules.gate_words import SHUT, UNTIL, straight_through, stream_at_narrows, sums_of, waits_for_forecast
from readiness.rules.gates import never_opens, setting_of
from readiness.rules.judgement import Judgement, Outcome, Outcomes, Rule, Subject, Waive, Words
from readiness.rules.limits import Limits
from readiness.rules.missing import LATE_ARRIVAL, not_asked, unknown
from readiness.rules.passage import Passage
from readiness.rules.record import Array
from readiness.rules.telling import arrival_zone
from readiness.rules.waits import can_wait, waits, why_no_wait
from readiness.rules.way_out import refuge_in_reach, why_no_refuge
from readiness.rules.words_of_trade import GateKind
from vessel.calc.wording import clock, duration, margin, with_utc
from vessel.units import MINUTE

RULE_ID = "gate_on_arrival"


def gate_on_arrival(facts: Facts, passage: Passage, _limits: Limits) -> Iterator[Judgement]:
    """One judgement for each gate on the way; of a fixed bridge headroom is asked instead.

    Source: [practice]
    """
    calls = [call for call in gate_calls(facts, passage) if call.gate is None or not never_opens(call.gate)]
    if not calls:
        yield not_asked(RULE_ID, passage, "Gates on the way", "No gate that opens and shuts is on this leg.")
    for call in calls:
        windows = passage.windows.get(call.key)
        if windows is None or call.gate is None:
            words = Words(
                title=f"{call.name}: windows not known",
                sentence=f"When {call.name} is open is not known{_lacks(facts, passage, call)}.",
                do="Ring the keeper, or enter its rule.",
                minutes=10.0,
                evidence=(("gate", call.key),),
            )
            yield unknown(RULE_ID, gate_cause(passage, call.gate, call.key), passage, words)
        else:
            yield _judgement(facts, passage, call, call.gate, windows)


def _lacks(facts: Facts, passage: Passage, call: GateCall) -> str:
    if call.gate is None:
        return ""
    streams = {table.key: stream_at_narrows(facts, passage, call.gate) for table in facts.water.streams}
    lacks = lacking(call.gate, setting_of(call.gate, facts, passage.tides, streams, None))
    return f": not known {lacks}" if lacks else ""


def _judgement(facts: Facts, passage: Passage, call: GateCall, gate: Gate, windows: Windows) -> Judgement:
    closes = np.asarray(last_closing_in(windows, call.plan_at)) - gate.last_entry_s
    outcome = _outcome(facts, passage, call, windows, gate.last_entry_s, closes)
    step = max(call.node - 1, 0)
    ripens = (outcome == Outcome.UNKNOWN) & waits_for_forecast(
        passage, gate, step, np.stack([call.plan_at, call.late_at], -1)
    )
    zone = arrival_zone(facts)

    def say(index: int) -> Words:
        plan, late = float(call.plan_at[index]), float(call.late_at[index])
        left = (float(closes[index]) - late) / MINUTE
        shut = np.isnan(closes[index])
        dark = bool(outcome[index] == Outcome.UNKNOWN)
        told = _shut(gate, windows, plan, zone) if shut else _open(gate, plan, late, float(closes[index]), zone)
        more = _more(facts, passage, call, index, Outcome(int(outcome[index])), late_only=bool(plan < closes[index]))
        return Words(
            title=f"{gate.name}: not known when she is there" if dark else _title(gate.name, left),
            sentence=_dark(gate, plan, zone, by_forecast=bool(ripens[index])) if dark else f"{told} {more}".strip(),
            do=_do_dark(gate, plan, by_forecast=bool(ripens[index]))
            if dark
            else _inside(gate, windows, plan, zone)
            if shut
            else _do(outcome[index], left),
            sums=(
                ("Plan, late", f"{clock(plan, zone)}, {clock(late, zone)}"),
                (UNTIL[gate.kind].capitalize(), with_utc(float(closes[index]), zone)),
                *sums_of(facts, passage, call, index, zone),
            ),
            evidence=(("gate", call.key),),
            margin=margin(left, "min") if left > 0 else "",
        )

    return Judgement(
        rule=RULE_ID,
        cause=("gate", call.key),
        outcome=outcome,
        demand=call.late_at - closes,
        limit=0.0,
        unit="s after last entry",
        say=say,
        ripens=ripens,
        starved_by=LATE_ARRIVAL,
        starved=np.isnan(call.early_at + call.plan_at + call.late_at) & bool(np.isfinite(gate.last_entry_s)),
    )


def _outcome(facts: Facts, passage: Passage, call: GateCall, windows: Windows, entry: float, closes: Array) -> Outcomes:
    in_time = inside(windows, call.plan_at) & (call.plan_at < closes)
    late_in_time = in_time & (call.late_at < closes)
    wait = can_wait(facts, passage, call.gate, windows, call.plan_at)
    out_of_plan = np.where(wait, np.int8(Outcome.CONDITION), np.int8(Outcome.NO_GO))
    leans = in_time & ~late_in_time  # only then is a way out worth the sums
    way_out = refuge_in_reach(facts, passage, max(call.node - 1, 0)) if leans.any() else np.zeros_like(leans)
    late = np.where(way_out, np.int8(Outcome.CONDITION), np.int8(Outcome.NO_GO))
    early = ~inside(windows, call.early_at) & (call.early_at < call.plan_at)
    outcome = np.where(late_in_time, np.where(early, np.int8(Outcome.ADVICE), np.int8(Outcome.PASSED)), late)
    outcome = np.where(in_time, outcome, out_of_plan)
    times = call.early_at + call.plan_at + call.late_at + entry
    sure = np.isfinite(times) & known(windows, call.late_at)
    outcome = np.where(sure, outcome, np.maximum(outcome, np.int8(Outcome.UNKNOWN)))
    plan_known = np.isfinite(call.plan_at + entry) & known(windows, call.plan_at)
    return np.where(plan_known, outcome, np.int8(Outcome.UNKNOWN)).astype(np.int8)


def _more(facts: Facts, passage: Passage, call: GateCall, index: int, answer: Outcome, *, late_only: bool) -> str:
    """The wait that eases it, or why nothing does, or that she goes straight through."""
    if answer == Outcome.NO_GO and late_only:
        return why_no_refuge(facts, passage, max(call.node - 1, 0), index)
    if call.gate is None:
        return ""
    if answer == Outcome.NO_GO:
        return why_no_wait(facts, passage, call.gate, passage.windows[call.key], call.plan_at, index)
    waited = _waited(facts, passage, index, call.key) if answer == Outcome.CONDITION and not late_only else ""
    return waited or straight_through(passage, call.gate, float(call.plan_at[index]), arrival_zone(facts))


def _waited(facts: Facts, passage: Passage, index: int, key: str) -> str:
    wait = next((wait for wait in waits(facts, passage, index) if wait.gate == key), None)
    if wait is None:
        return ""
    arrives = (
        f", and arrives about {with_utc(wait.arrives_at, arrival_zone(facts))}" if np.isfinite(wait.arrives_at) else ""
    )
    until = f"until {with_utc(wait.to_at, wait.zone)}"
    return f"She waits {duration(wait.lasts_s)} at {wait.place_name} {until}: {wait.cost}{arrives}."


def _title(name: str, left_min: float) -> str:
    if left_min > 0:
        return f"{name} met with {margin(left_min, 'min')} to spare"
    return f"Late, she misses {name}" if np.isfinite(left_min) else f"{name} is shut to her"


def _shut(gate: Gate, windows: Windows, plan: float, zone: str) -> str:
    opens = float(np.asarray(next_opening(windows, plan)))
    again = "weak enough from" if gate.kind == GateKind.NARROWS else "it opens"
    following = f"; {again} {with_utc(opens, zone)}" if np.isfinite(opens) else ""
    return f"{gate.name} {SHUT[gate.kind]} at {with_utc(plan, zone)} when she comes by plan{following}."


def _open(gate: Gate, plan: float, late: float, last: float, zone: str) -> str:
    return (
        f"{gate.name}: plan {clock(plan, zone)}, late {clock(late, zone)}, {UNTIL[gate.kind]} {with_utc(last, zone)}."
    )


def _dark(gate: Gate, plan: float, zone: str, *, by_forecast: bool) -> str:
    if np.isnan(plan):
        return f"When she comes to {gate.name} is not known."
    why = ": no forecast of the sea reaches so far" if by_forecast else ""
    if gate.kind == GateKind.BAR and np.isnan(gate.most_sea_m):
        why = ": the highest sea it is crossed in is not stated"
    return f"Whether {gate.name} is open from plan {with_utc(plan, zone)} to late is not known{why}."


def _do(outcome: int, left_min: float) -> str:
    if outcome == Outcome.ADVICE:
        return "Slow down: early, the gate is still shut."
    if outcome == Outcome.PASSED:
        return ""
    return f"Leave {duration(max(-left_min, 0.0) * MINUTE + MINUTE)} earlier, or decide on the way."


def _inside(gate: Gate, windows: Windows, plan: float, zone: str) -> str:
    """Between which hours she should come to a gate that is shut by plan: those of its next opening."""
    opens = float(np.asarray(next_opening(windows, plan)))
    last = float(np.asarray(last_closing_in(windows, opens))) - gate.last_entry_s
    if not np.isfinite(last) or last <= opens:
        return f"Leave so that she comes to {gate.name} while it is open, late figure and all."
    between = f"between {with_utc(opens, zone)} and {with_utc(last, zone)} ({UNTIL[gate.kind]})"
    return f"Leave so that she comes to {gate.name} {between}, late figure and all."


def _do_dark(gate: Gate, plan: float, *, by_forecast: bool) -> str:
    if np.isnan(plan):
        return "Give the speed and the streams of the way."
    return (
        "Take in a forecast that reaches so far."
        if by_forecast
        else f"Ring the keeper of {gate.name}, or enter its rule."
    )


RULE = Rule(
    id=RULE_ID,
    title="Each gate open on arrival",
    subject=Subject.WATER,
    formula="Lock about high water and over its sill, sill by height, bar by height and sea, bridge by its hours, "
    "narrows by rate. By plan outside [open, close − last entry): no-go, or a condition where a wait place passes and "
    "it opens within 3 h. Late at or after last entry: a condition where a refuge passes, else no-go. Early before it "
    "opens: advice.",
    source="[practice]",
    worst=Outcome.NO_GO,
    judge=gate_on_arrival,
    limits=("lock_last_entry_s", "under_keel_m"),
    waive={Outcome.NO_GO: Waive.NEVER, Outcome.CONDITION: Waive.ONE_LEG},
)
