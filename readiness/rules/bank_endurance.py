"""Ship's bank without charging: how long it feeds what is essential, against the late figure of the leg."""

from collections.abc import Iterator
from functools import partial

import numpy as np
from msgspec.structs import replace

from readiness.calc.success_tree import Level
from readiness.rules.computed_condition import fresh
from readiness.rules.facts import Facts, changed
from readiness.rules.facts_boat import ShipBank
from readiness.rules.function_state import evidence_of, why
from readiness.rules.judgement import Judgement, Outcome, Outcomes, Remedy, Rule, Subject, Words, graded
from readiness.rules.limits import Limits
from readiness.rules.missing import harbour_move, late_arrival_missing, late_at
from readiness.rules.passage import Passage
from readiness.rules.put_right import remedies_for
from readiness.rules.record import NOT_KNOWN, Array
from readiness.rules.state import states
from readiness.rules.telling import by_departure, hand_for
from readiness.rules.words_of_trade import Chemistry, Kind, Skill
from vessel.calc.wording import margin, number
from vessel.units import HOUR

ID, TITLE = "bank_endurance", "Ship's bank without charging"
LEAST_LEAD_FLOOR = 0.30  # lead-acid is never planned lower, whatever the limit says [practice]
LITHIUM_FLOOR = 0.15  # [practice]
SHORT, HALF = 1.0, 0.5  # of the late figure of the leg [own]
READ_MINUTES = 5.0  # [own]
READ_IT = "Read the state of charge, and say what the loads draw."
ONCE_SHORT = np.array([Outcome.ADVICE, Outcome.CONDITION, Outcome.CONDITION, Outcome.UNKNOWN, Outcome.NO_GO], np.int8)
WELL_SHORT = np.array([Outcome.CONDITION, Outcome.NO_GO, Outcome.NO_GO, Outcome.UNKNOWN, Outcome.NO_GO], np.int8)


def bank_endurance(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:
    """Ratio of endurance to the late figure; where it falls short, the state of charging decides.

    Source: [practice] [own]
    """
    if facts.leg.harbour_move:
        yield harbour_move(ID, passage, TITLE)
        return
    yield from late_arrival_missing(ID, passage)
    ratio, charging = _ratio(facts, passage, limits), charging_level(facts, passage)
    late = np.isnan(late_at(passage))
    short = graded(ratio, (np.less, SHORT, Outcome.ADVICE), (np.less, HALF, Outcome.CONDITION))
    table = np.stack([np.zeros(5, np.int8), ONCE_SHORT, WELL_SHORT, np.full(5, Outcome.UNKNOWN, np.int8)])
    outcome = np.where(late, np.int8(Outcome.PASSED), table[short, charging]).astype(np.int8)
    bank = facts.boat.bank
    missing = bank is None or bool((np.isnan(ratio) & ~late).any())
    yield Judgement(
        rule=ID,
        cause=("reading", "ship's bank") if bank is None or missing else ("equipment", bank.code),
        outcome=outcome,
        demand=ratio,
        limit=SHORT,
        unit="of the leg",
        say=partial(_say, facts, passage, limits, outcome, ratio),
    )


def charging_level(facts: Facts, passage: Passage) -> Array:
    """Level of the best alternator, [departure]; out where none is listed."""
    held = states(facts, passage)
    levels = [held.level[held.rows[item.code]] for item in held.of_kind(Kind.ALTERNATOR)]
    return np.min(levels, axis=0) if levels else np.full(passage.departures, Level.OUT, np.int8)


def essential_a(facts: Facts) -> float:
    """What everything essential draws together; NaN where a load is not known, or none is listed."""
    drawn = [
        load.running_a if load.running_a >= 0 else NOT_KNOWN for load in facts.boat.loads if load.essential is not False
    ]
    return sum(drawn) if drawn else NOT_KNOWN


def floor_of(bank: ShipBank, limits: Limits) -> float:
    """State of charge at which the bank counts as empty; as for lead-acid where its kind is not known."""
    return LITHIUM_FLOOR if bank.chemistry == Chemistry.LITHIUM else max(limits.bank_floor, LEAST_LEAD_FLOOR)


def _ratio(facts: Facts, passage: Passage, limits: Limits) -> Array:
    hours = _endurance_h(facts, passage, limits)
    return np.asarray(hours / (passage.duration_late_s / HOUR))


def _charge(facts: Facts, passage: Passage) -> Array:
    """State of charge at each departure; NaN where it is not known or cannot be right."""
    if facts.boat.bank is None:
        return np.full(passage.departures, np.nan)
    charge = fresh(facts, facts.boat.bank.state_of_charge, passage)
    return np.where((charge >= 0) & (charge <= 1), charge, np.nan)


def _endurance_h(facts: Facts, passage: Passage, limits: Limits) -> Array:
    bank, drawn = facts.boat.bank, essential_a(facts)
    if bank is None or not bank.capacity_ah > 0 or not drawn > 0:
        return np.full(passage.departures, np.nan)
    left = np.maximum(_charge(facts, passage) - floor_of(bank, limits), 0.0)
    return np.asarray(bank.capacity_ah * left / drawn)


def _say(facts: Facts, passage: Passage, limits: Limits, outcome: Outcomes, ratio: Array, index: int) -> Words:
    hours, needs = _endurance_h(facts, passage, limits)[index], passage.duration_late_s[index] / HOUR
    sums = tuple(_sums(facts, passage, limits, hours, needs, index))
    said = f"The bank lasts {number(hours, 1)} h without charging, the leg {number(needs, 1)} h at most"
    if outcome[index] == Outcome.PASSED:
        left = margin(hours - needs, "h", 1)
        return Words(title=TITLE, sentence=f"{said}.", sums=sums, margin=left)
    held = states(facts, passage)
    failing = [item.code for item in held.of_kind(Kind.ALTERNATOR) if held.level[held.rows[item.code], index]]
    charging = f"; {why(held, failing[0])}" if failing else ""
    missing = bool(np.isnan(ratio[index]))
    return Words(
        title="Ship's bank not known" if missing else "Ship's bank too small for the leg",
        sentence=f"{_missing(facts)}." if missing else f"{said}{charging}.",
        do=READ_IT if missing else "Charge the bank, shed loads or shorten the leg.",
        by=by_departure(passage, index),
        who=hand_for(facts, Skill.ENGINE),
        minutes=READ_MINUTES if missing else NOT_KNOWN,
        sums=sums,
        evidence=evidence_of(held, failing),
        remedies=(*_remedies(facts, limits, needs), *remedies_for(facts, held, failing)),
    )


def _sums(
    facts: Facts, passage: Passage, limits: Limits, hours: float, needs: float, index: int
) -> Iterator[tuple[str, str]]:
    bank, drawn = facts.boat.bank, essential_a(facts)
    if bank is not None:
        floor, charge = floor_of(bank, limits), _charge(facts, passage)[index]
        label = f"{number(bank.capacity_ah)} Ah × ({number(charge, 2)} − {number(floor, 2)}) / {number(drawn, 1)} A"
        yield label, f"{number(hours, 1)} h"
    yield "Late figure of the leg", f"{number(needs, 1)} h"


def _missing(facts: Facts) -> str:
    bank = facts.boat.bank
    if bank is None:
        return "Nothing is known of the ship's bank"
    if not np.isfinite(essential_a(facts)):
        return "Nobody has said what the essential loads draw"
    return "The state of charge of the ship's bank is not known, or too old"


def _remedies(facts: Facts, limits: Limits, needs_h: float) -> Iterator[Remedy]:
    bank = facts.boat.bank
    if bank is None or not bank.capacity_ah > 0:
        return
    charge = floor_of(bank, limits) + essential_a(facts) * needs_h / bank.capacity_ah
    if charge <= 1.0:
        wanted = np.ceil(charge * 100) / 100
        text = f"Charge and read it: enough if the bank is at {number(100 * wanted)} % or more"
        yield Remedy("reading", text, partial(_charged, float(wanted)), READ_MINUTES)


def _charged(charge: float, facts: Facts) -> Facts:
    if facts.boat.bank is None:
        return facts
    reading = replace(facts.boat.bank.state_of_charge, value=charge, at=facts.judged_at)
    bank = replace(facts.boat.bank, state_of_charge=reading)
    return changed(facts, boat=replace(facts.boat, bank=bank))


RULE = Rule(
    id=ID,
    title=TITLE,
    subject=Subject.BOAT,
    formula="Ah × (state of charge − floor) / essential A, over the late figure of the leg: 1 or more passes; 0.5 to 1 is "
    "advice where the alternator is in service, a condition where it is degraded or not proved, no-go where it is out, "
    "unknown where it is; below 0.5 a condition, no-go, no-go, unknown",
    source="[practice] [own]",
    worst=Outcome.NO_GO,
    judge=bank_endurance,
    limits=("bank_floor",),
)
