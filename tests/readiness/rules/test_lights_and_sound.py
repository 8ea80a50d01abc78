"""Lights, sound and being seen."""

from datetime import timedelta

import pytest
from msgspec.structs import replace

from readiness.rules.facts import Facts, changed
from readiness.rules.judgement import Outcome
from readiness.rules.lights_and_sound import RULE
from readiness.rules.passage import Passage
from readiness.rules.record import moment
from readiness.rules.under_way import passage_of
from tests.factories.changed_boat import (
    DEPARTURE_AT,
    EXAMPLE,
    NAN,
    PASSAGE,
    SOUND,
    answer,
    arriving,
    boat,
    degraded,
    doubtful,
    function,
    harbour,
    judge,
    meeting,
    out,
    outcome,
    stale,
    untimed,
)
from vessel.units import HOUR, NAUTICAL_MILE

CLEAR = 10 * NAUTICAL_MILE
DAY = meeting(sun_deg=-0.833, visibility_m=2 * NAUTICAL_MILE)  # both exactly on the limit
DUSK = meeting(sun_deg=-0.84, visibility_m=CLEAR)
NIGHT = meeting(sun_deg=-6.1, visibility_m=CLEAR)
THICK = meeting(sun_deg=30.0, visibility_m=2 * NAUTICAL_MILE - 1)
DARK_SHIP = out(SOUND, "LT-01", "LT-05")


def checked(hours_before_departure: float) -> Facts:
    """Lights looked at so long before departure."""
    at = moment(DEPARTURE_AT - hours_before_departure * HOUR)
    return boat(SOUND, log=replace(SOUND.boat.log, lights_checked_at=at))


@pytest.mark.parametrize(
    ("facts", "by_day", "when_due"),
    [
        (SOUND, Outcome.PASSED, Outcome.PASSED),
        (out(SOUND, "LT-01"), Outcome.PASSED, Outcome.PASSED),  # the portable set
        (degraded(out(SOUND, "LT-05"), "LT-01"), Outcome.PASSED, Outcome.CONDITION),
        (stale(out(SOUND, "LT-05"), "LT-01"), Outcome.PASSED, Outcome.PASSED),  # left to the test it owes
        (doubtful(out(SOUND, "LT-05"), "LT-01"), Outcome.ADVICE, Outcome.UNKNOWN),
        (DARK_SHIP, Outcome.ADVICE, Outcome.NO_GO),
        (boat(SOUND, defects=None), Outcome.UNKNOWN, Outcome.UNKNOWN),
        (function(SOUND, "be_seen", "ALL(LT-06, LT-08)"), Outcome.UNKNOWN, Outcome.UNKNOWN),
    ],
)
def test_lights_are_asked_for_when_they_are_due(facts: Facts, by_day: Outcome, when_due: Outcome) -> None:
    assert answer(RULE, facts, DAY) == by_day
    assert [answer(RULE, facts, passage) for passage in (DUSK, NIGHT, THICK)] == [when_due] * 3


@pytest.mark.parametrize(
    ("before_sunset_h", "expected"),
    [(2.1, Outcome.ADVICE), (1.9, Outcome.CONDITION), (0.5, Outcome.CONDITION), (NAN, Outcome.UNKNOWN)],
)
def test_lost_lights_are_a_condition_when_the_sun_sets_within_two_hours_of_arrival(
    before_sunset_h: float, expected: Outcome
) -> None:
    sunset = moment(DEPARTURE_AT).replace(hour=20, minute=22).timestamp()  # at Morrowick, 70 minutes of longitude east

    assert answer(RULE, DARK_SHIP, arriving(DAY, sunset - before_sunset_h * HOUR)) == expected


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        (checked(23.9), Outcome.PASSED),
        (checked(24.0), Outcome.PASSED),
        (checked(24.1), Outcome.CONDITION),
        (boat(SOUND, log=replace(SOUND.boat.log, lights_checked_at=None)), Outcome.CONDITION),
        (checked(0.5), Outcome.CONDITION),  # dated ahead of the judging
    ],
)
def test_lights_that_are_due_must_have_been_looked_at_in_the_last_day(facts: Facts, expected: Outcome) -> None:
    found = {one.cause: one for one in judge(RULE, facts, DUSK)}["log", "lights checked"]

    assert found.outcome.tolist() == [expected]
    assert found.ripens.tolist() == [expected == Outcome.CONDITION]  # type: ignore[union-attr]
    assert answer(RULE, facts, DAY) == Outcome.PASSED


def test_looking_at_the_lights_lifts_the_condition() -> None:
    found = {one.cause: one for one in judge(RULE, checked(25.0), DUSK)}["log", "lights checked"]
    words = found.say(0)

    assert words.sentence == (
        "Lights are due on this leg and will have been checked 25 h before departure; within 24 h is wanted."
    )
    assert [answer(RULE, remedy.change(checked(25.0)), DUSK) for remedy in words.remedies] == [Outcome.PASSED]


@pytest.mark.parametrize(
    ("facts", "clear", "thick"),
    [
        (out(SOUND, "LT-06"), Outcome.PASSED, Outcome.PASSED),  # the mouth horn
        (out(SOUND, "LT-06", "LT-07"), Outcome.CONDITION, Outcome.NO_GO),
        (degraded(out(SOUND, "LT-06"), "LT-07"), Outcome.CONDITION, Outcome.CONDITION),
        (doubtful(out(SOUND, "LT-06"), "LT-07"), Outcome.UNKNOWN, Outcome.UNKNOWN),
        (function(SOUND, "be_seen", "ALL(LT-01, LT-08)"), Outcome.UNKNOWN, Outcome.UNKNOWN),
    ],
)
def test_a_sound_signal_is_always_asked_for(facts: Facts, clear: Outcome, thick: Outcome) -> None:
    assert answer(RULE, facts, DAY) == clear
    assert answer(RULE, facts, THICK) == thick


@pytest.mark.parametrize(
    ("passage", "expected"),
    [(DAY, Outcome.PASSED), (DUSK, Outcome.PASSED), (NIGHT, Outcome.CONDITION), (THICK, Outcome.CONDITION)],
)
def test_neither_reflector_nor_ais_is_a_condition_by_night_or_in_poor_visibility(
    passage: Passage, expected: Outcome
) -> None:
    assert answer(RULE, out(SOUND, "LT-08"), passage) == expected  # the AIS is not carried
    assert answer(RULE, degraded(SOUND, "LT-08"), passage) == Outcome.PASSED


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        (SOUND, Outcome.PASSED),  # whatever the visibility, all is well
        (DARK_SHIP, Outcome.UNKNOWN),
        (out(SOUND, "LT-06", "LT-07"), Outcome.UNKNOWN),
        (out(SOUND, "LT-08"), Outcome.UNKNOWN),
    ],
)
def test_visibility_that_is_missing_matters_only_where_something_is_lost(facts: Facts, expected: Outcome) -> None:
    assert answer(RULE, facts, meeting(sun_deg=30.0, visibility_m=NAN)) == expected


def test_missing_visibility_is_the_forecasts_finding_and_ripens_out_of_its_reach() -> None:
    for reached in (True, False):
        found = judge(RULE, DARK_SHIP, meeting(sun_deg=30.0, visibility_m=NAN, reached=reached))
        missing = [one for one in found if one.cause == ("forecast", "")]

        assert [one.ripens.tolist() for one in missing] == [[not reached]] * len(missing)  # type: ignore[union-attr]
        assert outcome(missing) == Outcome.UNKNOWN


def test_the_evening_of_the_worked_example_wants_the_lights_looked_at() -> None:
    evening = EXAMPLE.departures.first + timedelta(hours=12.75)  # 19:15, checked at 19:00 the day before
    facts = changed(EXAMPLE, departures=replace(EXAMPLE.departures, first=evening))

    assert answer(RULE, EXAMPLE) == Outcome.PASSED
    assert answer(RULE, facts, passage_of(facts)) == Outcome.CONDITION


def test_mending_what_is_lost_lifts_the_finding() -> None:
    for facts in (DARK_SHIP, out(SOUND, "LT-06", "LT-07"), out(SOUND, "LT-08")):
        found = max(judge(RULE, facts, NIGHT), key=lambda one: int(one.outcome[0]))

        assert {answer(RULE, one.change(facts), NIGHT) for one in found.say(0).remedies} == {Outcome.PASSED}


def test_a_late_arrival_that_is_not_known_is_unknown_and_a_harbour_move_does_not_ask() -> None:
    assert answer(RULE, SOUND, untimed()) == Outcome.UNKNOWN
    assert [one.applies for one in judge(RULE, harbour(DARK_SHIP))] == [False]
    assert PASSAGE.departures == 1
