"""Watch leaders."""

import pytest

from readiness.rules.facts import Facts
from readiness.rules.judgement import Outcome, Waive
from readiness.rules.watch_leaders import RULE
from readiness.rules.words_of_trade import Skill
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import leg, limits, person, sentence, vessel, worst
from tests.readiness.rules.conftest import Judged
from vessel.units import HOUR, KNOT

EVENING = 43
LATE_S = 8 * HOUR + 7 * 60 + 12  # departure to late arrival at 06:30


def hastened(facts: Facts, late_s: float) -> Facts:
    """The same leg whose late arrival falls so many seconds after departure, by the slip alone."""
    return vessel(facts, slip_s=900.0 + late_s - 29231.930042)


def leaders(facts: Facts, count: int) -> Facts:
    """The same crew with so many watch leaders."""
    plain = (Skill.HELM, Skill.LINES)
    facts = facts if count > 1 else person(facts, "Tam", skills=plain)
    return facts if count else person(facts, "Ines", skills=plain)


@pytest.mark.parametrize(
    ("count", "late_s", "expected"),
    [
        (2, LATE_S, Outcome.PASSED), (1, LATE_S, Outcome.NO_GO), (0, LATE_S, Outcome.NO_GO),
        (1, 8 * HOUR + 0.01, Outcome.NO_GO), (1, 8 * HOUR - 0.01, Outcome.CONDITION), (0, 7.9 * HOUR, Outcome.NO_GO),
    ],
)  # fmt: skip
def test_leaders_by_day(judged: Judged, count: int, late_s: float, expected: Outcome) -> None:
    facts = hastened(leaders(worked_example(1), count), late_s)

    assert worst(judged(RULE, facts)) == expected


@pytest.mark.parametrize(("over_s", "expected"), [(-1.0, Outcome.PASSED), (1.0, Outcome.CONDITION)])
def test_one_leader_is_enough_up_to_the_skippers_limit(judged: Judged, over_s: float, expected: Outcome) -> None:
    facts = limits(hastened(leaders(worked_example(1), 1), 7 * HOUR + over_s), single_watch_s=7 * HOUR)

    assert worst(judged(RULE, facts)) == expected


def test_short_of_a_leader_in_the_dark_is_a_no_go_however_short_the_leg(judged: Judged) -> None:
    whole = worked_example(44)

    with_tam, alone = judged(RULE, whole), judged(RULE, leaders(whole, 1))
    no_night = judged(RULE, person(person(whole, "Ines", skills=(Skill.WATCH_LEADER,)), "Tam",
                                   skills=(Skill.WATCH_LEADER,)))  # fmt: skip

    assert [worst(found, EVENING) for found in (with_tam, alone, no_night)] == [
        Outcome.PASSED, Outcome.NO_GO, Outcome.NO_GO,
    ]  # fmt: skip
    assert worst(no_night, 0) == Outcome.PASSED
    assert sentence(alone, EVENING) == (
        "7 h 56 min to the late arrival wants 2 watch leaders; 1 aboard, 1 of them good for the night. "
        "In the dark one of them must be good for the night."
    )


def test_a_leader_who_is_not_known_to_be_fit_does_not_count(judged: Judged) -> None:
    facts = worked_example(1)

    assert [worst(judged(RULE, person(facts, "Tam", fit=fit))) for fit in (True, None, False)] == [
        Outcome.PASSED, Outcome.NO_GO, Outcome.NO_GO,
    ]  # fmt: skip


def test_without_a_time_of_arrival_it_is_not_known(judged: Judged) -> None:
    facts = leg(worked_example(1), speed_mps=0.1 * KNOT)

    assert worst(judged(RULE, facts)) >= Outcome.UNKNOWN


def test_a_harbour_move_does_not_ask_and_a_waiver_is_for_one_leg(judged: Judged) -> None:
    (found,) = judged(RULE, leg(leaders(worked_example(1), 0), harbour_move=True))

    assert (worst([found]), found.applies) == (Outcome.PASSED, False)
    assert RULE.waive == {Outcome.NO_GO: Waive.ONE_LEG, Outcome.CONDITION: Waive.ONE_LEG}
