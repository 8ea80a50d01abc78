"""Ways of getting water out."""

import pytest

from readiness.rules.dewatering import RULE, dewatering_counted
from readiness.rules.facts import Facts
from readiness.rules.judgement import Outcome, Waive
from readiness.rules.passage import Passage
from readiness.rules.words_of_trade import JobStatus
from tests.factories.changed_boat import (
    EASY,
    EXAMPLE,
    NAN,
    SOUND,
    answer,
    boat,
    degraded,
    doubtful,
    function,
    harbour,
    item,
    meeting,
    out,
    stale,
    untimed,
    with_job,
    worst,
)

AUTO, HAND, ENGINE = "BP-01", "BP-04", "BP-05"
AT_EASE = meeting(**EASY)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("facts", "easy", "hard"),
    [
        (SOUND, Outcome.PASSED, Outcome.PASSED),
        (out(SOUND, AUTO), Outcome.PASSED, Outcome.PASSED),
        (out(SOUND, HAND), Outcome.PASSED, Outcome.PASSED),
        (out(SOUND, HAND, ENGINE), Outcome.CONDITION, Outcome.NO_GO),  # one left, on the supply
        (out(SOUND, AUTO, HAND), Outcome.CONDITION, Outcome.NO_GO),
        (out(SOUND, AUTO, HAND, ENGINE), Outcome.NO_GO, Outcome.NO_GO),
        (degraded(SOUND, AUTO, HAND, ENGINE), Outcome.PASSED, Outcome.PASSED),  # degraded counts
        (stale(out(SOUND, AUTO), HAND), Outcome.PASSED, Outcome.PASSED),  # the answer is the test it owes
        (doubtful(SOUND, HAND), Outcome.PASSED, Outcome.PASSED),  # two others, one independent
        (doubtful(out(SOUND, AUTO), HAND), Outcome.UNKNOWN, Outcome.UNKNOWN),
        (doubtful(out(SOUND, AUTO, ENGINE), HAND), Outcome.UNKNOWN, Outcome.NO_GO),  # one at best
        (item(out(SOUND, AUTO), ENGINE, fed_by=("EL-07",)), Outcome.PASSED, Outcome.PASSED),
        (item(out(SOUND, HAND), ENGINE, fed_by=("EL-07",)), Outcome.CONDITION, Outcome.NO_GO),
        (item(out(SOUND, HAND), ENGINE, fed_by=("XX-9",)), Outcome.CONDITION, Outcome.NO_GO),
        (item(out(SOUND, HAND), ENGINE, fed_by=("EL-03",)), Outcome.PASSED, Outcome.PASSED),
        (boat(SOUND, defects=None), Outcome.UNKNOWN, Outcome.UNKNOWN),
        (function(SOUND, "get_water_out", "("), Outcome.UNKNOWN, Outcome.NO_GO),
        (function(SOUND, "get_water_out", "ANY(BP-04, BP-05)"), Outcome.PASSED, Outcome.PASSED),
        (function(SOUND, "get_water_out", "BP-04"), Outcome.CONDITION, Outcome.NO_GO),
    ],
)
def test_two_means_and_one_off_the_supply_are_wanted(facts: Facts, easy: Outcome, hard: Outcome) -> None:
    assert answer(RULE, facts, AT_EASE) == easy
    assert answer(RULE, facts, meeting(sun_deg=30.0, refuge_nmi=2.0, exposed=True)) == hard


@pytest.mark.parametrize(
    ("passage", "expected"),
    [
        (AT_EASE, Outcome.CONDITION),
        (meeting(AT_EASE, sun_deg=-6.0), Outcome.CONDITION),
        (meeting(AT_EASE, sun_deg=-6.1), Outcome.NO_GO),
        (meeting(AT_EASE, refuge_nmi=3.0), Outcome.CONDITION),
        (meeting(AT_EASE, refuge_nmi=3.1), Outcome.NO_GO),
        (meeting(AT_EASE, exposed=True), Outcome.NO_GO),
        (meeting(untimed(AT_EASE), sun_deg=NAN), Outcome.UNKNOWN),
    ],
)
def test_one_means_is_a_condition_only_by_day_sheltered_and_near(passage: Passage, expected: Outcome) -> None:
    assert answer(RULE, out(SOUND, AUTO, HAND), passage) == expected


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        (out(SOUND, AUTO, HAND), Outcome.PASSED),
        (out(SOUND, HAND, ENGINE), Outcome.PASSED),
        (out(SOUND, AUTO, HAND, ENGINE), Outcome.NO_GO),
        (doubtful(out(SOUND, AUTO, HAND), ENGINE), Outcome.UNKNOWN),
    ],
)
def test_one_means_is_enough_for_a_harbour_move(facts: Facts, expected: Outcome) -> None:
    assert answer(RULE, harbour(facts)) == expected


def test_no_means_at_all_is_never_waived_and_one_may_be() -> None:
    assert worst(RULE, out(SOUND, AUTO, HAND, ENGINE)).never_waived.tolist() == [True]  # type: ignore[union-attr]
    assert worst(RULE, out(SOUND, AUTO, HAND)).never_waived.tolist() == [False]  # type: ignore[union-attr]
    assert RULE.waive[Outcome.NO_GO] == Waive.ONE_LEG


def test_a_test_is_wanted_only_where_it_would_better_the_answer() -> None:
    wanted = [
        dewatering_counted(facts, AT_EASE)[1].tests_wanted.tolist()
        for facts in (stale(out(SOUND, AUTO), HAND), stale(SOUND, HAND), SOUND)
    ]

    assert wanted == [[True], [False], [False]]


def test_the_sentence_counts_and_names_what_is_missing() -> None:
    words = worst(RULE, with_job(out(SOUND, HAND), JobStatus.IN_HAND, ENGINE)).say(0)

    assert words.title == "Getting water out: too few"
    assert words.sentence == (
        "1 of 3 ways of getting water out work, none off the ship's supply: "
        "Fault of BP-04 (DEF-100, BP-04); Work: in hand (JOB-100, BP-05)."
    )
    assert words.sums == (
        ("Ways of getting water out that work, 2 needed, one independent", "1, none off the ship's supply"),
    )


def test_bringing_one_back_lifts_the_finding() -> None:
    facts = out(SOUND, HAND, ENGINE)

    changed = [remedy.change(facts) for remedy in worst(RULE, facts).say(0).remedies]

    assert [answer(RULE, one) for one in changed] == [Outcome.PASSED, Outcome.PASSED]


def test_the_worked_example_has_one_to_spare() -> None:
    assert worst(RULE, EXAMPLE).say(0).margin == "1 to spare"
