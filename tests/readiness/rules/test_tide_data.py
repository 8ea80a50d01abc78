"""Tide data fit to use."""

from typing import Any

import pytest
from msgspec.structs import replace

from readiness.rules.facts import Facts
from readiness.rules.judgement import Outcome, Waive
from readiness.rules.tide_data import RULE
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import at_worst, gate, leg, outcome, place, sentence, water, worst
from tests.readiness.rules.conftest import Judged


def station(facts: Facts, **parts: Any) -> Facts:
    """The facts with something of their one tide station replaced."""
    return water(facts, stations=(replace(facts.water.stations[0], **parts),))


def events(facts: Facts, first: int, last: int | None = None) -> Facts:
    """The facts with some of the high and low waters only."""
    held, part = facts.water.stations[0], slice(first, last)
    return station(facts, event_at=held.event_at[part], event_m=held.event_m[part], event_high=held.event_high[part])


@pytest.mark.parametrize(
    ("parts", "what"),
    [
        ({"datum": None}, "the datum of its heights"),
        ({"unit": None}, "the unit of its heights"),
        ({"differences_applied": None}, "whether its differences are applied"),
        ({"differences_applied": False}, "whether its differences are applied"),
        ({"event_at": ()}, "its high and low waters"),
    ],
)
def test_figures_that_lack_something_are_not_known_and_it_says_what(
    judged: Judged, parts: dict[str, Any], what: str
) -> None:
    found = judged(RULE, station(worked_example(1), **parts))

    assert worst(found) == Outcome.UNKNOWN
    assert sentence(found) == f"Not known for the tide at Ostrel Haven: {what}."


def test_high_and_low_waters_must_stand_on_either_side_of_the_leg(judged: Judged) -> None:
    facts = worked_example(1)
    at = [moment.timestamp() for moment in facts.water.stations[0].event_at]
    start = facts.departures.first.timestamp()
    before = max(number for number, moment in enumerate(at) if moment < start)
    late = start + 29231.93
    after = min(number for number, moment in enumerate(at) if moment > late)

    assert worst(judged(RULE, events(facts, before, after + 1))) == Outcome.PASSED
    assert worst(judged(RULE, events(facts, before + 1, after + 1))) == Outcome.UNKNOWN
    assert worst(judged(RULE, events(facts, before, after))) == Outcome.UNKNOWN


def test_a_station_that_is_not_there_or_not_named_is_not_known(judged: Judged) -> None:
    facts = worked_example(1)
    points = (*facts.leg.points[:-1], replace(facts.leg.points[-1], station=None))

    assert worst(judged(RULE, water(facts, stations=()))) == Outcome.UNKNOWN
    assert worst(judged(RULE, leg(facts, points=points))) == Outcome.UNKNOWN


@pytest.mark.parametrize(
    ("parts", "expected"),
    [
        ({"zero": "chart datum"}, Outcome.PASSED), ({"zero": "the keeper's mark"}, Outcome.UNKNOWN),
        ({"zero": None}, Outcome.UNKNOWN), ({"level_m": float("nan")}, Outcome.UNKNOWN),
    ],
)  # fmt: skip
def test_a_sill_on_the_way_needs_its_height_and_zero(judged: Judged, parts: dict[str, Any], expected: Outcome) -> None:
    facts = place(worked_example(1), "morrowick", gates=("morrowick-lock", "hallorn-sill"))

    assert worst(judged(RULE, gate(facts, "hallorn-sill", **parts))) == expected


def test_a_sill_off_the_way_is_not_asked(judged: Judged) -> None:
    assert worst(judged(RULE, gate(worked_example(1), "hallorn-sill", zero=None))) == Outcome.PASSED


def test_nothing_that_depends_on_the_tide_is_not_asked(judged: Judged) -> None:
    facts = worked_example(1)
    points = tuple(replace(point, depth_matters=False, gate=None) for point in facts.leg.points)
    deep = leg(facts, points=points, departure_place="nowhere", arrival_place="nowhere")

    assert [one.applies for one in judged(RULE, deep)] == [False]


def test_a_harbour_move_asks_and_no_waiver_is_possible(judged: Judged) -> None:
    found = judged(RULE, leg(station(worked_example(1), datum=None), harbour_move=True))

    assert [outcome(one) for one in found] == [Outcome.UNKNOWN]
    assert at_worst(found).cause == ("tide", "ostrel")
    assert RULE.waive == {Outcome.UNKNOWN: Waive.NEVER}
