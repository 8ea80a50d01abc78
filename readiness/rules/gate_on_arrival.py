"""Is each gate open when she comes to it, by plan and late, before its last entry?"""

from collections.abc import Iterator

import numpy as np

from readiness.calc.window import Windows, inside, known, last_closing_in, next_opening
from readiness.rules.facts import Facts
from readiness.rules.gate_times import GateCall, gate_calls, gate_cause
from readiness.rules.judgement import Judgement, Outcome, Outcomes, Rule, Subject, Waive, Words
from readiness.rules.limits import Limits
from readiness.rules.missing import not_asked, unknown
from readiness.rules.passage import Passage
from readiness.rules.record import Array
from readiness.rules.telling import arrival_zone
from readiness.rules.way_out import passes, place_of, refuge_in_reach, why_no_refuge, why_not_there
from vessel.calc.wording import clock, duration, margin, with_utc
from vessel.units import HOUR, MINUTE, Flags

RULE_ID = "gate_on_arrival"
LONGEST_WAIT_S = 3 * HOUR  # a wait place helps where the gate opens again so soon [practice]


def gate_on_arrival(facts: Facts, passage: Passage, _limits: Limits) -> Iterator[Judgement]:
    """One judgement for each gate on the way.

    Source: [practice]
    """
    calls = gate_calls(facts, passage)
    if not calls:
        yield not_asked(RULE_ID, passage, "Gates on the way", "No lock, sill or bar is on this leg.")
    for call in calls:
        windows = passage.windows.get(call.key)
        if windows is None or call.gate is None:
            words = Words(
                title=f"{call.name}: windows not known",
                sentence=f"When {call.name} is open is not known.",
                do="Ring the keeper, or enter its rule.",
                minutes=10.0,
                evidence=(("gate", call.key),),
            )
            yield unknown(RULE_ID, gate_cause(passage, call.gate, call.key), passage, words)
        else:
            yield _judgement(facts, passage, call, windows)


def _judgement(facts: Facts, passage: Passage, call: GateCall, windows: Windows) -> Judgement:
    assert call.gate is not None  # noqa: S101 - the caller gives gates only
    entry = call.gate.last_entry_s
    closes = np.asarray(last_closing_in(windows, call.plan_at)) - entry
    outcome = _outcome(facts, passage, call, windows, entry, closes)
    zone = arrival_zone(facts)

    def say(index: int) -> Words:
        plan, late = float(call.plan_at[index]), float(call.late_at[index])
        left = (float(closes[index]) - late) / MINUTE
        return Words(
            title=_title(call.name, left),
            sentence=_sentence(call.name, windows, plan, late, float(closes[index]), zone)
            + (
                _no_way_out(facts, passage, call, plan < closes[index], index)
                if outcome[index] == Outcome.NO_GO
                else ""
            ),
            do=_do(outcome[index], left),
            sums=(
                ("Plan, late", f"{clock(plan, zone)}, {clock(late, zone)}"),
                ("Last entry", with_utc(float(closes[index]), zone)),
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
    )


def _outcome(facts: Facts, passage: Passage, call: GateCall, windows: Windows, entry: float, closes: Array) -> Outcomes:
    in_time = inside(windows, call.plan_at) & (call.plan_at < closes)
    late_in_time = in_time & (call.late_at < closes)
    out_of_plan = np.where(_can_wait(facts, passage, call, windows), np.int8(Outcome.CONDITION), np.int8(Outcome.NO_GO))
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


def _can_wait(facts: Facts, passage: Passage, call: GateCall, windows: Windows) -> Flags:
    """Whether a wait place takes her safely at plan and the gate opens again soon."""
    place = place_of(facts, call.gate.wait_place if call.gate is not None else None)
    if place is None:
        return np.zeros(passage.departures, bool)
    opens = np.asarray(next_opening(windows, call.plan_at))
    return np.asarray((opens - call.plan_at <= LONGEST_WAIT_S) & passes(facts, passage, place, call.plan_at))


def _no_way_out(facts: Facts, passage: Passage, call: GateCall, late_only: bool, index: int) -> str:
    """Why nothing eases a no-go: the refuges where only the late figure misses it, else the wait place."""
    if late_only:
        return f" {why_no_refuge(facts, passage, max(call.node - 1, 0), index)}"
    place = place_of(facts, call.gate.wait_place if call.gate is not None else None)
    why = why_not_there(facts, passage, place, call.plan_at, index) if place is not None else ""
    return f" {why}" if why else ""


def _title(name: str, left_min: float) -> str:
    if left_min > 0:
        return f"{name} met with {margin(left_min, 'min')} to spare"
    return f"Late, she misses {name}" if np.isfinite(left_min) else f"{name} is shut to her"


def _sentence(name: str, windows: Windows, plan: float, late: float, last: float, zone: str) -> str:
    if np.isnan(last):
        opens = float(np.asarray(next_opening(windows, plan)))
        following = f"; it opens {with_utc(opens, zone)}" if np.isfinite(opens) else ""
        return f"{name} is shut at {with_utc(plan, zone)} when she comes by plan{following}."
    return f"{name}: plan {clock(plan, zone)}, late {clock(late, zone)}, last entry {with_utc(last, zone)}."


def _do(outcome: int, left_min: float) -> str:
    if outcome == Outcome.ADVICE:
        return "Slow down: early, the gate is still shut."
    if outcome == Outcome.PASSED:
        return ""
    if np.isfinite(left_min) and left_min < 0:
        return f"Leave {duration(-left_min * MINUTE)} earlier, or decide on the way."
    return "Leave so that the late figure falls inside."


RULE = Rule(
    id=RULE_ID,
    title="Lock, sill or bar open on arrival",
    subject=Subject.WATER,
    formula="By plan outside [open, close − last entry): no-go, or a condition where a wait place passes and it opens "
    "within 3 h. Late at or after last entry: a condition where a refuge passes, else no-go. Early before it "
    "opens: advice.",
    source="[practice]",
    worst=Outcome.NO_GO,
    judge=gate_on_arrival,
    limits=("lock_last_entry_s", "under_keel_m"),
    waive={Outcome.NO_GO: Waive.NEVER, Outcome.CONDITION: Waive.ONE_LEG},
)
