"""Distress beacon."""

from datetime import date
from typing import Any

import pytest
from msgspec.structs import replace

from readiness.rules.beacon import RULE
from readiness.rules.facts import Facts
from readiness.rules.judgement import Outcome, Waive
from readiness.rules.passage import Passage
from readiness.rules.record import moment
from tests.factories.changed_boat import (
    EXAMPLE,
    LATE_AT,
    NAN,
    PASSAGE,
    SOUND,
    answer,
    arriving,
    boat,
    degraded,
    doubtful,
    harbour,
    judge,
    meeting,
    out,
    stale,
    untimed,
    worst,
)

NEAR = meeting(refuge_nmi=3.0, sun_deg=-6.0)
AWAY = meeting(refuge_nmi=12.0, sun_deg=30.0)
FAR = meeting(refuge_nmi=12.01, sun_deg=30.0)
EPIRB = SOUND.boat.beacons[0]


def beacons(*held: Any) -> Facts:
    """The facts with these beacons."""
    return boat(SOUND, beacons=held)


def epirb(**parts: Any) -> Facts:
    """The facts with something else about the one beacon."""
    return beacons(replace(EPIRB, **parts))


NONE = beacons()
OVERDUE = replace(EPIRB, registered_on=date(2025, 5, 14))


@pytest.mark.parametrize(
    ("facts", "near", "away", "far"),
    [
        (SOUND, Outcome.PASSED, Outcome.PASSED, Outcome.PASSED),
        (NONE, Outcome.ADVICE, Outcome.CONDITION, Outcome.NO_GO),
        (epirb(battery_through=date(2027, 5, 15)), Outcome.PASSED, Outcome.PASSED, Outcome.PASSED),
        (epirb(battery_through=date(2027, 5, 14)), Outcome.ADVICE, Outcome.CONDITION, Outcome.NO_GO),
        (epirb(battery_through=None), Outcome.ADVICE, Outcome.UNKNOWN, Outcome.UNKNOWN),
        (epirb(registered_on=date(2025, 5, 15)), Outcome.PASSED, Outcome.PASSED, Outcome.PASSED),
        (beacons(OVERDUE), Outcome.ADVICE, Outcome.CONDITION, Outcome.CONDITION),
        (epirb(registered_on=None), Outcome.ADVICE, Outcome.UNKNOWN, Outcome.UNKNOWN),
        (epirb(registered_to_owner=False), Outcome.ADVICE, Outcome.CONDITION, Outcome.CONDITION),
        (epirb(registered_to_owner=None), Outcome.ADVICE, Outcome.UNKNOWN, Outcome.UNKNOWN),
        (epirb(code="XX-1"), Outcome.ADVICE, Outcome.UNKNOWN, Outcome.UNKNOWN),  # nobody lists it
        (out(SOUND, "RD-04"), Outcome.ADVICE, Outcome.CONDITION, Outcome.NO_GO),
        (doubtful(SOUND, "RD-04"), Outcome.ADVICE, Outcome.UNKNOWN, Outcome.UNKNOWN),
        (degraded(stale(SOUND, "RD-04"), "RD-04"), Outcome.PASSED, Outcome.PASSED, Outcome.PASSED),
        (beacons(EPIRB, OVERDUE), Outcome.PASSED, Outcome.PASSED, Outcome.PASSED),  # one good one is enough
        (boat(SOUND, defects=None), Outcome.ADVICE, Outcome.UNKNOWN, Outcome.UNKNOWN),
    ],
)
def test_the_best_beacon_is_judged_by_the_distance_from_refuge(
    facts: Facts, near: Outcome, away: Outcome, far: Outcome
) -> None:
    assert [answer(RULE, facts, passage) for passage in (NEAR, AWAY, FAR)] == [near, away, far]


@pytest.mark.parametrize(
    ("passage", "expected"),
    [
        (meeting(NEAR, sun_deg=-6.1), Outcome.CONDITION),
        (meeting(NEAR, refuge_nmi=3.1), Outcome.CONDITION),
        (meeting(untimed(), refuge_nmi=NAN, sun_deg=NAN), Outcome.UNKNOWN),
        (meeting(FAR, refuge_nmi=float("inf")), Outcome.NO_GO),
    ],
)
def test_without_a_beacon_night_and_distance_decide(passage: Passage, expected: Outcome) -> None:
    assert answer(RULE, NONE, passage) == expected


def test_the_battery_must_last_to_late_arrival_in_the_home_zone() -> None:
    facts = epirb(battery_through=date(2027, 5, 15))
    midnight = moment(LATE_AT).replace(hour=23, minute=0, second=0).timestamp()

    assert answer(RULE, facts, arriving(PASSAGE, midnight - 1)) == Outcome.PASSED
    assert answer(RULE, facts, arriving(PASSAGE, midnight)) == Outcome.NO_GO


def test_the_sentence_gives_the_distance() -> None:
    assert worst(RULE, NONE, FAR).say(0).sentence == "No beacon is carried, and a refuge is up to 12.0 nmi off."
    assert worst(RULE, beacons(OVERDUE), AWAY).say(0).sentence == (
        "The beacon is registered to another owner or more than 24 months ago, and a refuge is up to 12.0 nmi off."
    )


def test_registering_it_lifts_the_condition() -> None:
    (remedy,) = worst(RULE, beacons(OVERDUE), AWAY).say(0).remedies

    assert answer(RULE, remedy.change(beacons(OVERDUE)), AWAY) == Outcome.PASSED


def test_a_harbour_move_does_not_ask_and_a_no_go_may_be_waived_for_one_leg() -> None:
    assert [one.applies for one in judge(RULE, harbour(NONE))] == [False]
    assert RULE.waive[Outcome.NO_GO] == Waive.ONE_LEG
    assert answer(RULE, EXAMPLE) == Outcome.PASSED
