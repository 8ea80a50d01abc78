"""A strange harbour in the dark."""

import pytest

from readiness.rules.dark_arrival import RULE
from readiness.rules.facts import Facts
from readiness.rules.judgement import Outcome
from readiness.rules.words_of_trade import Skill
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import at_worst, forecast, leg, person, place, ripens, sentence, water, worst
from tests.readiness.rules.conftest import Judged
from vessel.units import KNOT, NAUTICAL_MILE

EVENING = 43
NAN = float("nan")


def arrival(*, familiar: bool | None = False, lit: bool | None = True) -> Facts:
    """The leg, with the evening departure, to a harbour that is familiar or lit or neither."""
    return place(worked_example(44), "morrowick", familiar=familiar, lit=lit)


@pytest.mark.parametrize(
    ("familiar", "lit", "expected"),
    [
        (True, False, Outcome.PASSED), (False, True, Outcome.CONDITION), (False, False, Outcome.NO_GO),
        (False, None, Outcome.UNKNOWN), (None, True, Outcome.UNKNOWN), (None, False, Outcome.UNKNOWN),
    ],
)  # fmt: skip
def test_in_the_dark(judged: Judged, familiar: bool | None, lit: bool | None, expected: Outcome) -> None:
    found = judged(RULE, arrival(familiar=familiar, lit=lit))

    assert worst(found, EVENING) == expected
    assert worst(found, 0) == Outcome.PASSED  # by daylight


@pytest.mark.parametrize(
    ("miles", "knots", "expected"),
    [
        (5.0, 16.99, Outcome.CONDITION), (4.99, 12.0, Outcome.NO_GO), (10.0, 17.0, Outcome.NO_GO),
        (NAN, 12.0, Outcome.UNKNOWN), (10.0, NAN, Outcome.UNKNOWN), (NAN, 17.0, Outcome.NO_GO),
    ],
)  # fmt: skip
def test_a_lit_harbour_wants_clear_air_and_little_wind(
    judged: Judged, miles: float, knots: float, expected: Outcome
) -> None:
    facts = forecast(arrival(), visibility_m=miles * NAUTICAL_MILE, wind_east_mps=knots * KNOT)

    assert worst(judged(RULE, facts), EVENING) == expected


def test_it_wants_a_leader_who_is_good_for_the_night(judged: Judged) -> None:
    facts = arrival()
    for name in ("Ines", "Tam"):
        facts = person(facts, name, skills=(Skill.WATCH_LEADER,))

    assert worst(judged(RULE, facts), EVENING) == Outcome.NO_GO


def test_without_a_forecast_it_waits_for_one(judged: Judged) -> None:
    found = at_worst(judged(RULE, water(arrival(), forecast=None)), EVENING)

    assert (found.outcome[EVENING], found.cause, ripens(found, EVENING)) == (
        Outcome.UNKNOWN, ("forecast", ""), True,
    )  # fmt: skip


def test_it_says_when_and_what_the_harbour_is(judged: Judged) -> None:
    assert sentence(judged(RULE, arrival(lit=False)), EVENING) == (
        "Arrival 00:43 to 02:10 in the dark; Morrowick Basin is not familiar and not lit."
    )


def test_a_place_off_the_coast_and_no_time_of_arrival_are_not_known(judged: Judged) -> None:
    lost = leg(worked_example(1), arrival_place="nowhere")
    still = leg(place(worked_example(1), "morrowick", familiar=False), speed_mps=0.0)

    assert worst(judged(RULE, lost)) == Outcome.UNKNOWN
    assert worst(judged(RULE, still)) == Outcome.UNKNOWN


def test_a_harbour_move_does_not_ask(judged: Judged) -> None:
    found = judged(RULE, leg(arrival(lit=False), harbour_move=True))

    assert [(one.applies, worst([one], EVENING)) for one in found] == [(False, Outcome.PASSED)]
