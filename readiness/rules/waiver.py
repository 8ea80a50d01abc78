"""Waivers and met conditions, laid over the judgements afterwards by one pure function.

A waiver eases a finding to a condition that is counted in the headline, as far as its rule lets it be waived; what
is unknown is never waived. A condition somebody has met passes, at the departure it was met for.
"""

from collections.abc import Sequence
from datetime import timedelta

import numpy as np

from readiness.rules.facts import Facts, Met, Waiver
from readiness.rules.judgement import Judgement, Outcome, Outcomes, Waive
from readiness.rules.record import Array
from readiness.rules.register import RULE_OF
from vessel.units import MINUTE, Flags

LONGEST = timedelta(days=90)
SHIFT_S = 30 * MINUTE  # a waiver for one leg lapses when she leaves this much earlier or later
MET_SHIFT_S = 15 * MINUTE  # a condition is met for this departure, a quarter either way
LONGER = 0.10  # or when the leg's distance changes by this share


def laid_over(
    facts: Facts, judgements: Sequence[Judgement], outcomes: Outcomes, departure_at: Array, distance_m: float
) -> Outcomes:
    """The outcomes as they stand with waivers and met conditions, [judgement, departure]; the input is kept."""
    standing = outcomes.copy()
    for row, judgement in enumerate(judgements):
        for met in facts.met:
            if (met.rule, met.cause) == (judgement.rule, cause_text(judgement)):
                done = (standing[row] == Outcome.CONDITION) & _near(departure_at, met, MET_SHIFT_S)
                standing[row, done] = Outcome.PASSED
        for waiver in facts.waivers:
            if (waiver.rule, waiver.cause) == (judgement.rule, cause_text(judgement)):
                waived = holds(facts, waiver, judgement, departure_at, distance_m) & (standing[row] == Outcome.NO_GO)
                standing[row, waived] = Outcome.CONDITION
    return standing


def holds(facts: Facts, waiver: Waiver, judgement: Judgement, departure_at: Array, distance_m: float) -> Flags:
    """Where a waiver stands, [departure]: its rule allows it, and neither value, date, leg nor crew has lapsed it."""
    outcome = np.broadcast_to(judgement.outcome, departure_at.shape)
    allowed = np.zeros(departure_at.shape, bool)
    for worse, waive in RULE_OF[judgement.rule].waive.items():
        if waive == Waive.ONE_LEG:
            allowed |= (outcome == worse) & _same_leg(facts, waiver, departure_at, distance_m)
        elif waive == Waive.UNTIL_DATE:
            allowed |= (outcome == worse) & _before_its_end(facts, waiver, departure_at)
    return np.asarray(
        allowed & ~np.broadcast_to(judgement.never_waived, outcome.shape) & ~_worse(waiver, judgement, outcome)
    )


def cause_text(judgement: Judgement) -> str:
    """A cause as one word for records: "equipment:ST-05"."""
    return ":".join(judgement.cause)


def _near(departure_at: Array, record: Waiver | Met, shift_s: float) -> Flags:
    return np.asarray(np.abs(departure_at - record.departure_at.timestamp()) <= shift_s)


def _same_leg(facts: Facts, waiver: Waiver, departure_at: Array, distance_m: float) -> Flags:
    crew = sorted(person.name for person in facts.people if person.confirmed is not False)
    same = crew == sorted(waiver.crew) and abs(distance_m - waiver.leg_distance_m) <= LONGER * waiver.leg_distance_m
    return _near(departure_at, waiver, SHIFT_S) & same


def _before_its_end(facts: Facts, waiver: Waiver, departure_at: Array) -> Flags:
    """Until its date, 90 days or haul-out, whichever is first; a haul-out nobody has dated may be any day."""
    haul_out = facts.boat.vessel.haul_out_on
    if waiver.until is None or haul_out is None:
        return np.zeros(departure_at.shape, bool)
    hauled = (haul_out - waiver.at.date()).total_seconds() + waiver.at.timestamp()
    ends = min(waiver.until.timestamp(), (waiver.at + LONGEST).timestamp(), hauled)
    return np.asarray(departure_at < ends)


def _worse(waiver: Waiver, judgement: Judgement, outcome: Outcomes) -> Flags:
    """Whether the value has passed the one at which the waiver lapses; a value not known, then or now, has."""
    value = np.broadcast_to(judgement.demand, outcome.shape)
    if np.isnan(waiver.value) or np.isnan(waiver.lapses_at_value):
        return np.ones(outcome.shape, bool)
    rising = waiver.lapses_at_value >= waiver.value
    within = value <= waiver.lapses_at_value if rising else value >= waiver.lapses_at_value
    return np.asarray(~within)
