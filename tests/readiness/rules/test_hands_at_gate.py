"""Hands at each gate."""

from datetime import UTC, datetime
from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from readiness.rules.facts import Facts
from readiness.rules.facts_water import Help
from readiness.rules.hands_at_gate import RULE
from readiness.rules.judgement import Outcome
from readiness.rules.words_of_trade import GateKind
from tests.factories.worked_example import JUDGED_AT, worked_example
from tests.readiness.rules.alter import at_worst, gate, leg, person, place, sentence, water, without, worst
from tests.readiness.rules.conftest import Judged

LOCK = "morrowick-lock"
PROMISED = Help(confirmed=True, name="J. Ruddle", at=JUDGED_AT)


def helped(facts: Facts, promise: Help) -> Facts:
    """The same leg with what the lock's keeper promised."""
    return gate(facts, LOCK, help=promise)


@pytest.mark.parametrize(
    ("absent", "promise", "expected"),
    [
        ((), None, Outcome.PASSED), (("Tam",), None, Outcome.NO_GO), (("Tam",), PROMISED, Outcome.CONDITION),
        (("Tam",), replace(PROMISED, confirmed=False), Outcome.NO_GO),
        (("Tam",), replace(PROMISED, name=" "), Outcome.NO_GO), (("Tam",), replace(PROMISED, at=None), Outcome.NO_GO),
        (("Tam", "Odile"), PROMISED, Outcome.NO_GO),
    ],
)  # fmt: skip
def test_three_hands_less_some_and_a_keepers_help(
    judged: Judged, absent: tuple[str, ...], promise: Help | None, expected: Outcome
) -> None:
    facts = without(worked_example(1), *absent)

    assert worst(judged(RULE, helped(facts, promise) if promise else facts)) == expected


@pytest.mark.parametrize(
    ("hands", "expected"), [(1, Outcome.PASSED), (2, Outcome.PASSED), (3, Outcome.NO_GO), (None, Outcome.UNKNOWN)]
)
def test_the_gate_says_how_many_it_wants(judged: Judged, hands: int | None, expected: Outcome) -> None:
    assert worst(judged(RULE, gate(worked_example(1), LOCK, hands=hands))) == expected


def test_it_says_who_promised(judged: Judged) -> None:
    facts = helped(without(worked_example(1), "Tam"), PROMISED)

    assert sentence(judged(RULE, facts)) == (
        "Morrowick lock wants 2 on the lines and one at the helm; 2 fit aboard. J. Ruddle has promised to take lines."
    )


@pytest.mark.parametrize(
    ("leaves", "refuges", "expected"),
    [
        (datetime(2027, 5, 15, 14, 38, tzinfo=UTC), ("hallorn",), Outcome.PASSED),
        (datetime(2027, 5, 15, 14, 0, tzinfo=UTC), ("brannowmouth",), Outcome.CONDITION),
        (datetime(2027, 5, 15, 14, 0, tzinfo=UTC), (), Outcome.NO_GO),
        (datetime(2027, 5, 15, 13, 0, tzinfo=UTC), ("brannowmouth",), Outcome.NO_GO),
    ],
    ids=["after she is in", "before late, with a way out", "before late, without one", "before plan"],
)
def test_a_hand_who_leaves_on_the_way(
    judged: Judged, leaves: datetime, refuges: tuple[str, ...], expected: Outcome
) -> None:
    facts = worked_example(1)
    span = replace(facts.people[2].aboard[0], end=leaves)
    facts = leg(person(facts, "Odile", aboard=(span,)), refuges=refuges)
    facts = gate(facts, "brannow-bar", most_sea_m=2.0)
    without_home = place(facts, "ostrel", charted_m=-9.0)  # so that only the refuges can be a way out
    found = judged(RULE, without_home)

    assert worst(found) == expected
    assert ("No way out passes (Ostrel Haven: too little water)." in sentence(found)) == (not refuges)


def test_nobody_who_is_not_known_to_be_fit_is_a_hand(judged: Judged) -> None:
    assert worst(judged(RULE, person(worked_example(1), "Odile", fit=None))) == Outcome.NO_GO


def test_the_keepers_promise_judged_again_makes_it_a_condition(judged: Judged) -> None:
    facts = without(worked_example(1), "Tam")
    remedy = next(one for one in at_worst(judged(RULE, facts)).say(0).remedies if "keeper" in one.text)

    again = judged(RULE, remedy.change(facts))

    assert remedy.text == "The keeper of Morrowick lock promises to take lines"
    assert worst(again) == Outcome.CONDITION


def test_two_short_have_no_such_remedy(judged: Judged) -> None:
    facts = without(worked_example(1), "Tam", "Odile")

    assert not [one for one in at_worst(judged(RULE, facts)).say(0).remedies if "keeper" in one.text]


def test_a_gate_the_coast_does_not_know_is_not_known_and_no_gate_is_not_asked(judged: Judged) -> None:
    facts = worked_example(1)
    lost = water(facts, gates=facts.water.gates[:2])
    points = tuple(replace(point, gate=None) for point in facts.leg.points)
    none = place(leg(facts, points=points), "morrowick", gates=())

    assert worst(judged(RULE, lost)) == Outcome.UNKNOWN
    assert [one.applies for one in judged(RULE, none)] == [False]


def test_a_harbour_move_asks_too(judged: Judged) -> None:
    facts = leg(without(worked_example(1), "Tam"), harbour_move=True)

    assert worst(judged(RULE, facts)) == Outcome.NO_GO


@pytest.mark.parametrize(
    ("parts", "asked"),
    [
        ({"kind": GateKind.NARROWS}, False), ({"kind": GateKind.BRIDGE, "fixed": True}, False),
        ({"kind": GateKind.BRIDGE, "fixed": False}, True), ({"kind": GateKind.BRIDGE, "fixed": None}, True),
        ({"kind": GateKind.SILL}, True),
    ],
)  # fmt: skip
def test_nobody_makes_fast_in_narrows_or_under_a_bridge_that_never_opens(
    judged: Judged, parts: dict[str, Any], asked: bool
) -> None:
    found = judged(RULE, gate(worked_example(1), LOCK, hands=None, **parts))

    assert worst(found) == (Outcome.UNKNOWN if asked else Outcome.PASSED)
    assert [bool(np.all(one.applies)) for one in found] == [asked]


@pytest.mark.parametrize(
    ("absent", "promise", "said"),
    [
        (("Tam",), None, "Ask the keeper to take lines, or wait for crew."),
        (("Tam",), PROMISED, "Make sure of J. Ruddle before leaving, or wait for crew."),
        (("Tam", "Odile"), PROMISED, "Wait for crew: 2 more are wanted; a keeper's help is worth only one of them."),
    ],
)
def test_a_keeper_is_relied_on_only_where_his_help_is_enough(
    judged: Judged, absent: tuple[str, ...], promise: Help | None, said: str
) -> None:
    facts = without(worked_example(1), *absent)

    assert at_worst(judged(RULE, helped(facts, promise) if promise else facts)).say(0).do == said


def test_a_gate_without_lines_has_no_keeper_to_ask(judged: Judged) -> None:
    facts = gate(without(worked_example(1), "Tam"), LOCK, kind=GateKind.BRIDGE, fixed=False)

    words = at_worst(judged(RULE, facts)).say(0)

    assert words.do == "Wait for crew: 1 more is wanted."
    assert not [one for one in words.remedies if "keeper" in one.text]


def test_without_times_nobody_is_counted_as_missing(judged: Judged) -> None:
    found = judged(RULE, leg(worked_example(1), speed_mps=float("nan")))

    assert worst(found) == Outcome.UNKNOWN
    assert sentence(found).endswith("when she comes there is not known.")
