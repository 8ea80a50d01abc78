"""Lock, sill or bar open on arrival."""

from datetime import UTC, datetime

import pytest
from msgspec.structs import replace

from readiness.rules.facts import Facts, changed
from readiness.rules.gate_on_arrival import RULE
from readiness.rules.judgement import Outcome, Waive
from tests.factories.worked_example import worked_example
from tests.factories.worked_water import ALL_ROUND
from tests.readiness.rules.alter import at_worst, gate, leg, place, sentence, water, worst
from tests.readiness.rules.conftest import Judged
from vessel.units import HOUR, MINUTE

LOCK = "morrowick-lock"
LATE_OF_HIGH_WATER_S = 43 * MINUTE + 11.93  # late at the lock after high water 13:54
PLAN_OF_HIGH_WATER_S = -(31 * MINUTE + 32.06)
EARLY_OF_HIGH_WATER_S = -(59 * MINUTE + 57)
NAN = float("nan")


def lock(facts: Facts, *, opens_s: float = -3 * HOUR, closes_s: float = 2 * HOUR, entry_s: float = 0.0) -> Facts:
    """The lock open from so long to so long after high water."""
    return gate(facts, LOCK, before_s=-opens_s, after_s=closes_s, last_entry_s=entry_s)


def no_way_out(facts: Facts) -> Facts:
    """The same leg with no place to turn to and none to wait at."""
    return gate(place(leg(facts, refuges=()), "ostrel", charted_m=-9.0), LOCK, wait_place=None)


@pytest.mark.parametrize(
    ("opens_s", "closes_s", "entry_s", "expected"),
    [
        (-3 * HOUR, LATE_OF_HIGH_WATER_S + 2, 0.0, Outcome.PASSED),
        (-3 * HOUR, LATE_OF_HIGH_WATER_S - 2, 0.0, Outcome.NO_GO),
        (-3 * HOUR, LATE_OF_HIGH_WATER_S + 902, 900.0, Outcome.PASSED),
        (-3 * HOUR, LATE_OF_HIGH_WATER_S + 898, 900.0, Outcome.NO_GO),
        (-3 * HOUR, PLAN_OF_HIGH_WATER_S - 60, 0.0, Outcome.NO_GO),
        (EARLY_OF_HIGH_WATER_S - 5, 2 * HOUR, 0.0, Outcome.PASSED),
        (EARLY_OF_HIGH_WATER_S + 5, 2 * HOUR, 0.0, Outcome.ADVICE),
        (PLAN_OF_HIGH_WATER_S + 60, 2 * HOUR, 0.0, Outcome.NO_GO),
        (-3 * HOUR, 2 * HOUR, NAN, Outcome.UNKNOWN),
    ],
)  # fmt: skip
def test_early_plan_and_late_against_the_window_where_there_is_no_way_out(
    judged: Judged, opens_s: float, closes_s: float, entry_s: float, expected: Outcome
) -> None:
    facts = lock(no_way_out(worked_example(1)), opens_s=opens_s, closes_s=closes_s, entry_s=entry_s)

    assert worst(judged(RULE, facts)) == expected


def test_late_only_is_a_condition_where_a_refuge_passes(judged: Judged) -> None:
    facts = lock(worked_example(1), closes_s=LATE_OF_HIGH_WATER_S - 2)

    assert worst(judged(RULE, facts)) == Outcome.CONDITION
    assert "Leave" in at_worst(judged(RULE, facts)).say(0).do


@pytest.mark.parametrize(
    ("opens_after_plan_s", "shelter", "wait", "expected"),
    [
        (3 * HOUR - 60, ALL_ROUND, "vessary", Outcome.CONDITION), (3 * HOUR + 60, ALL_ROUND, "vessary", Outcome.NO_GO),
        (3 * HOUR - 60, (), "vessary", Outcome.NO_GO), (3 * HOUR - 60, ALL_ROUND, None, Outcome.NO_GO),
        (3 * HOUR - 60, ALL_ROUND, "nowhere", Outcome.NO_GO),
    ],
)  # fmt: skip
def test_shut_by_plan_is_a_condition_where_a_wait_place_passes_and_it_opens_within_three_hours(
    judged: Judged, opens_after_plan_s: float, shelter: tuple[object, ...], wait: str | None, expected: Outcome
) -> None:
    facts = place(worked_example(1), "vessary", shelter=shelter)
    opens_s = PLAN_OF_HIGH_WATER_S + opens_after_plan_s
    facts = gate(lock(facts, opens_s=opens_s, closes_s=5 * HOUR), LOCK, wait_place=wait)

    assert worst(judged(RULE, facts)) == expected


def test_a_strange_wait_place_in_the_dark_is_no_way_out(judged: Judged) -> None:
    facts = worked_example(44)
    shut = lock(place(facts, "vessary", shelter=ALL_ROUND), opens_s=-2 * HOUR)
    familiar = place(shut, "vessary", familiar=True)

    assert worst(judged(RULE, shut), 43) == Outcome.NO_GO
    assert worst(judged(RULE, familiar), 43) == Outcome.CONDITION


def test_it_says_the_times_and_the_margin_rounded_to_the_safe_side(judged: Judged) -> None:
    words = at_worst(judged(RULE, worked_example(1))).say(0)

    assert words.title == "Morrowick lock met with 61 min to spare"
    assert words.sentence == "Morrowick lock: plan 14:22, late 15:37, last entry Sat 15 May 16:39 (15:39 UTC)."


def test_shut_says_when_it_opens(judged: Judged) -> None:
    facts = lock(no_way_out(worked_example(1)), opens_s=PLAN_OF_HIGH_WATER_S + HOUR)

    assert sentence(judged(RULE, facts)) == (
        "Morrowick lock is shut at Sat 15 May 14:22 (13:22 UTC) when she comes by plan; "
        "it opens Sat 15 May 15:22 (14:22 UTC)."
    )


def test_the_keepers_hours_shut_it_too(judged: Judged) -> None:
    hours = {"keeps_hours": True, "opens_local_s": 8 * HOUR, "closes_local_s": 14 * HOUR}  # to 13:00 UTC

    assert worst(judged(RULE, gate(no_way_out(worked_example(1)), LOCK, **hours))) == Outcome.NO_GO
    assert worst(judged(RULE, gate(worked_example(1), LOCK, keeps_hours=None))) == Outcome.UNKNOWN


def test_no_window_held_is_not_known_and_names_what_starves_it(judged: Judged) -> None:
    facts = worked_example(1)

    tideless, ruleless = water(facts, stations=()), gate(facts, LOCK, before_s=NAN)

    assert [(worst(judged(RULE, one)), at_worst(judged(RULE, one)).cause) for one in (tideless, ruleless)] == [
        (Outcome.UNKNOWN, ("tide", "ostrel")), (Outcome.UNKNOWN, ("gate", LOCK)),
    ]  # fmt: skip


def test_a_date_past_the_tide_table_is_not_known_rather_than_shut(judged: Judged) -> None:
    facts = worked_example(1)
    departures = replace(facts.departures, first=datetime(2027, 6, 15, 6, 30, tzinfo=UTC))

    assert worst(judged(RULE, changed(facts, departures=departures))) == Outcome.UNKNOWN


def test_a_harbour_move_asks_and_a_no_go_is_never_waived(judged: Judged) -> None:
    facts = leg(lock(no_way_out(worked_example(1)), closes_s=-HOUR), harbour_move=True)

    assert worst(judged(RULE, facts)) == Outcome.NO_GO
    assert RULE.waive == {Outcome.NO_GO: Waive.NEVER, Outcome.CONDITION: Waive.ONE_LEG}
