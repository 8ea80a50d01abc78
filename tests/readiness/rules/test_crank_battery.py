"""Crank battery ready."""

from datetime import datetime, timedelta
from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from readiness.rules.crank_battery import RULE
from readiness.rules.facts import Facts
from readiness.rules.judgement import Outcome
from readiness.rules.record import moment
from readiness.rules.words_of_trade import Kind
from tests.factories.changed_boat import (
    DEPARTURE_AT,
    EXAMPLE,
    NAN,
    SOUND,
    answer,
    boat,
    days_before,
    doubtful,
    harbour,
    item,
    limited,
    out,
    worst,
)
from tests.factories.worked_example import JUDGED_AT
from vessel.units import HOUR

FLAT = 20.0


def crank(facts: Facts = SOUND, **parts: Any) -> Facts:
    """The facts with parts of the crank battery replaced."""
    assert facts.boat.crank is not None
    return boat(facts, crank=replace(facts.boat.crank, **parts))


def rested(value: float, facts: Facts = SOUND, **parts: Any) -> Facts:
    """The facts with another reading of rested volts."""
    assert facts.boat.crank is not None
    return crank(facts, rested=replace(facts.boat.crank.rested, value=value, **parts))


def started(hours: float, facts: Facts | None = None, **parts: Any) -> Facts:
    """A flat battery that started the cold engine so long before departure."""
    flat = rested(FLAT) if facts is None else facts
    assert flat.boat.crank is not None
    at = moment(DEPARTURE_AT - hours * HOUR)
    return crank(flat, cold_start=replace(flat.boat.crank.cold_start, at=at, **parts))


def second(facts: Facts, at: datetime | None) -> Facts:
    """A second way to start proved at a time."""
    return boat(facts, log=replace(facts.boat.log, second_start_proved_at=at))


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        (EXAMPLE, Outcome.PASSED),
        (rested(25.00), Outcome.PASSED),
        (rested(24.99), Outcome.CONDITION),
        (rested(24.40), Outcome.CONDITION),
        (rested(24.39), Outcome.NO_GO),
        (crank(rested(12.50), nominal_v=12.0), Outcome.PASSED),
        (crank(rested(12.49), nominal_v=12.0), Outcome.CONDITION),
        (crank(rested(12.20), nominal_v=12.0), Outcome.CONDITION),
        (crank(rested(12.19), nominal_v=12.0), Outcome.NO_GO),
        (crank(nominal_v=NAN), Outcome.UNKNOWN),
        (crank(nominal_v=0.0), Outcome.UNKNOWN),
        (rested(NAN), Outcome.UNKNOWN),
        (limited(rested(24.99), crank_rested_ok_v=12.3), Outcome.PASSED),
        (boat(SOUND, crank=None), Outcome.UNKNOWN),
        (harbour(rested(24.39)), Outcome.NO_GO),
    ],
)
def test_rested_volts_decide(facts: Facts, expected: Outcome) -> None:
    assert answer(RULE, facts) == expected


@pytest.mark.parametrize(
    ("parts", "expected"),
    [
        ({"at": moment(DEPARTURE_AT - 7 * 24 * HOUR)}, Outcome.PASSED),
        ({"at": moment(DEPARTURE_AT - 7 * 24 * HOUR - 1)}, Outcome.UNKNOWN),
        ({"at": None}, Outcome.UNKNOWN),
        ({"at": JUDGED_AT + timedelta(minutes=1)}, Outcome.UNKNOWN),
        ({"rested_s": 4 * HOUR}, Outcome.PASSED),
        ({"rested_s": 4 * HOUR - 1}, Outcome.UNKNOWN),
        ({"rested_s": NAN}, Outcome.UNKNOWN),
        ({"on_charge": True}, Outcome.UNKNOWN),
        ({"on_charge": None}, Outcome.UNKNOWN),
    ],
)
def test_a_reading_nobody_can_rely_on_is_unknown(parts: dict[str, Any], expected: Outcome) -> None:
    assert answer(RULE, rested(25.5, **parts)) == expected


@pytest.mark.parametrize(
    ("days_ago", "expected"), [(0.9, Outcome.UNKNOWN), (1.0, Outcome.UNKNOWN), (1.1, Outcome.PASSED)]
)
def test_a_reading_older_than_a_known_discharge_is_unknown(days_ago: float, expected: Outcome) -> None:
    assert answer(RULE, crank(discharged_at=(days_before(days_ago),))) == expected


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        (started(2.0), Outcome.PASSED),
        (started(2.01), Outcome.NO_GO),
        (started(1.5, lowest_v=19.2), Outcome.PASSED),
        (started(1.5, lowest_v=19.1), Outcome.NO_GO),
        (started(1.5, lowest_v=NAN), Outcome.NO_GO),
        (started(1.5, alone=False), Outcome.NO_GO),
        (started(1.5, alone=None), Outcome.NO_GO),
        (started(1.0), Outcome.NO_GO),  # dated ahead of the judging
        (started(1.6, crank(rested(FLAT), discharged_at=(JUDGED_AT,))), Outcome.UNKNOWN),
        (started(1.6, rested(NAN)), Outcome.PASSED),
    ],
)
def test_a_cold_start_on_it_alone_just_now_counts_as_good(facts: Facts, expected: Outcome) -> None:
    assert answer(RULE, facts) == expected


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        (second(rested(FLAT), JUDGED_AT), Outcome.CONDITION),
        (second(rested(NAN), JUDGED_AT), Outcome.CONDITION),
        (second(boat(SOUND, crank=None), JUDGED_AT), Outcome.CONDITION),
        (second(SOUND, JUDGED_AT), Outcome.PASSED),
        (second(rested(FLAT), datetime.fromisoformat("2027-05-14T23:00Z")), Outcome.CONDITION),  # 00:00 at home
        (second(rested(FLAT), datetime.fromisoformat("2027-05-14T22:59Z")), Outcome.NO_GO),  # the day before
        (second(rested(FLAT), JUDGED_AT + timedelta(minutes=1)), Outcome.NO_GO),
        (second(rested(FLAT), None), Outcome.NO_GO),
        (out(second(rested(FLAT), JUDGED_AT), "EL-03"), Outcome.NO_GO),  # lost again since
        (doubtful(second(rested(FLAT), JUDGED_AT), "EL-03"), Outcome.NO_GO),
        (item(second(rested(FLAT), JUDGED_AT), "EL-03", kind=Kind.OTHER), Outcome.CONDITION),
    ],
)
def test_a_second_way_to_start_proved_today_leaves_a_condition_at_most(facts: Facts, expected: Outcome) -> None:
    assert answer(RULE, facts) == expected


def test_a_home_zone_that_is_no_zone_gives_no_today() -> None:
    facts = second(rested(FLAT), JUDGED_AT)

    assert answer(RULE, boat(facts, vessel=replace(facts.boat.vessel, home_zone=""))) == Outcome.NO_GO


def test_the_sentences_say_what_is_wrong() -> None:
    low, none = worst(RULE, rested(24.5)), worst(RULE, boat(SOUND, crank=None))
    drained = worst(RULE, crank(discharged_at=(JUDGED_AT,)))

    assert (low.cause, low.say(0).sentence) == (
        ("equipment", "EL-01"),
        "Crank battery: 24.50 V rested, 25.00 V wanted.",
    )
    assert none.cause == ("reading", "crank battery volts")
    assert none.say(0).sentence == "Nothing is known of the crank battery."
    assert drained.say(0).sentence == "The crank battery was drained after its volts were read."
    assert worst(RULE, rested(25.3)).say(0).margin == "0.30 V"


@pytest.mark.parametrize("facts", [rested(24.0), rested(NAN), crank(discharged_at=(days_before(0.5),))])
def test_each_remedy_lifts_the_finding_as_far_as_it_says(facts: Facts) -> None:
    second_way, reading = worst(RULE, facts).say(0).remedies

    assert answer(RULE, second_way.change(facts)) == Outcome.CONDITION
    assert answer(RULE, reading.change(facts)) == Outcome.PASSED
    assert reading.text == "Read the rested volts: enough if they are 25.00 V or more"


def test_the_reading_never_ripens() -> None:
    found = worst(RULE, rested(NAN))

    assert not np.any(found.ripens)
