"""Service due before or during the leg."""

from datetime import date

import numpy as np
import pytest
from msgspec.structs import replace

from readiness.rules.calendar_months import later, months_since
from readiness.rules.engine_service import RULE
from readiness.rules.facts import Facts
from readiness.rules.judgement import Outcome
from readiness.rules.telling import end_of_day
from readiness.rules.words_of_trade import DueBy
from tests.factories.changed_boat import (
    EXAMPLE,
    NAN,
    PASSAGE,
    answer,
    boat,
    function,
    harbour,
    judge,
    untimed,
    worst,
)
from tests.factories.worked_example import SERVICES
from vessel.units import HOUR

LATE_H = float(PASSAGE.duration_late_s[0]) / HOUR  # 8.12
HOURS = replace(SERVICES[0], due_by=DueBy.HOURS, tolerance=0.10)
MONTHS = replace(SERVICES[0], due_by=DueBy.MONTHS, every_months=12.0)


def service(**parts: object) -> Facts:
    """The example with one service on the lubricating oil system, by hours."""
    return boat(EXAMPLE, services=(replace(HOURS, **parts),))


def hours(share: float, **parts: object) -> Facts:
    """A service of 100 h that will have run this share of its interval at late arrival."""
    return service(every_h=100.0, last_engine_h=round(4206.0 + LATE_H - 100.0 * share, 6), **parts)


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        (EXAMPLE, Outcome.PASSED),
        (hours(0.999), Outcome.PASSED),
        (hours(1.001), Outcome.ADVICE),
        (hours(1.099), Outcome.ADVICE),
        (hours(1.101), Outcome.CONDITION),
        (hours(1.499), Outcome.CONDITION),
        (hours(1.501), Outcome.NO_GO),
        (hours(1.20, tolerance=0.25), Outcome.ADVICE),
        (hours(1.30, tolerance=0.9), Outcome.CONDITION),  # a quarter at most
        (hours(1.05, tolerance=NAN), Outcome.CONDITION),  # a blank gives no time
        (hours(1.05, tolerance=0.0), Outcome.CONDITION),
        (service(last_engine_h=NAN), Outcome.UNKNOWN),
        (service(last_engine_h=5000.0), Outcome.UNKNOWN),  # the count has run backwards
        (service(every_h=NAN), Outcome.UNKNOWN),
        (service(every_h=0.0), Outcome.UNKNOWN),
        (service(due_by=None), Outcome.UNKNOWN),
        (service(due_by=DueBy.CONDITION), Outcome.PASSED),
        (service(equipment="FI-01", last_engine_h=0.0), Outcome.PASSED),  # not what the engine drives with
        (service(equipment=""), Outcome.UNKNOWN),
        (service(due_by=DueBy.BOTH, last_on=None), Outcome.UNKNOWN),
        (service(due_by=DueBy.BOTH, last_on=None, last_engine_h=0.0), Outcome.NO_GO),
        (boat(EXAMPLE, services=None), Outcome.UNKNOWN),
        (boat(EXAMPLE, services=()), Outcome.PASSED),
        (function(hours(1.2), "drive", "ALL("), Outcome.CONDITION),
        (harbour(hours(1.6)), Outcome.PASSED),
    ],
)
def test_the_share_of_the_interval_at_late_arrival_decides(facts: Facts, expected: Outcome) -> None:
    assert answer(RULE, facts) == expected


def test_exactly_on_a_limit_is_still_good() -> None:
    passage = PASSAGE
    since = 4206.0 - 4130.0 + passage.duration_late_s[0] / HOUR

    assert answer(RULE, service(every_h=since)) == Outcome.PASSED
    assert answer(RULE, service(every_h=np.nextafter(since, 0))) == Outcome.ADVICE


@pytest.mark.parametrize(
    ("last_on", "expected"),
    [
        (date(2026, 5, 16), Outcome.PASSED),  # due tomorrow
        (date(2026, 5, 15), Outcome.PASSED),  # due today, good to the end of the day
        (date(2026, 5, 14), Outcome.ADVICE),
        (date(2026, 4, 2), Outcome.CONDITION),
        (date(2025, 11, 16), Outcome.CONDITION),
        (date(2025, 11, 14), Outcome.NO_GO),
        (date(2027, 5, 16), Outcome.UNKNOWN),  # dated ahead
        (None, Outcome.UNKNOWN),
    ],
)
def test_months_run_to_the_end_of_the_day(last_on: date | None, expected: Outcome) -> None:
    facts = boat(EXAMPLE, services=(replace(MONTHS, last_on=last_on),))

    assert answer(RULE, facts) == expected


def test_a_service_that_falls_due_by_both_goes_by_the_worse() -> None:
    both = {"due_by": DueBy.BOTH, "every_months": 12.0}

    assert answer(RULE, service(last_on=date(2026, 5, 14), **both)) == Outcome.ADVICE
    assert answer(RULE, service(last_on=date(2027, 5, 1), last_engine_h=3900.0, **both)) == Outcome.NO_GO


def test_stale_or_missing_engine_hours_are_unknown() -> None:
    reading = EXAMPLE.boat.engine_hours_h

    assert answer(RULE, boat(EXAMPLE, engine_hours_h=replace(reading, value=NAN))) == Outcome.UNKNOWN
    assert answer(RULE, boat(EXAMPLE, engine_hours_h=replace(reading, keeps_s=3600.0))) == Outcome.UNKNOWN


def test_each_service_is_one_cause_and_the_sums_are_written_out() -> None:
    found = judge(RULE, EXAMPLE)

    assert [one.cause for one in found] == [("service", "SV-01"), ("service", "SV-07")]
    assert found[0].say(0).sums == (
        ("Engine hours at late arrival", "84.1 h of 200 h"),
        ("Months at late arrival", "2.4 of 12"),
    )
    assert found[0].say(0).margin == "115 h"


def test_the_sentence_and_the_remedy_of_an_overdue_service() -> None:
    words = worst(RULE, hours(1.2)).say(0)

    assert words.title == "Engine oil and filter overdue"
    assert words.sentence == (
        "Engine oil and filter (SV-01): Engine hours at late arrival: 120.0 h of 100 h, tolerance 10 %."
    )
    assert [answer(RULE, remedy.change(hours(1.2))) for remedy in words.remedies] == [Outcome.PASSED]


def test_a_late_arrival_that_is_not_known_is_unknown() -> None:
    assert answer(RULE, EXAMPLE, untimed()) == Outcome.UNKNOWN


@pytest.mark.parametrize(
    ("day", "months", "expected"),
    [
        (date(2027, 1, 31), 1, date(2027, 2, 28)),
        (date(2024, 2, 29), 12, date(2025, 2, 28)),
        (date(2027, 5, 15), 24, date(2029, 5, 15)),
        (date(9999, 6, 1), 12, None),
    ],
)
def test_the_same_day_of_a_later_month(day: date, months: int, expected: date | None) -> None:
    assert later(day, months) == expected


def test_months_are_whole_at_the_end_of_the_same_day_and_straight_between() -> None:
    zone = "Europe/Lisbon"
    ends = [end_of_day(date(2027, month, 15), zone) for month in (1, 2, 3)]
    at = np.array([*ends, (ends[0] + ends[1]) / 2, ends[0] - 1.0, np.nan])

    found = months_since(date(2027, 1, 15), at, zone)

    assert found[:5] == pytest.approx([0.0, 1.0, 2.0, 0.5, 0.0])
    assert np.isnan(found[5])
    assert np.isnan(months_since(None, at, zone)).all()
    assert np.isnan(months_since(date(2027, 1, 15), at, "no zone")).all()
