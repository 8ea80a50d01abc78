"""Autopilot may be counted on."""

import pytest
from msgspec.structs import replace

from readiness.rules.autopilot_credit import RULE, credit, play_deg
from readiness.rules.facts import Facts, changed
from readiness.rules.judgement import Outcome
from tests.factories.changed_boat import (
    EXAMPLE,
    NAN,
    PASSAGE,
    SOUND,
    answer,
    boat,
    degraded,
    doubtful,
    harbour,
    item,
    judge,
    out,
    stale,
    worst,
)

TRIED = boat(SOUND, autopilot=replace(SOUND.boat.autopilot, sea_h_since_work=1.0))


def pilot(**parts: float) -> Facts:
    """A pilot in service with other figures."""
    return boat(TRIED, autopilot=replace(TRIED.boat.autopilot, **parts))


def planned(facts: Facts, counts: bool | None) -> Facts:
    """Whether the watch plan counts on it."""
    return changed(facts, leg=replace(facts.leg, watch_plan_counts_autopilot=counts))


@pytest.mark.parametrize(
    ("facts", "allowed"),
    [
        (TRIED, True),
        (pilot(sea_h_since_work=0.99), False),
        (pilot(sea_h_since_work=NAN), False),
        (pilot(play_mm=20.0, radius_mm=573.0), True),  # 2.0 degrees exactly
        (pilot(play_mm=20.1, radius_mm=573.0), False),
        (pilot(play_mm=NAN), False),
        (pilot(radius_mm=NAN), False),
        (pilot(radius_mm=0.0), False),
        (pilot(play_mm=-1.0), False),
        (degraded(TRIED, "ST-06"), False),
        (stale(TRIED, "ST-07"), False),
        (doubtful(TRIED, "ST-06"), False),
        (out(TRIED, "EL-07"), False),
        (item(TRIED, "ST-06", fed_by=("EL-08",)), False),  # behind a converter whose load nobody has added up
        (item(TRIED, "ST-06", fed_by=("ST-07",)), True),
        (boat(TRIED, functions=()), False),
    ],
)
def test_credit_needs_service_an_hour_at_sea_little_play_and_a_sure_feed(facts: Facts, *, allowed: bool) -> None:
    assert credit(facts, PASSAGE).tolist() == [allowed]


@pytest.mark.parametrize(
    ("counts", "without", "with_credit"),
    [
        (False, Outcome.PASSED, Outcome.PASSED),
        (True, Outcome.ADVICE, Outcome.PASSED),
        (None, Outcome.ADVICE, Outcome.PASSED),
    ],
)
def test_it_is_advice_where_the_watch_plan_counts_on_one_without_credit(
    counts: bool | None,
    without: Outcome,
    with_credit: Outcome,
) -> None:
    assert answer(RULE, planned(EXAMPLE, counts)) == without
    assert answer(RULE, planned(TRIED, counts)) == with_credit


def test_play_is_worked_out_from_play_and_radius() -> None:
    assert play_deg(pilot(play_mm=1.5, radius_mm=60.0)) == pytest.approx(1.43, abs=0.005)


def test_the_worked_example_has_no_credit_and_no_finding() -> None:
    words = judge(RULE, EXAMPLE)[0].say(0)

    assert answer(RULE, EXAMPLE) == Outcome.PASSED
    assert words.sentence == (
        "No credit for the autopilot (Autopilot pump away for overhaul: in hand (JOB-7, ST-06)); "
        "the watch plan does not count on it."
    )


def test_the_sentence_of_a_plan_that_counts_on_it() -> None:
    words = worst(RULE, planned(pilot(sea_h_since_work=0.0), counts=True)).say(0)

    assert words.sentence == (
        "The watch plan counts on the autopilot, which has no credit: "
        "not tried for an hour at sea since the last work, or too much play."
    )
    assert words.sums[0] == ("Hours at sea since the last work, 1 needed", "0.0 h")


def test_a_harbour_move_does_not_ask_and_nothing_is_waived() -> None:
    assert [one.applies for one in judge(RULE, harbour(EXAMPLE))] == [False]
    assert RULE.waive == {}
