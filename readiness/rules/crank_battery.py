"""Crank battery ready: rested volts of the last days, or a cold start on it alone just now."""

from collections.abc import Iterator
from functools import partial

import numpy as np
from msgspec.structs import replace

from readiness.calc.success_tree import Level
from readiness.rules.facts import Facts, changed
from readiness.rules.facts_boat import CrankBattery, RestedVolts
from readiness.rules.judgement import Cause, Judgement, Outcome, Outcomes, Remedy, Rule, Subject, Waive, Words, graded
from readiness.rules.limits import Limits
from readiness.rules.passage import Passage
from readiness.rules.record import NOT_KNOWN, Array, epoch
from readiness.rules.state import states
from readiness.rules.telling import by_departure, day_in, end_of_day, hand_for
from readiness.rules.words_of_trade import Kind, Skill
from vessel.calc.wording import age as age_words
from vessel.calc.wording import margin, number
from vessel.units import DAY, HOUR, Flags

ID, TITLE = "crank_battery", "Crank battery ready"
KEEPS_S = 7 * DAY  # a reading of rested volts [practice]
RESTED_S = 4 * HOUR  # since the last charge or load [practice]
START_KEEPS_S = 2 * HOUR  # a cold start counts for so long [own]
CRANKING_V = 9.6  # lowest volts of a 12 V battery while cranking [practice]
ONE_BATTERY_V = 12.0
READ_MINUTES, START_MINUTES = 2.0, 5.0  # [own]


def crank_battery(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:
    """Rested volts at departure. Also asked on a harbour move.

    Source: [lead-acid] [practice]
    """
    crank = facts.boat.crank
    if crank is None:
        outcome, volts = np.full(passage.departures, Outcome.UNKNOWN, np.int8), np.full(passage.departures, np.nan)
    else:
        volts = _volts(facts, passage, crank)
        outcome = _by_volts(volts, crank, limits)
        outcome = np.where(_started(facts, passage, crank), np.int8(Outcome.PASSED), outcome).astype(np.int8)
    second = second_start(facts, passage)
    outcome = np.where(second, np.minimum(outcome, np.int8(Outcome.CONDITION)), outcome).astype(np.int8)
    yield Judgement(
        rule=ID,
        cause=_cause(crank, volts),
        outcome=outcome,
        demand=volts,
        limit=limits.crank_rested_ok_v * _scale(crank),
        unit="V",
        say=partial(_say, facts, passage, crank, outcome, volts, limits),
    )


def second_start(facts: Facts, passage: Passage) -> Flags:
    """Where a second way to start was proved on the day of departure and has not been lost since, [departure]."""
    proved, zone = facts.boat.log.second_start_proved_at, facts.boat.vessel.home_zone
    at = epoch(proved)
    if not at <= facts.judged_at.timestamp():
        return np.zeros(passage.departures, bool)
    today = (passage.departure_at >= at) & (passage.departure_at < end_of_day(day_in(at, zone), zone))
    held = states(facts, passage)
    packs = [held.level[held.rows[item.code]] <= Level.NOT_PROVED for item in held.of_kind(Kind.BOOSTER)]
    return np.asarray(today & np.any(packs, axis=0)) if packs else np.asarray(today)


def _scale(crank: CrankBattery | None) -> float:
    """How many 12 V batteries in a row; NaN where the nominal volts are not known."""
    if crank is None or not crank.nominal_v > 0:
        return NOT_KNOWN
    return crank.nominal_v / ONE_BATTERY_V


def _by_volts(volts: Array, crank: CrankBattery, limits: Limits) -> Outcomes:
    scale = _scale(crank)
    return graded(
        np.round(volts, 6),
        (np.less, np.round(limits.crank_rested_ok_v * scale, 6), Outcome.CONDITION),
        (np.less, np.round(limits.crank_rested_no_go_v * scale, 6), Outcome.NO_GO),
    )


def _volts(facts: Facts, passage: Passage, crank: CrankBattery) -> Array:
    """Rested volts at each departure; NaN where nobody can rely on the reading any more."""
    rested, now = crank.rested, facts.judged_at.timestamp()
    taken = epoch(rested.at)
    age = np.where(taken <= now, passage.departure_at - taken, np.nan)
    sound = rested.on_charge is False and rested.rested_s >= RESTED_S and _undischarged_since(crank, taken)
    good = graded(age, (np.greater, KEEPS_S, Outcome.UNKNOWN)) == Outcome.PASSED
    return np.where(good & sound, rested.value, np.nan)


def _started(facts: Facts, passage: Passage, crank: CrankBattery) -> Flags:
    """Where a cold start on this battery alone within the last two hours speaks for it, [departure]."""
    start, at = crank.cold_start, epoch(crank.cold_start.at)
    known = at <= facts.judged_at.timestamp() and start.alone is True and _undischarged_since(crank, at)
    strong = start.lowest_v >= CRANKING_V * _scale(crank)
    age = passage.departure_at - at
    return np.asarray((age >= 0) & (age <= START_KEEPS_S) & bool(known and strong))


def _undischarged_since(crank: CrankBattery, at: float) -> bool:
    return all(epoch(moment) < at for moment in crank.discharged_at)


def _cause(crank: CrankBattery | None, volts: Array) -> Cause:
    if crank is None or np.isnan(volts).any():
        return ("reading", "crank battery volts")
    return ("equipment", crank.code)


def _say(
    facts: Facts,
    passage: Passage,
    crank: CrankBattery | None,
    outcome: Outcomes,
    volts: Array,
    limits: Limits,
    index: int,
) -> Words:
    enough = limits.crank_rested_ok_v * _scale(crank)
    known = f"{number(volts[index], 2)} V rested, {number(enough, 2)} V wanted"
    evidence = (("equipment", crank.code),) if crank is not None else ()
    if outcome[index] == Outcome.PASSED:
        if np.isnan(volts[index]):
            return Words(title=TITLE, sentence="A cold start on the crank battery alone went well.", evidence=evidence)
        left = margin(volts[index] - enough, "V", 2)
        return Words(title=TITLE, sentence=f"Crank battery: {known}.", margin=left, evidence=evidence)
    missing = np.isnan(volts[index])
    return Words(
        title="Crank battery not known" if missing else "Crank battery low",
        sentence=f"{_missing(passage, crank, index)}." if missing else f"Crank battery: {known}.",
        do="Let it rest 4 h and read the volts." if missing else "Charge it, and load it to see that it holds.",
        by=by_departure(passage, index),
        who=hand_for(facts, Skill.ENGINE),
        minutes=READ_MINUTES,
        sums=(("Rested volts, wanted " + f"{number(enough, 2)} V", f"{number(volts[index], 2)} V"),),
        evidence=evidence,
        remedies=tuple(_remedies(crank, enough)),
    )


def _missing(passage: Passage, crank: CrankBattery | None, index: int) -> str:
    """Why no reading stands."""
    if crank is None:
        return "Nothing is known of the crank battery"
    rested, taken = crank.rested, epoch(crank.rested.at)
    if np.isnan(taken) or np.isnan(rested.value):
        return "Nobody has read the volts of the crank battery"
    if not (rested.on_charge is False and rested.rested_s >= RESTED_S):
        return "The volts of the crank battery were not read at rest for 4 h"
    if not _undischarged_since(crank, taken):
        return "The crank battery was drained after its volts were read"
    return f"The volts of the crank battery will be {age_words(passage.departure_at[index] - taken)} old, they keep 7 d"


def _remedies(crank: CrankBattery | None, enough: float) -> Iterator[Remedy]:
    yield Remedy("test", "Start the engine by the second way and log it", _second_proved, START_MINUTES)
    if crank is not None and np.isfinite(enough):
        text = f"Read the rested volts: enough if they are {number(enough, 2)} V or more"
        yield Remedy("reading", text, partial(_read, enough), READ_MINUTES)


def _second_proved(facts: Facts) -> Facts:
    log = replace(facts.boat.log, second_start_proved_at=facts.judged_at)
    return changed(facts, boat=replace(facts.boat, log=log))


def _read(enough: float, facts: Facts) -> Facts:
    if facts.boat.crank is None:
        return facts
    rested = RestedVolts(value=enough, at=facts.judged_at, rested_s=RESTED_S, on_charge=False)
    drained = tuple(moment for moment in facts.boat.crank.discharged_at if moment < facts.judged_at)
    crank = replace(facts.boat.crank, rested=rested, discharged_at=drained)
    return changed(facts, boat=replace(facts.boat, crank=crank))


RULE = Rule(
    id=ID,
    title=TITLE,
    subject=Subject.BOAT,
    formula="rested volts per 12 V: 12.50 or more passes, 12.20 or more is a condition, less is no-go; a reading older "
    "than 7 days at departure, on charge, rested less than 4 h or older than a known discharge is unknown; a cold start "
    "on it alone within 2 h at 9.6 V or more passes; nothing is worse than a condition on the day a second way to start "
    "was proved",
    source="[lead-acid] [practice]",
    worst=Outcome.NO_GO,
    judge=crank_battery,
    limits=("crank_rested_ok_v", "crank_rested_no_go_v"),
    waive={Outcome.NO_GO: Waive.ONE_LEG, Outcome.CONDITION: Waive.ONE_LEG},
)
