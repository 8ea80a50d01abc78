"""Tests owed."""

from typing import Any

import numpy as np
import pytest

from readiness.rules import facts_boat
from readiness.rules.facts import Facts, changed
from readiness.rules.judgement import Cause, Outcome
from readiness.rules.not_tested import RULE
from readiness.rules.record import moment
from readiness.rules.words_of_trade import JobStatus
from readiness.rules.words_of_trade import TestPlace as Where
from tests.factories.changed_boat import (
    DEPARTURE_AT,
    EXAMPLE,
    NAN,
    SOUND,
    answer,
    boat,
    degraded,
    doubtful,
    harbour,
    item,
    judge,
    meeting,
    out,
    stale,
    untimed,
    with_job,
    worst,
)

DAY = meeting(sun_deg=30.0, visibility_m=1e5, refuge_nmi=2.0, sea_c=18.0)
NIGHT = meeting(DAY, sun_deg=-10.0)


def found(facts: Facts) -> dict[Cause, int]:
    """Outcome of each cause at the first departure."""
    return {one.cause: int(one.outcome[0]) for one in judge(RULE, facts, DAY)}


def job(minutes: float = 5.0, where: Where | None = Where.ALONGSIDE, *codes: str, **parts: Any) -> Facts:
    """Work done on the windows that owes a test."""
    test = facts_boat.Test(text="Hose them", where=where, minutes=minutes)
    return with_job(SOUND, JobStatus.DONE_UNTESTED, *(codes or ("HU-10",)), test=test, **parts)


def test_the_worked_example_owes_the_hose_test_before_0615() -> None:
    (one,) = judge(RULE, EXAMPLE)
    words = one.say(0)

    assert (one.cause, one.outcome.tolist()) == (("job", "JOB-1"), [Outcome.CONDITION])
    assert not np.any(one.ripens)
    assert words.sentence == (
        "Wheelhouse windows resealed (JOB-1): done but not tested. "
        "Its test takes 2 min, before Sat 15 May 07:15 (06:15 UTC)."
    )
    assert words.do == "Hose them for 2 min and look inside. Do it before Sat 15 May 07:15 (06:15 UTC)."
    assert moment(words.by).strftime("%H:%M") == "06:15"
    assert words.evidence == (("job", "JOB-1"), ("equipment", "HU-10"))
    assert words.minutes == 2.0


def test_doing_the_test_lifts_the_condition() -> None:
    for facts in (EXAMPLE, stale(SOUND, "EN-06"), job(5.0, Where.ALONGSIDE, "HU-10", "HU-09")):
        (remedy,) = worst(RULE, facts).say(0).remedies

        assert answer(RULE, remedy.change(facts)) == Outcome.PASSED


@pytest.mark.parametrize(
    ("minutes", "expected"),
    [(74.9, Outcome.CONDITION), (75.0, Outcome.CONDITION), (75.1, Outcome.UNKNOWN), (NAN, Outcome.UNKNOWN),
     (-5.0, Outcome.UNKNOWN)],
)  # fmt: skip
def test_the_test_must_end_a_quarter_of_an_hour_before_departure(minutes: float, expected: Outcome) -> None:
    assert answer(RULE, job(minutes)) == expected


def test_a_test_that_does_not_fit_says_when_she_can_leave() -> None:
    words = worst(RULE, job(120.0)).say(0)

    assert words.sentence == (
        "Work (JOB-100): done but not tested. "
        "Its test takes 120 min and does not fit: leave at or after Sat 15 May 08:15 (07:15 UTC)."
    )
    assert words.remedies == ()


@pytest.mark.parametrize(
    ("where", "expected"),
    [(Where.ALONGSIDE, Outcome.CONDITION), (Where.AT_SEA, Outcome.CONDITION), (None, Outcome.UNKNOWN)],
)
def test_where_the_test_is_done_decides(where: Where | None, expected: Outcome) -> None:
    assert answer(RULE, job(5.0, where)) == expected


def test_a_test_at_sea_is_a_condition_on_the_first_hour_however_long_it_takes() -> None:
    words = worst(RULE, job(600.0, Where.AT_SEA)).say(0)

    assert answer(RULE, job(600.0, Where.AT_SEA)) == Outcome.CONDITION
    assert words.do == (
        "Keep the first hour in sheltered water with the way back open, and lean on it for nothing before: Hose them."
    )
    assert words.remedies == ()


def test_a_job_without_a_test_of_its_own_owes_the_proof_of_its_item() -> None:
    facts = with_job(SOUND, JobStatus.DONE_UNTESTED, "HU-10", test=None)

    assert worst(RULE, facts).say(0).do.startswith("Hose on them for 2 min; dogs close.")
    assert answer(RULE, with_job(SOUND, JobStatus.DONE_UNTESTED, test=None)) == Outcome.ADVICE  # on nothing she needs


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        (SOUND, Outcome.PASSED),
        (stale(SOUND, "EN-06"), Outcome.CONDITION),  # a link that may not fail
        (stale(SOUND, "EN-03"), Outcome.ADVICE),  # the other filter is proved
        (stale(out(SOUND, "EN-04"), "EN-03"), Outcome.CONDITION),
        (stale(degraded(SOUND, "EN-04"), "EN-03"), Outcome.ADVICE),  # degraded already answers
        (stale(doubtful(SOUND, "EN-07"), "EN-06"), Outcome.CONDITION),  # each link by itself
        (stale(SOUND, "GT-02"), Outcome.ADVICE),  # in no tree
        (stale(SOUND, "BP-04"), Outcome.ADVICE),  # two other means
        (stale(out(SOUND, "BP-01"), "BP-04"), Outcome.CONDITION),  # the count needs it
        (stale(out(SOUND, "NV-02"), "NV-03"), Outcome.CONDITION),
        (stale(SOUND, "LT-07"), Outcome.ADVICE),
        (stale(out(SOUND, "LT-06"), "LT-07"), Outcome.CONDITION),  # sound is always asked for
        (stale(SOUND, "HU-04"), Outcome.CONDITION),  # tested at sea
        (job(5.0, Where.ALONGSIDE, "GT-02"), Outcome.ADVICE),
        (item(SOUND, "HU-10", proved_at=None), Outcome.PASSED),  # never proved is unknown, and others say so
        (harbour(stale(SOUND, "EN-06")), Outcome.CONDITION),
        (harbour(stale(out(SOUND, "NV-02"), "NV-03")), Outcome.ADVICE),
        (stale(out(SOUND, "RD-01"), "RD-03"), Outcome.CONDITION),
        (stale(SOUND, "LS-07"), Outcome.CONDITION),
    ],
)
def test_only_what_the_leg_needs_is_more_than_advice(facts: Facts, expected: Outcome) -> None:
    assert answer(RULE, facts, DAY) == expected


@pytest.mark.parametrize(("codes", "day", "night"), [
    (("LT-01", "LT-05"), Outcome.ADVICE, Outcome.CONDITION),
    (("LT-08",), Outcome.ADVICE, Outcome.CONDITION),
    (("LS-02",), Outcome.ADVICE, Outcome.CONDITION),  # by night no reserve is left but the dinghy
])  # fmt: skip
def test_what_is_needed_by_night_only(codes: tuple[str, ...], day: Outcome, night: Outcome) -> None:
    facts = stale(SOUND, *codes)

    assert answer(RULE, facts, DAY) == day
    assert answer(RULE, facts, NIGHT) == night


def test_a_reserve_that_only_a_test_brings_back_is_needed() -> None:
    facts = stale(out(SOUND, "FI-02"), "FI-03")  # ANY of two extinguishers: a link not proved

    assert answer(RULE, facts, DAY) == Outcome.CONDITION
    assert answer(RULE, stale(SOUND, "FI-02"), DAY) == Outcome.ADVICE  # by day and near, one reserve less is advice
    assert answer(RULE, stale(SOUND, "FI-02"), NIGHT) == Outcome.CONDITION  # by night the last means are a condition


def test_each_test_is_a_cause_and_a_job_covers_all_its_items() -> None:
    facts = stale(job(5.0, Where.ALONGSIDE, "HU-10", "HU-09"), "EN-06")

    assert found(facts) == {("job", "JOB-100"): Outcome.CONDITION, ("equipment", "EN-06"): Outcome.CONDITION}


def test_a_proof_that_runs_out_during_the_leg_owes_its_test() -> None:
    keeps = DEPARTURE_AT + 3600.0 - SOUND.boat.equipment[0].proved_at.timestamp()  # type: ignore[union-attr]

    assert answer(RULE, item(SOUND, "EN-06", keeps_s=keeps), DAY) == Outcome.CONDITION
    assert answer(RULE, item(SOUND, "EN-06", keeps_s=keeps + 10 * 3600.0), DAY) == Outcome.PASSED


def test_later_judging_leaves_no_time_for_the_test() -> None:
    late = changed(EXAMPLE, judged_at=moment(DEPARTURE_AT - 16 * 60))

    assert answer(RULE, late) == Outcome.UNKNOWN


def test_lists_that_are_missing_owe_no_test_and_an_unknown_arrival_is_a_finding() -> None:
    assert answer(RULE, boat(SOUND, jobs=None)) == Outcome.PASSED
    assert answer(RULE, SOUND, untimed()) == Outcome.UNKNOWN
