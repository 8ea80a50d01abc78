"""Stacked arrival: each of the eight things, and how many of them are too many."""

from collections.abc import Callable
from datetime import timedelta
from functools import reduce

import numpy as np
import pytest
from msgspec.structs import replace

from readiness.rules.facts import Facts
from readiness.rules.judgement import Outcome, Waive
from readiness.rules.stacked_arrival import RULE, strains
from readiness.rules.under_way import passage_of
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import (
    at_worst,
    forecast,
    gate,
    leg,
    limits,
    outcome,
    place,
    ripens,
    sentence,
    vessel,
    water,
    without,
    worst,
)
from tests.readiness.rules.conftest import Judged
from vessel.units import HOUR, KNOT, NAUTICAL_MILE

NAN = float("nan")
Alter = Callable[[Facts], Facts]


def later(facts: Facts) -> Facts:
    """Leaving at 16:00 UTC: dark on arrival."""
    departures = replace(facts.departures, first=facts.departures.first + timedelta(hours=9.5))
    return replace(facts, departures=departures)


def shallow(facts: Facts) -> Facts:
    """Well under 1.2 m of water under her at the berth."""
    *points, last = facts.leg.points
    return leg(facts, points=(*points, replace(last, charted_m=-1.5)))


def tired(facts: Facts) -> Facts:
    """Two and a third hours each are long for them."""
    return limits(facts, helm_ok_s=2.8 * HOUR)


ADDED: dict[str, Alter] = {
    "dark": later,
    "a harbour they do not know": lambda facts: place(facts, "morrowick", familiar=False),
    "wind of 17 kn or more": lambda facts: forecast(facts, wind_east_mps=17 * KNOT),
    "visibility under 2 nmi": lambda facts: forecast(facts, visibility_m=1.99 * NAUTICAL_MILE),
    "less than 1.0 m surely under the keel": shallow,
    "less than 60 min before the gate shuts": lambda facts: gate(facts, "morrowick-lock", last_entry_s=1020.0),
    "four hours or more at the helm each": lambda facts: tired(without(facts, "Odile")),
}
NOT_QUITE: dict[str, Alter] = {
    "wind of 17 kn or more": lambda facts: forecast(facts, wind_east_mps=16.99 * KNOT),
    "visibility under 2 nmi": lambda facts: forecast(facts, visibility_m=2.0 * NAUTICAL_MILE),
    "less than 60 min before the gate shuts": lambda facts: gate(facts, "morrowick-lock", last_entry_s=960.0),
}
HANDS = "hands exactly the minimum"  # three fit aboard, two on the lines of the lock and one at the helm


def meeting(facts: Facts) -> list[str]:
    """What meets at the arrival of the first departure."""
    return [strain.words for strain in strains(facts, passage_of(facts), facts.limits) if strain.met[0] == 1.0]


def test_on_the_worked_morning_only_the_hands_are_few() -> None:
    assert meeting(worked_example(1)) == [HANDS]


@pytest.mark.parametrize("words", ADDED)
def test_each_thing_counts(words: str) -> None:
    assert words in meeting(ADDED[words](worked_example(1)))


@pytest.mark.parametrize("words", NOT_QUITE)
def test_on_the_good_side_of_its_limit_it_does_not_count(words: str) -> None:
    assert words not in meeting(NOT_QUITE[words](worked_example(1)))


def test_hands_above_the_minimum_do_not_count_and_below_it_do() -> None:
    one_line = gate(worked_example(1), "morrowick-lock", hands=1)

    assert HANDS not in meeting(one_line)
    assert HANDS in meeting(without(one_line, "Odile"))
    assert HANDS in meeting(gate(without(worked_example(1), "Odile"), "morrowick-lock", hands=0))  # her least crew is 2


def test_a_lock_shut_when_she_comes_counts_as_shutting_soon() -> None:
    assert "less than 60 min before the gate shuts" in meeting(gate(worked_example(1), "morrowick-lock", before_s=0.0))


def test_deep_water_by_the_chart_does_not_count() -> None:
    facts = shallow(worked_example(1))
    *points, last = facts.leg.points

    assert meeting(leg(facts, points=(*points, replace(last, depth_matters=False)))) == [HANDS]


STACK = ("a harbour they do not know", "wind of 17 kn or more", "visibility under 2 nmi",
         "less than 60 min before the gate shuts")  # fmt: skip


@pytest.mark.parametrize(
    ("added", "expected"),
    [(1, Outcome.PASSED), (2, Outcome.CONDITION), (3, Outcome.CONDITION), (4, Outcome.NO_GO)],
)
def test_two_are_passed_three_and_four_a_condition_and_five_a_no_go(
    judged: Judged, added: int, expected: Outcome
) -> None:
    facts = reduce(lambda so_far, words: ADDED[words](so_far), STACK[:added], worked_example(1))

    assert len(meeting(facts)) == added + 1
    assert worst(judged(RULE, facts)) == expected


def test_they_are_listed_and_not_just_counted(judged: Judged) -> None:
    facts = reduce(lambda so_far, words: ADDED[words](so_far), STACK[:2], worked_example(1))

    found = judged(RULE, facts)

    assert sentence(found) == (
        "At the arrival in Morrowick Basin meet: a harbour they do not know, wind of 17 kn or more and hands exactly the "
        "minimum."
    )
    words = at_worst(found).say(0)
    assert words.do == "Take away one of them before leaving; with 2 it is passed."
    assert [remedy.text for remedy in words.remedies] == ["One more hand comes, good for lines"]
    better = words.remedies[0].change(facts)
    assert worst(judged(RULE, better)) == Outcome.PASSED


def test_nothing_at_once_is_an_easy_arrival(judged: Judged) -> None:
    found = judged(RULE, gate(worked_example(1), "morrowick-lock", hands=1))

    assert sentence(found) == "An easy arrival in Morrowick Basin."


def test_what_is_not_known_matters_only_where_it_would_decide(judged: Judged) -> None:
    facts = worked_example(1)
    one_more = ADDED["wind of 17 kn or more"](facts)  # two at once

    assert worst(judged(RULE, place(facts, "morrowick", familiar=None))) == Outcome.PASSED
    found = judged(RULE, place(one_more, "morrowick", familiar=None))
    assert (worst(found), at_worst(found).cause) == (Outcome.UNKNOWN, ("arrival", "morrowick"))
    assert not ripens(at_worst(found))
    assert sentence(found) == (
        "Whether these meet at the arrival is not known: a harbour they do not know. With them it would be too much."
    )


@pytest.mark.parametrize(
    "lose",
    [
        lambda facts: water(facts, places=tuple(one for one in facts.water.places if one.key != "morrowick")),
        lambda facts: gate(facts, "morrowick-lock", hands=None),
        lambda facts: gate(facts, "morrowick-lock", before_s=NAN),
        lambda facts: vessel(facts, min_crew=None, draught_m=NAN),
    ],
)
def test_no_loss_takes_a_thing_away(judged: Judged, lose: Alter) -> None:
    facts = reduce(lambda so_far, words: ADDED[words](so_far), STACK[:2], worked_example(1))

    assert worst(judged(RULE, lose(facts))) >= Outcome.CONDITION


def test_without_a_forecast_it_settles_itself(judged: Judged) -> None:
    starved = at_worst(judged(RULE, water(ADDED["a harbour they do not know"](worked_example(1)), forecast=None)))

    assert (outcome(starved), starved.cause, ripens(starved)) == (Outcome.UNKNOWN, ("forecast", ""), True)


def test_five_sure_things_are_a_no_go_whatever_is_missing(judged: Judged) -> None:
    facts = reduce(lambda so_far, words: ADDED[words](so_far), STACK, worked_example(1))
    held = facts.water.forecast
    assert held is not None

    assert worst(judged(RULE, forecast(facts, pressure_hpa=np.full(held.pressure_hpa.shape, np.nan)))) == Outcome.NO_GO


def test_without_a_late_arrival_that_is_what_is_missing(judged: Judged) -> None:
    found = judged(RULE, leg(worked_example(1), speed_mps=NAN))

    assert (worst(found), at_worst(found).cause) == (Outcome.UNKNOWN, ("late arrival", ""))


def test_a_harbour_move_does_not_ask_and_both_outcomes_may_be_waived_for_one_leg(judged: Judged) -> None:
    facts = reduce(lambda so_far, words: ADDED[words](so_far), STACK, worked_example(1))

    found = judged(RULE, leg(facts, harbour_move=True))

    assert [(one.applies, worst([one])) for one in found] == [(False, Outcome.PASSED)]
    assert RULE.waive == {Outcome.NO_GO: Waive.ONE_LEG, Outcome.CONDITION: Waive.ONE_LEG}


def test_a_gate_that_is_shut_is_not_said_to_shut_soon() -> None:
    facts = gate(
        worked_example(1), "morrowick-lock", before_s=-HOUR, after_s=2 * HOUR
    )  # opens an hour after high water
    passage = passage_of(facts)

    told = [strain.told(0) for strain in strains(facts, passage, facts.limits) if strain.met[0] == 1.0]

    assert "a gate that is shut when she comes" in told
    assert "less than 60 min before the gate shuts" not in told
