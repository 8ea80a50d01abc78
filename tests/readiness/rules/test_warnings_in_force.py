"""Weather warnings: in force or not, read or not, and how long a look at them is believed."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from msgspec.structs import replace

from readiness.rules.facts import Facts
from readiness.rules.facts_water import WeatherWarning
from readiness.rules.judgement import Judgement, Outcome, Waive
from readiness.rules.warnings_in_force import RULE
from readiness.rules.words_of_trade import WarningKind
from tests.factories.worked_example import JUDGED_AT, worked_example
from tests.readiness.rules.alter import at_worst, leg, ripens, sentence, water, worst
from tests.readiness.rules.conftest import Judged

LEAVES = datetime(2027, 5, 15, 6, 30, tzinfo=UTC)
UNTIL = datetime(2027, 5, 15, 20, 37, 12, tzinfo=UTC)  # late arrival 14:37:12 and six hours
SECOND, HOUR = timedelta(seconds=1), timedelta(hours=1)


def look(facts: Facts, **parts: Any) -> Facts:
    """The facts with parts of the look at the warnings replaced."""
    held = facts.water.warnings
    assert held is not None
    return water(facts, warnings=replace(held, **parts))


def warned(kind: WarningKind, start: datetime | None, end: datetime | None, **parts: Any) -> Facts:
    """The worked example with one warning."""
    one = WeatherWarning(kind=kind, area="Skarn", start=start, end=end, text="Westerly gale 8 expected")
    return look(worked_example(1), items=(one,), **parts)


def of_warning(found: list[Judgement]) -> Judgement:
    """The judgement on the one warning."""
    return next(one for one in found if one.cause[0] == "warning")


@pytest.mark.parametrize(
    ("kind", "expected"),
    [
        (WarningKind.GALE, Outcome.NO_GO), (WarningKind.STRONG_WIND, Outcome.CONDITION),
        (WarningKind.THUNDER, Outcome.CONDITION), (WarningKind.OTHER, Outcome.ADVICE),
    ],
)  # fmt: skip
def test_each_kind_of_warning_in_force(judged: Judged, kind: WarningKind, expected: Outcome) -> None:
    assert worst(judged(RULE, warned(kind, LEAVES - HOUR, UNTIL))) == expected


@pytest.mark.parametrize(
    ("start", "end", "expected"),
    [
        (LEAVES - 2 * HOUR, LEAVES, Outcome.PASSED), (LEAVES - 2 * HOUR, LEAVES + SECOND, Outcome.NO_GO),
        (UNTIL - SECOND, None, Outcome.NO_GO), (UNTIL + SECOND, None, Outcome.PASSED),
        (LEAVES + HOUR, LEAVES + 2 * HOUR, Outcome.NO_GO), (None, None, Outcome.NO_GO),
        (None, LEAVES, Outcome.PASSED), (LEAVES - HOUR, None, Outcome.NO_GO),
    ],
)  # fmt: skip
def test_from_departure_to_six_hours_after_the_late_arrival(
    judged: Judged, start: datetime | None, end: datetime | None, expected: Outcome
) -> None:
    assert worst(judged(RULE, warned(WarningKind.GALE, start, end))) == expected


@pytest.mark.parametrize(
    ("start", "end"),
    [
        (LEAVES + HOUR, LEAVES), (LEAVES - 9 * HOUR, LEAVES - 6 * HOUR), (None, LEAVES - timedelta(days=4000)),
    ],
)  # fmt: skip
def test_an_end_that_cannot_be_right_is_not_believed(judged: Judged, start: datetime | None, end: datetime) -> None:
    assert worst(judged(RULE, warned(WarningKind.GALE, start, end))) == Outcome.NO_GO


def test_it_says_what_was_read_and_when(judged: Judged) -> None:
    quiet, gale = judged(RULE, worked_example(1)), judged(RULE, warned(WarningKind.GALE, LEAVES, None))

    assert worst(quiet) == Outcome.PASSED
    assert quiet[0].say(0).sentence == (
        "Warnings of made-up forecast read Sat 15 May 04:00 (03:00 UTC): none for these waters, good to Mon 17 May "
        "04:00 (03:00 UTC)."
    )
    assert sentence(gale) == (
        "A warning of gale or worse for Skarn is in force while she is out or within 6 h after; from Sat 15 May 07:30 "
        "(06:30 UTC) until it is lifted. It says: “Westerly gale 8 expected”."
    )
    assert of_warning(gale).say(0).do == "Wait until it is lifted."


def test_one_that_is_over_is_said_to_be_over(judged: Judged) -> None:
    words = of_warning(judged(RULE, warned(WarningKind.GALE, LEAVES - 2 * HOUR, LEAVES))).say(0)

    assert words.title == "Warning over or not yet: gale or worse"
    assert words.do == ""


@pytest.mark.parametrize(
    ("looked_at", "good_to", "expected"),
    [
        (LEAVES - 24 * HOUR, UNTIL, Outcome.PASSED), (LEAVES - 24 * HOUR - SECOND, UNTIL, Outcome.UNKNOWN),
        (LEAVES - 3 * HOUR, UNTIL - SECOND, Outcome.UNKNOWN), (LEAVES - 3 * HOUR, None, Outcome.UNKNOWN),
        (None, UNTIL, Outcome.UNKNOWN), (JUDGED_AT + SECOND, UNTIL, Outcome.UNKNOWN),
    ],
)  # fmt: skip
def test_how_long_a_look_is_believed(
    judged: Judged, looked_at: datetime | None, good_to: datetime | None, expected: Outcome
) -> None:
    found = judged(RULE, look(worked_example(1), looked_at=looked_at, good_to=good_to))

    assert worst(found) == expected
    assert ripens(at_worst(found)) == (expected == Outcome.UNKNOWN)


def test_why_the_warnings_are_not_known_is_said(judged: Judged) -> None:
    facts = worked_example(1)
    nobody = judged(RULE, water(facts, warnings=None))
    short = judged(RULE, look(facts, good_to=UNTIL - HOUR))
    old = judged(RULE, look(facts, looked_at=LEAVES - 30 * HOUR))

    assert (worst(nobody), ripens(nobody[0])) == (Outcome.UNKNOWN, True)
    assert sentence(nobody) == "Nobody has looked at the weather warnings."
    assert sentence(short) == (
        "The warnings read Sat 15 May 04:00 (03:00 UTC) are good to Sat 15 May 20:37 (19:37 UTC); Sat 15 May 21:37 "
        "(20:37 UTC) is needed."
    )
    assert sentence(old) == (
        "The warnings read Fri 14 May 01:30 (00:30 UTC) will be 30 h old; they are believed for 24 h."
    )
    assert nobody[0].say(0).do.startswith("Read the newest warnings")


def test_a_gale_stays_a_no_go_though_the_look_is_old_or_the_late_arrival_is_not_known(judged: Judged) -> None:
    old = warned(WarningKind.GALE, LEAVES, None, looked_at=LEAVES - 30 * HOUR)
    adrift = leg(warned(WarningKind.GALE, LEAVES, None), speed_mps=float("nan"))

    for facts in (old, adrift):
        assert worst(judged(RULE, facts)) == Outcome.NO_GO


def test_without_a_late_arrival_that_is_what_is_missing(judged: Judged) -> None:
    found = judged(RULE, leg(worked_example(1), speed_mps=float("nan")))

    assert (worst(found), at_worst(found).cause) == (Outcome.UNKNOWN, ("late arrival", ""))


def test_a_no_go_may_be_waived_for_one_leg_what_is_not_known_never_and_a_harbour_move_does_not_ask(
    judged: Judged,
) -> None:
    found = judged(RULE, leg(warned(WarningKind.GALE, None, None), harbour_move=True))

    assert RULE.waive[Outcome.NO_GO] == Waive.ONE_LEG
    assert RULE.waive[Outcome.UNKNOWN] == Waive.NEVER
    assert [(one.applies, worst([one])) for one in found] == [(False, Outcome.PASSED)]
