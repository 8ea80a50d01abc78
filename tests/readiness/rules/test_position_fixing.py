"""Knowing where she is."""

import pytest

from readiness.rules.facts import Facts
from readiness.rules.judgement import Outcome
from readiness.rules.passage import Passage
from readiness.rules.position_fixing import RULE
from tests.factories.changed_boat import (
    EXAMPLE,
    NAN,
    SOUND,
    answer,
    degraded,
    doubtful,
    harbour,
    judge,
    meeting,
    out,
    stale,
    worst,
)
from vessel.units import NAUTICAL_MILE

EASY = meeting(refuge_nmi=3.0, sun_deg=-6.0, visibility_m=2 * NAUTICAL_MILE)
ONE_LEFT = out(SOUND, "NV-02", "NV-03")


@pytest.mark.parametrize(
    ("facts", "easy", "hard"),
    [
        (EXAMPLE, Outcome.PASSED, Outcome.PASSED),
        (out(SOUND, "NV-04"), Outcome.PASSED, Outcome.PASSED),
        (out(SOUND, "EL-08"), Outcome.PASSED, Outcome.PASSED),  # the fixed display goes with its converter
        (out(SOUND, "NV-03", "NV-04"), Outcome.CONDITION, Outcome.NO_GO),  # only the fixed display is left
        (ONE_LEFT, Outcome.CONDITION, Outcome.NO_GO),
        (degraded(ONE_LEFT, "NV-04"), Outcome.CONDITION, Outcome.NO_GO),
        (out(SOUND, "NV-02", "NV-03", "NV-04"), Outcome.NO_GO, Outcome.NO_GO),
        (stale(out(SOUND, "NV-02"), "NV-03"), Outcome.PASSED, Outcome.PASSED),
        (doubtful(out(SOUND, "NV-02"), "NV-03"), Outcome.UNKNOWN, Outcome.UNKNOWN),
        (doubtful(ONE_LEFT, "NV-04"), Outcome.UNKNOWN, Outcome.NO_GO),
        (out(SOUND, "NV-01"), Outcome.PASSED, Outcome.PASSED),  # the compass is no means of this count
    ],
)
def test_two_ways_and_one_off_the_supply_are_wanted(facts: Facts, easy: Outcome, hard: Outcome) -> None:
    assert answer(RULE, facts, EASY) == easy
    assert answer(RULE, facts, meeting(EASY, sun_deg=-7.0)) == hard


@pytest.mark.parametrize(
    ("passage", "expected"),
    [
        (EASY, Outcome.CONDITION),
        (meeting(EASY, refuge_nmi=3.1), Outcome.NO_GO),
        (meeting(EASY, visibility_m=2 * NAUTICAL_MILE - 1), Outcome.NO_GO),
        (meeting(EASY, visibility_m=NAN), Outcome.UNKNOWN),
        (meeting(EASY, visibility_m=NAN, refuge_nmi=4.0), Outcome.NO_GO),  # no-go whatever the visibility
    ],
)
def test_one_way_is_a_condition_only_by_day_in_clear_air_and_near(passage: Passage, expected: Outcome) -> None:
    assert answer(RULE, ONE_LEFT, passage) == expected


@pytest.mark.parametrize(("reached", "ripens"), [(False, True), (True, False)])
def test_visibility_that_is_missing_is_the_forecasts_finding(*, reached: bool, ripens: bool) -> None:
    found = {one.cause: one for one in judge(RULE, ONE_LEFT, meeting(EASY, visibility_m=NAN, reached=reached))}
    missing = found["forecast", ""]

    assert missing.outcome.tolist() == [Outcome.UNKNOWN]
    assert missing.ripens.tolist() == [ripens]  # type: ignore[union-attr]
    assert "visibility" in missing.say(0).sentence


def test_visibility_does_not_matter_while_two_ways_work() -> None:
    assert answer(RULE, EXAMPLE, meeting(EASY, visibility_m=NAN)) == Outcome.PASSED


def test_bringing_one_back_lifts_the_finding_and_a_harbour_move_does_not_ask() -> None:
    changed = [remedy.change(ONE_LEFT) for remedy in worst(RULE, ONE_LEFT).say(0).remedies]

    assert [answer(RULE, one) for one in changed] == [Outcome.PASSED, Outcome.PASSED]
    assert [one.applies for one in judge(RULE, harbour(ONE_LEFT))] == [False]
