"""On the last means."""

import pytest

from readiness.rules.facts import Facts
from readiness.rules.judgement import Outcome, Waive
from readiness.rules.last_means import RULE, last_means_counted
from readiness.rules.passage import Passage
from tests.factories.changed_boat import (
    EXAMPLE,
    NAN,
    PASSAGE,
    SOUND,
    answer,
    boat,
    degraded,
    doubtful,
    function,
    harbour,
    item,
    judge,
    meeting,
    out,
    stale,
    untimed,
    worst,
)

EASY = meeting(refuge_nmi=3.0, sun_deg=-6.0, sea_c=15.0)
HARD = meeting(EASY, sun_deg=-6.1)


@pytest.mark.parametrize(
    ("facts", "number"),
    [
        (SOUND, 0),
        (EXAMPLE, 0),
        (out(SOUND, "EN-03"), 1),
        (out(SOUND, "EN-03", "EL-03"), 2),
        (out(SOUND, "EN-03", "EL-03", "FI-02"), 3),
        (degraded(SOUND, "EN-03"), 0),  # degraded counts as working
        (out(SOUND, "EL-05"), 1),  # the shared supply counts once for all trees that hang on it
        (out(SOUND, "EL-05", "EN-03"), 2),
        (out(SOUND, "NV-02"), 1),  # two of three ways left where two are needed
        (out(SOUND, "NV-04"), 1),  # both groups of one tree count once
        (out(SOUND, "EN-01"), 0),  # single by design
        (out(SOUND, "LT-08"), 0),  # the AIS is not carried, so there never was a spare
        (item(out(SOUND, "LT-08"), "NV-08", carried=True), 1),
        (item(SOUND, "EN-04", carried=False), 0),
        (out(SOUND, "LS-06"), 1),
        (out(SOUND, "VE-02"), 0),  # a computed condition is no member
        (out(SOUND, "RD-07"), 0),  # seen in distress is left out
        (out(SOUND, "RD-04", "RD-05"), 1),
        (boat(SOUND, functions=()), 0),
        (function(SOUND, "drive", "EN-01"), 0),
    ],
)
def test_functions_without_a_reserve_are_counted(facts: Facts, number: int) -> None:
    assert last_means_counted(facts, PASSAGE).number.tolist() == [number]


@pytest.mark.parametrize(
    ("facts", "easy", "hard"),
    [
        (SOUND, Outcome.PASSED, Outcome.PASSED),
        (out(SOUND, "EN-03"), Outcome.ADVICE, Outcome.CONDITION),
        (out(SOUND, "EN-03", "EL-03"), Outcome.CONDITION, Outcome.CONDITION),
        (out(SOUND, "EN-03", "EL-03", "FI-02"), Outcome.NO_GO, Outcome.NO_GO),
        (doubtful(SOUND, "EN-03"), Outcome.ADVICE, Outcome.UNKNOWN),
        (doubtful(out(SOUND, "EL-03", "FI-02"), "EN-03"), Outcome.UNKNOWN, Outcome.UNKNOWN),
        (stale(SOUND, "EN-03"), Outcome.PASSED, Outcome.PASSED),  # the answer is the test it owes
        (stale(out(SOUND, "EL-03", "FI-02"), "EN-03"), Outcome.CONDITION, Outcome.CONDITION),
        (harbour(out(SOUND, "EN-03", "EL-03", "FI-02")), Outcome.PASSED, Outcome.PASSED),
    ],
)
def test_the_number_and_the_circumstances_decide(facts: Facts, easy: Outcome, hard: Outcome) -> None:
    assert answer(RULE, facts, EASY) == easy
    assert answer(RULE, facts, HARD) == hard


@pytest.mark.parametrize(
    ("passage", "expected"),
    [
        (EASY, Outcome.ADVICE),
        (meeting(EASY, refuge_nmi=3.1), Outcome.CONDITION),
        (meeting(EASY, sea_c=14.9), Outcome.CONDITION),
        (meeting(EASY, sea_c=NAN), Outcome.UNKNOWN),
        (meeting(EASY, sea_c=NAN, refuge_nmi=3.1), Outcome.CONDITION),
        (untimed(EASY), Outcome.UNKNOWN),
    ],
)
def test_one_without_reserve_is_a_condition_by_night_far_or_cold(passage: Passage, expected: Outcome) -> None:
    assert answer(RULE, out(SOUND, "EN-03"), passage) == expected


def test_sea_temperature_does_not_matter_while_every_reserve_is_there() -> None:
    assert answer(RULE, SOUND, meeting(EASY, sea_c=NAN)) == Outcome.PASSED


def test_the_dinghy_is_a_reserve_only_near_a_refuge() -> None:
    facts = out(SOUND, "LS-03")

    near, away = (last_means_counted(facts, meeting(HARD, refuge_nmi=nmi)).number.tolist() for nmi in (3.0, 3.1))

    assert (near, away) == ([1], [0])


def test_a_refuge_distance_that_is_not_known_counts_as_the_worse() -> None:
    facts = out(SOUND, "LS-03")

    assert last_means_counted(facts, meeting(untimed(HARD), refuge_nmi=NAN)).number.tolist() == [1]


def test_the_sentence_names_the_functions_and_the_quickest_way_back() -> None:
    facts = out(SOUND, "EN-03", "EL-03")
    (found,) = judge(RULE, facts, EASY)
    words = found.say(0)

    assert words.title == "On the last means: Drive and Start and start again"
    assert words.sentence == (
        "No reserve left: Drive and Start and start again. "
        "Fault of EN-03 (DEF-100, EN-03); Fault of EL-03 (DEF-101, EL-03)."
    )
    assert words.sums == (("Functions without a reserve", "2"),)
    assert {answer(RULE, remedy.change(facts), EASY) for remedy in words.remedies} == {Outcome.ADVICE}


def test_a_no_go_may_be_waived_for_one_leg() -> None:
    assert RULE.waive[Outcome.NO_GO] == Waive.ONE_LEG
    assert worst(RULE, SOUND).say(0).sentence == "Every function that was built with a spare still has it."
