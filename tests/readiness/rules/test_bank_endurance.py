"""Ship's bank without charging."""

from typing import Any

import pytest
from msgspec.structs import replace

from readiness.rules.bank_endurance import RULE
from readiness.rules.facts import Facts
from readiness.rules.judgement import Outcome
from readiness.rules.words_of_trade import Chemistry
from tests.factories.changed_boat import (
    DEPARTURE_AT,
    EXAMPLE,
    LATE_AT,
    NAN,
    PASSAGE,
    SOUND,
    answer,
    arriving,
    boat,
    days_before,
    degraded,
    doubtful,
    harbour,
    judge,
    limited,
    out,
    stale,
    untimed,
    worst,
)
from vessel.units import HOUR

LEG_H = (LATE_AT - DEPARTURE_AT) / HOUR


def bank(facts: Facts = SOUND, **parts: Any) -> Facts:
    """The facts with parts of the bank replaced."""
    assert facts.boat.bank is not None
    return boat(facts, bank=replace(facts.boat.bank, **parts))


def charge(value: float, facts: Facts = SOUND, **parts: Any) -> Facts:
    """The facts with another state of charge."""
    assert facts.boat.bank is not None
    return bank(facts, state_of_charge=replace(facts.boat.bank.state_of_charge, value=value, **parts))


def lasting(ratio: float, facts: Facts = SOUND) -> Facts:
    """A full bank of the size that lasts this share of the leg at 4.5 A down to one half."""
    return charge(1.0, bank(facts, capacity_ah=ratio * LEG_H * 4.5 / 0.5))


def loads(facts: Facts, **parts: Any) -> Facts:
    """The facts with the first load replaced."""
    first, *rest = facts.boat.loads
    return boat(facts, loads=(replace(first, **parts), *rest))


@pytest.mark.parametrize(
    ("ratio", "charging", "not_sure", "lost", "unknown"),
    [
        (1.001, Outcome.PASSED, Outcome.PASSED, Outcome.PASSED, Outcome.PASSED),
        (0.999, Outcome.ADVICE, Outcome.CONDITION, Outcome.NO_GO, Outcome.UNKNOWN),
        (0.501, Outcome.ADVICE, Outcome.CONDITION, Outcome.NO_GO, Outcome.UNKNOWN),
        (0.499, Outcome.CONDITION, Outcome.NO_GO, Outcome.NO_GO, Outcome.UNKNOWN),
    ],
)
def test_endurance_against_the_leg_with_the_state_of_charging(
    ratio: float, charging: Outcome, not_sure: Outcome, lost: Outcome, unknown: Outcome
) -> None:
    facts = lasting(ratio)

    assert answer(RULE, facts) == charging
    assert answer(RULE, degraded(facts, "EL-06")) == not_sure
    assert answer(RULE, stale(facts, "EL-06")) == not_sure
    assert answer(RULE, out(facts, "EL-06")) == lost
    assert answer(RULE, doubtful(facts, "EL-06")) == unknown


def test_exactly_on_the_limits_the_better_stands() -> None:
    passage = arriving(PASSAGE, DEPARTURE_AT + 8 * HOUR)
    whole, half = (charge(1.0, bank(capacity_ah=ampere_hours)) for ampere_hours in (72.0, 36.0))  # 8 h and 4 h at 4.5 A

    assert answer(RULE, whole, passage) == Outcome.PASSED
    assert answer(RULE, half, passage) == Outcome.ADVICE
    assert answer(RULE, whole, arriving(PASSAGE, DEPARTURE_AT + 8 * HOUR + 1)) == Outcome.ADVICE
    assert answer(RULE, half, arriving(PASSAGE, DEPARTURE_AT + 8 * HOUR + 1)) == Outcome.CONDITION


@pytest.mark.parametrize(
    "facts",
    [
        boat(SOUND, bank=None),
        bank(capacity_ah=NAN),
        bank(capacity_ah=0.0),
        charge(NAN),
        charge(90.0),  # per cent typed for a share
        charge(-0.1),
        charge(0.9, at=None),
        charge(0.9, at=days_before(6.95)),  # older than 7 days by departure
        charge(0.9, keeps_s=NAN),
        boat(SOUND, loads=()),
        loads(SOUND, running_a=NAN),
        loads(SOUND, running_a=-2.0),
    ],
)
def test_what_is_not_known_or_cannot_be_right_is_unknown(facts: Facts) -> None:
    found = worst(RULE, facts)

    assert found.outcome.tolist() == [Outcome.UNKNOWN]
    assert found.cause == ("reading", "ship's bank")


def test_a_load_nobody_called_essential_or_not_counts_as_essential() -> None:
    facts = loads(lasting(1.05), essential=False)

    assert answer(RULE, facts) == Outcome.PASSED
    assert float(worst(RULE, loads(facts, essential=None)).demand[0]) < float(worst(RULE, facts).demand[0])  # type: ignore[index]


@pytest.mark.parametrize(
    ("chemistry", "expected"),
    [(Chemistry.LITHIUM, Outcome.PASSED), (Chemistry.LEAD_ACID, Outcome.ADVICE), (None, Outcome.ADVICE)],
)
def test_the_floor_is_that_of_lead_acid_unless_it_is_known_to_be_lithium(
    chemistry: Chemistry | None, expected: Outcome
) -> None:
    assert answer(RULE, bank(lasting(0.9), chemistry=chemistry)) == expected


def test_the_skipper_may_set_the_floor_but_not_below_the_least_for_lead_acid() -> None:
    facts = lasting(0.9)

    assert answer(RULE, limited(facts, bank_floor=0.30)) == Outcome.PASSED
    assert worst(RULE, limited(facts, bank_floor=0.15)).demand == worst(RULE, limited(facts, bank_floor=0.30)).demand


def test_the_sums_of_the_worked_example_can_be_checked_by_hand() -> None:
    (found,) = judge(RULE, EXAMPLE)
    words = found.say(0)

    assert found.outcome.tolist() == [Outcome.PASSED]
    assert words.sums == (("230 Ah × (0.90 − 0.50) / 4.5 A", "20.4 h"), ("Late figure of the leg", "8.1 h"))
    assert words.margin == "12.3 h"


def test_charging_as_far_as_the_remedy_says_lifts_the_finding() -> None:
    facts = charge(0.6)
    words = worst(RULE, facts).say(0)

    assert words.sentence == "The bank lasts 5.1 h without charging, the leg 8.1 h at most."
    assert words.remedies[0].text == "Charge and read it: enough if the bank is at 66 % or more"
    assert answer(RULE, words.remedies[0].change(facts)) == Outcome.PASSED


def test_mending_the_alternator_lifts_a_no_go_to_advice() -> None:
    facts = out(lasting(0.9), "EL-06")
    mend = worst(RULE, facts).say(0).remedies[-1]

    assert answer(RULE, mend.change(facts)) == Outcome.ADVICE


def test_a_late_arrival_that_is_not_known_is_one_finding_and_a_harbour_move_does_not_ask() -> None:
    found = {one.cause: int(one.outcome[0]) for one in judge(RULE, SOUND, untimed())}

    assert found == {("late arrival", ""): Outcome.UNKNOWN, ("equipment", "EL-05"): Outcome.PASSED}
    assert [one.applies for one in judge(RULE, harbour(charge(0.1)))] == [False]
