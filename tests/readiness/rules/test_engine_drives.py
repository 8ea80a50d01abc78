"""The engine can drive the boat."""

import pytest
from msgspec.structs import replace

from readiness.rules import facts_boat, words_of_trade
from readiness.rules.engine_drives import RULE
from readiness.rules.facts import Facts
from readiness.rules.judgement import Outcome
from readiness.rules.words_of_trade import JobStatus
from tests.factories.changed_boat import (
    EXAMPLE,
    PASSAGE,
    SOUND,
    answer,
    boat,
    degraded,
    doubtful,
    function,
    harbour,
    judge,
    out,
    outcome,
    stale,
    untimed,
    with_job,
    worst,
)


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        (SOUND, Outcome.PASSED),
        (EXAMPLE, Outcome.PASSED),
        (degraded(SOUND, "EN-06"), Outcome.CONDITION),
        (stale(SOUND, "EN-06"), Outcome.PASSED),  # left to the test it owes
        (doubtful(SOUND, "EN-06"), Outcome.UNKNOWN),
        (out(SOUND, "EN-06"), Outcome.NO_GO),
        (out(SOUND, "EN-03"), Outcome.PASSED),  # the other filter is there
        (out(SOUND, "EN-03", "EN-04"), Outcome.NO_GO),
        (out(stale(SOUND, "EN-04"), "EN-03"), Outcome.PASSED),
        (degraded(out(SOUND, "EN-03"), "EN-04"), Outcome.CONDITION),
        (doubtful(out(SOUND, "EN-03"), "EN-04"), Outcome.UNKNOWN),
        (stale(degraded(SOUND, "EN-06"), "EN-06"), Outcome.CONDITION),  # a stale proof does not hide the limit
        (out(SOUND, "GT-01"), Outcome.PASSED),  # not hers to judge
        (boat(SOUND, defects=None), Outcome.UNKNOWN),
        (boat(SOUND, jobs=None), Outcome.UNKNOWN),
        (function(SOUND, "drive", ""), Outcome.UNKNOWN),
        (boat(SOUND, functions=()), Outcome.UNKNOWN),
        (harbour(out(SOUND, "EN-06")), Outcome.NO_GO),  # asked on a harbour move too
    ],
)
def test_drive_is_judged_by_the_worst_link_of_its_tree(facts: Facts, expected: Outcome) -> None:
    assert answer(RULE, facts) == expected


def test_each_link_that_is_not_in_service_is_a_finding_of_its_own() -> None:
    found = judge(RULE, degraded(out(SOUND, "EN-06"), "EN-13"))

    assert {one.cause: int(one.outcome[0]) for one in found} == {
        ("equipment", "EN-06"): Outcome.NO_GO,
        ("equipment", "EN-13"): Outcome.CONDITION,
    }


def test_a_job_that_takes_several_links_out_is_one_cause() -> None:
    found = judge(RULE, with_job(SOUND, JobStatus.IN_HAND, "EN-06", "EN-07", "HU-02", title="Cooling flushed"))

    assert {one.cause for one in found} == {("job", "JOB-100")}


def test_the_sentence_names_the_defect_and_the_item() -> None:
    words = worst(RULE, out(SOUND, "EN-06")).say(0)

    assert words.title == "Drive lost"
    assert words.sentence == "Drive is lost: Fault of EN-06 (DEF-100, EN-06)."
    assert words.do == "Mend and test: Fault of EN-06 (DEF-100)."
    assert words.evidence == (("defect", "DEF-100"), ("equipment", "EN-06"))
    assert (words.minutes, words.who) == (30.0, "Ines Roke")


def test_every_remedy_lifts_the_finding() -> None:
    for facts in (out(SOUND, "EN-06"), with_job(SOUND, JobStatus.IN_HAND, "EN-06"), degraded(SOUND, "EN-13")):
        remedies = worst(RULE, facts).say(0).remedies

        assert remedies
        assert [answer(RULE, remedy.change(facts)) for remedy in remedies] == [Outcome.PASSED] * len(remedies)


def test_what_cannot_be_done_aboard_is_no_remedy() -> None:
    waiting = with_job(SOUND, JobStatus.PARTS_WAITING, "EN-06")
    defects = out(SOUND, "EN-06").boat.defects or ()
    no_parts = boat(SOUND, defects=tuple(replace(one, mend_parts_aboard=False) for one in defects))

    assert worst(RULE, waiting).say(0).remedies == ()
    assert worst(RULE, no_parts).say(0).remedies == ()


def test_a_job_whose_test_is_at_sea_stays_to_be_tested_once_finished() -> None:
    test = facts_boat.Test(text="Run it", where=words_of_trade.TestPlace.AT_SEA, minutes=60.0)
    facts = with_job(SOUND, JobStatus.IN_HAND, "EN-06", test=test)

    (remedy,) = worst(RULE, facts).say(0).remedies
    (finished,) = remedy.change(facts).boat.jobs or ()

    assert finished.status == JobStatus.DONE_UNTESTED


def test_a_late_arrival_that_is_not_known_is_a_finding_of_its_own() -> None:
    found = judge(RULE, SOUND, untimed())

    assert {one.cause: int(one.outcome[0]) for one in found} == {
        ("late arrival", ""): Outcome.UNKNOWN,
        ("function", "Drive"): Outcome.PASSED,
    }
    assert not any(one.ripens for one in found)


def test_lists_that_are_missing_are_one_finding() -> None:
    found = judge(RULE, boat(SOUND, defects=None))

    assert {one.cause for one in found} == {("list", "defects")}
    assert outcome(found) == Outcome.UNKNOWN
    assert PASSAGE.departures == 1
