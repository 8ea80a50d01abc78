"""Emergency steering proved."""

import pytest

from readiness.rules.emergency_steering import RULE
from readiness.rules.facts import Facts
from readiness.rules.judgement import Outcome
from readiness.rules.passage import Passage
from readiness.rules.record import moment
from readiness.rules.words_of_trade import JobStatus, Kind
from tests.factories.changed_boat import (
    EXAMPLE,
    LATE_AT,
    NAN,
    SOUND,
    answer,
    boat,
    days_before,
    degraded,
    doubtful,
    harbour,
    item,
    judge,
    limited,
    meeting,
    out,
    untimed,
    with_job,
    worst,
)
from tests.factories.worked_example import INES
from vessel.units import DAY

DAY_NEAR = meeting(refuge_nmi=6.0, sun_deg=-6.0)  # both exactly on the limit


def proved(seconds_over: float) -> Facts:
    """The tiller head proved a year before late arrival, and some seconds more."""
    at = moment(LATE_AT - 365 * DAY - seconds_over)
    return item(SOUND, "ST-05", proved_at=at, keeps_s=1000 * DAY)


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        (SOUND, Outcome.PASSED),
        (proved(0), Outcome.PASSED),
        (proved(1), Outcome.CONDITION),
        (limited(proved(1), emergency_steering_keeps_s=366 * DAY), Outcome.PASSED),
        (item(SOUND, "ST-04", proved_at=None), Outcome.UNKNOWN),
        (item(SOUND, "ST-04", keeps_s=NAN), Outcome.UNKNOWN),
        (item(SOUND, "ST-04", proved_at=days_before(-1)), Outcome.UNKNOWN),
        (item(SOUND, "ST-04", carried=None), Outcome.UNKNOWN),
        (degraded(SOUND, "ST-05"), Outcome.CONDITION),
        (with_job(SOUND, JobStatus.DONE_UNTESTED, "ST-05"), Outcome.CONDITION),
        (doubtful(SOUND, "ST-05"), Outcome.UNKNOWN),
        (boat(SOUND, defects=None), Outcome.UNKNOWN),
        (out(SOUND, "ST-05"), Outcome.CONDITION),
        (out(item(SOUND, "ST-05", proved_at=None), "ST-05"), Outcome.CONDITION),  # out is out, proved or not
    ],
)
def test_proof_age_and_state_decide_by_day_and_within_reach(facts: Facts, expected: Outcome) -> None:
    assert answer(RULE, facts, DAY_NEAR) == expected


@pytest.mark.parametrize(
    ("passage", "expected"),
    [
        (DAY_NEAR, Outcome.CONDITION),
        (meeting(refuge_nmi=6.01, sun_deg=30.0), Outcome.NO_GO),
        (meeting(refuge_nmi=1.0, sun_deg=-6.01), Outcome.NO_GO),
        (meeting(refuge_nmi=float("inf"), sun_deg=30.0), Outcome.NO_GO),
        (meeting(untimed(), refuge_nmi=NAN, sun_deg=NAN), Outcome.UNKNOWN),
        (meeting(untimed(), refuge_nmi=NAN, sun_deg=-7.0), Outcome.NO_GO),
    ],
)
def test_lost_is_no_go_by_night_or_far_from_refuge(passage: Passage, expected: Outcome) -> None:
    assert answer(RULE, out(SOUND, "ST-04"), passage) == expected


def test_a_boat_with_no_emergency_tiller_on_the_list_is_unknown() -> None:
    kinds = {Kind.EMERGENCY_TILLER, Kind.EMERGENCY_TILLER_HEAD}
    facts = boat(SOUND, equipment=tuple(one for one in SOUND.boat.equipment if one.kind not in kinds))

    assert answer(RULE, facts, DAY_NEAR) == Outcome.UNKNOWN


def test_a_harbour_move_does_not_ask() -> None:
    (found,) = judge(RULE, harbour(out(SOUND, "ST-05")))

    assert (found.outcome.tolist(), found.applies, found.say(0).sentence) == ([0], False, "Harbour move: not asked.")


def test_the_worked_example_is_a_condition_on_the_worn_head() -> None:
    found = {one.cause: one for one in judge(RULE, EXAMPLE)}
    words = found["equipment", "ST-05"].say(0)

    assert {cause: int(one.outcome[0]) for cause, one in found.items()} == {
        ("equipment", "ST-04"): Outcome.PASSED,
        ("equipment", "ST-05"): Outcome.CONDITION,
    }
    assert words.title == "Emergency steering degraded"
    assert words.sentence == (
        "Emergency tiller head loose on its worn pin: 1.5 mm of play at 60 mm, 1.43° in all (DEF-2, ST-05)."
    )
    assert words.do == (
        "Ship the tiller and move the rudder both ways alongside, within 5 min, and tell the crew what is wrong with it."
    )
    assert moment(words.by).strftime("%H:%M") == "06:15"
    assert words.who != INES.name
    assert found["equipment", "ST-04"].say(0).margin == "354 days"


def test_mending_the_head_lifts_the_condition() -> None:
    (remedy,) = worst(RULE, EXAMPLE).say(0).remedies

    assert remedy.minutes == 45.0
    assert answer(RULE, remedy.change(EXAMPLE)) == Outcome.PASSED


def test_trying_a_tiller_whose_proof_is_too_old_lifts_the_condition() -> None:
    (remedy,) = worst(RULE, proved(1), DAY_NEAR).say(0).remedies

    assert answer(RULE, remedy.change(proved(1)), DAY_NEAR) == Outcome.PASSED
