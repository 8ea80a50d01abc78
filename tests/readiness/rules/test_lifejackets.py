"""A lifejacket for every person."""

from datetime import date
from typing import Any

import pytest
from msgspec.structs import replace

from readiness.rules.facts import Facts, changed
from readiness.rules.facts_boat import Lifejackets
from readiness.rules.facts_people import Person, Span
from readiness.rules.judgement import Outcome, Waive
from readiness.rules.lifejackets import RULE
from readiness.rules.record import moment
from tests.factories.changed_boat import (
    DEPARTURE_AT,
    EXAMPLE,
    LATE_AT,
    PASSAGE,
    answer,
    arriving,
    boat,
    harbour,
    judge,
    untimed,
    worst,
)
from tests.factories.worked_example import INES, ODILE, TAM

GOOD = date(2027, 9, 30)


def jackets(*held: tuple[str, int | None, date | None]) -> Facts:
    """The example with these lifejackets for three people."""
    found = tuple(Lifejackets(size=size, count=count, good_through=day) for size, count, day in held)
    return boat(EXAMPLE, lifejackets=found)


def crew(*people: Person, facts: Facts | None = None) -> Facts:
    """Other people, by default with jackets for two."""
    return changed(facts or jackets(("adult", 2, GOOD)), people=people)


def odile(**parts: Any) -> Facts:
    """The example's three people with jackets for two, and something else about the third."""
    return crew(INES, TAM, replace(ODILE, **parts))


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        (EXAMPLE, Outcome.PASSED),
        (jackets(("adult", 3, GOOD)), Outcome.PASSED),
        (jackets(("adult", 2, GOOD)), Outcome.NO_GO),
        (jackets(("adult", 2, GOOD), ("adult", 1, GOOD)), Outcome.PASSED),
        (jackets(("Adult ", 3, GOOD)), Outcome.PASSED),
        (jackets(("adult", 2, GOOD), ("child", 4, GOOD)), Outcome.NO_GO),
        (jackets(), Outcome.NO_GO),
        (jackets(("adult", None, GOOD)), Outcome.UNKNOWN),
        (jackets(("adult", 3, None)), Outcome.UNKNOWN),
        (jackets(("adult", 3, GOOD), ("adult", None, None)), Outcome.PASSED),  # enough without them
        (jackets(("adult", 1, GOOD), ("adult", 1, None)), Outcome.NO_GO),  # not enough even with it
        (jackets(("", 3, GOOD)), Outcome.UNKNOWN),
        (jackets(("adult", -3, GOOD)), Outcome.NO_GO),
        (crew(), Outcome.PASSED),
        (crew(INES, TAM), Outcome.PASSED),
        (harbour(jackets(("adult", 2, GOOD))), Outcome.NO_GO),
    ],
)
def test_in_date_jackets_must_reach_for_everybody(facts: Facts, expected: Outcome) -> None:
    assert answer(RULE, facts) == expected


@pytest.mark.parametrize(
    ("day", "expected"),
    [(date(2027, 5, 15), Outcome.PASSED), (date(2027, 5, 14), Outcome.NO_GO), (date.max, Outcome.UNKNOWN)],
)
def test_a_date_is_good_to_the_end_of_its_day(day: date, expected: Outcome) -> None:
    assert answer(RULE, jackets(("adult", 3, day))) == expected


def test_the_day_ends_at_midnight_of_the_home_zone_and_is_read_at_late_arrival() -> None:
    facts = jackets(("adult", 3, date(2027, 5, 15)))
    midnight = moment(LATE_AT).replace(hour=23, minute=0, second=0).timestamp()  # 00:00 in Lisbon

    assert answer(RULE, facts, arriving(PASSAGE, midnight - 1)) == Outcome.PASSED
    assert answer(RULE, facts, arriving(PASSAGE, midnight)) == Outcome.NO_GO
    assert answer(RULE, facts, untimed()) == Outcome.UNKNOWN


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        (odile(), Outcome.NO_GO),
        (odile(confirmed=False), Outcome.PASSED),  # not coming
        (odile(confirmed=None), Outcome.NO_GO),
        (odile(jacket_size="child"), Outcome.NO_GO),
        (odile(jacket_size=""), Outcome.UNKNOWN),
        (odile(aboard=()), Outcome.NO_GO),  # nobody said when she is aboard
        (odile(aboard=(Span(start=None, end=None),)), Outcome.NO_GO),
        (odile(aboard=(Span(start=moment(LATE_AT), end=None),)), Outcome.PASSED),  # joins after
        (odile(aboard=(Span(start=moment(LATE_AT - 1), end=None),)), Outcome.NO_GO),
        (odile(aboard=(Span(start=None, end=moment(DEPARTURE_AT)),)), Outcome.PASSED),  # left before
        (odile(aboard=(Span(start=None, end=moment(DEPARTURE_AT + 1)),)), Outcome.NO_GO),
    ],
)
def test_everybody_who_may_be_aboard_during_the_leg_needs_one(facts: Facts, expected: Outcome) -> None:
    assert answer(RULE, facts) == expected


def test_each_size_is_a_cause_of_its_own() -> None:
    facts = crew(INES, TAM, replace(ODILE, jacket_size="child"))

    assert {one.cause: int(one.outcome[0]) for one in judge(RULE, facts)} == {
        ("lifejackets", "adult"): Outcome.PASSED,
        ("lifejackets", "child"): Outcome.NO_GO,
    }


def test_the_sentence_counts_and_bringing_what_is_missing_lifts_the_finding() -> None:
    facts = jackets(("adult", 1, GOOD))
    words = worst(RULE, facts).say(0)
    (remedy,) = words.remedies

    assert words.sentence == "Only 1 in-date lifejackets (“adult”) for 3 people."
    assert remedy.text == "Bring 2 more in-date lifejackets, adult"
    assert answer(RULE, remedy.change(facts)) == Outcome.PASSED
    assert worst(RULE, EXAMPLE).say(0).margin == "2 to spare"


def test_too_few_is_never_waived() -> None:
    assert RULE.waive == {Outcome.NO_GO: Waive.NEVER}
