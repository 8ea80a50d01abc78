"""Who has answered, and who must leave."""

from datetime import UTC, datetime, timedelta

import pytest
from msgspec.structs import replace

from readiness.rules.crew_changes import RULE
from readiness.rules.judgement import Outcome
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import at_worst, leg, person, ripens, sentence, worst
from tests.readiness.rules.conftest import Judged

LATE = datetime(2027, 5, 15, 14, 37, 11, 930042, tzinfo=UTC)


@pytest.mark.parametrize(
    ("answer", "expected", "settles"),
    [(True, Outcome.PASSED, False), (None, Outcome.UNKNOWN, True), (False, Outcome.PASSED, False)],
)
def test_an_answer_that_is_still_awaited_is_not_known_and_settles_itself(
    judged: Judged, answer: bool | None, expected: Outcome, settles: bool
) -> None:
    found = judged(RULE, person(worked_example(1), "Tam", confirmed=answer))

    assert worst(found) == expected
    assert ripens(at_worst(found)) == settles


def test_it_asks_by_name(judged: Judged) -> None:
    found = judged(RULE, person(worked_example(1), "Tam", confirmed=None))

    words = at_worst(found).say(0)

    assert (words.sentence, words.do) == ("Tam Ferrow has not answered yet.", "Ask Tam Ferrow.")


def test_an_answer_judged_again_lifts_it(judged: Judged) -> None:
    facts = person(worked_example(1), "Tam", confirmed=None)
    (remedy,) = at_worst(judged(RULE, facts)).say(0).remedies

    again = judged(RULE, remedy.change(facts))

    assert worst(again) == Outcome.PASSED


def test_coming_without_saying_when_is_not_known_and_a_yes_is_no_remedy(judged: Judged) -> None:
    facts = worked_example(1)
    open_end = replace(facts.people[1].aboard[0], end=None)

    for spans in ((), (open_end,)):
        for answer in (True, None):
            found = at_worst(judged(RULE, person(facts, "Tam", aboard=spans, confirmed=answer)))

            assert found.outcome[0] == Outcome.UNKNOWN
            assert found.say(0).remedies == ()


@pytest.mark.parametrize(
    ("leaves", "expected"),
    [
        (LATE + timedelta(seconds=1), Outcome.PASSED),
        (LATE - timedelta(seconds=1), Outcome.CONDITION),
        (None, Outcome.UNKNOWN),
    ],
)
def test_a_train_against_the_late_arrival(judged: Judged, leaves: datetime | None, expected: Outcome) -> None:
    facts = person(worked_example(1), "Odile", free_to_stay=False, must_leave_at=leaves)

    assert worst(judged(RULE, facts)) == expected


def test_it_says_the_train_and_the_late_arrival(judged: Judged) -> None:
    leaves = datetime(2027, 5, 15, 14, 0, tzinfo=UTC)
    facts = person(worked_example(1), "Odile", free_to_stay=False, must_leave_at=leaves)

    assert sentence(judged(RULE, facts)) == (
        "Odile Marr must leave by Sat 15 May 15:00 (14:00 UTC); late arrival Sat 15 May 15:37 (14:37 UTC)."
    )


def test_nobody_is_free_to_stay_with_a_train_to_catch() -> None:
    facts = worked_example(1)

    with pytest.raises(ValueError, match="cannot be free to stay and have a time to leave"):
        replace(facts.people[2], free_to_stay=True, must_leave_at=LATE)


def test_a_harbour_move_does_not_ask(judged: Judged) -> None:
    facts = leg(person(worked_example(1), "Tam", confirmed=None), harbour_move=True)

    assert [(one.applies, worst([one])) for one in judged(RULE, facts)] == [(False, Outcome.PASSED)]
