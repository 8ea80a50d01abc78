"""Someone ashore knows."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from msgspec.structs import replace

from readiness.rules.facts import Facts, changed
from readiness.rules.judgement import Outcome
from readiness.rules.shore_contact import RULE
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import at_worst, leg, outcome, ripens, sentence, worst
from tests.readiness.rules.conftest import Judged

LATE_AND_AN_HOUR = datetime(2027, 5, 15, 15, 37, 11, 930042, tzinfo=UTC)
MORNING = datetime(2027, 5, 15, 12, 0, tzinfo=UTC)


def contact(facts: Facts, **parts: Any) -> Facts:
    """The facts with something of the shore contact replaced."""
    assert facts.contact is not None
    return changed(facts, contact=replace(facts.contact, **parts))


@pytest.mark.parametrize(
    ("parts", "expected", "settles"),
    [
        ({}, Outcome.PASSED, False),
        ({"overdue_at": LATE_AND_AN_HOUR + timedelta(seconds=1)}, Outcome.PASSED, False),
        ({"overdue_at": LATE_AND_AN_HOUR - timedelta(seconds=1)}, Outcome.CONDITION, True),
        ({"overdue_at": None}, Outcome.CONDITION, True),
        ({"told_at": None}, Outcome.CONDITION, True),
        ({"acknowledged": None}, Outcome.CONDITION, True),
        ({"acknowledged": False}, Outcome.CONDITION, False),
    ],
)
def test_told_answered_and_late_enough(judged: Judged, parts: dict[str, Any], expected: Outcome, settles: bool) -> None:
    found = at_worst(judged(RULE, contact(worked_example(1), **parts)))

    assert (outcome(found), ripens(found)) == (expected, settles)


def test_it_says_what_the_contact_would_do(judged: Judged) -> None:
    facts = contact(worked_example(1), overdue_at=MORNING)

    assert sentence(judged(RULE, facts)) == (
        "Ruan Ash would worry at Sat 15 May 13:00 (12:00 UTC); for this departure not before "
        "Sat 15 May 16:38 (15:38 UTC)."
    )


def test_an_answer_judged_again_lifts_it(judged: Judged) -> None:
    facts = contact(worked_example(1), overdue_at=MORNING, acknowledged=None)
    (remedy,) = at_worst(judged(RULE, facts)).say(0).remedies

    assert worst(judged(RULE, remedy.change(facts))) == Outcome.PASSED


def test_nobody_ashore_is_a_condition_without_a_remedy(judged: Judged) -> None:
    found = at_worst(judged(RULE, changed(worked_example(1), contact=None)))

    assert outcome(found) == Outcome.CONDITION
    assert found.say(0).remedies == ()


@pytest.mark.parametrize(("points", "expected"), [(2, Outcome.ADVICE), (6, Outcome.CONDITION)])
def test_a_short_harbour_move_is_only_advised_to_tell(judged: Judged, points: int, expected: Outcome) -> None:
    facts = contact(worked_example(1), told_at=None)
    near = replace(facts.leg.points[1], lon_deg=facts.leg.points[0].lon_deg + 0.05)
    track = (facts.leg.points[0], near, *facts.leg.points[2:])[:points]
    move = leg(facts, harbour_move=True, points=track, segments=facts.leg.segments[: points - 1])

    assert worst(judged(RULE, move)) == expected
