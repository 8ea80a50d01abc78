"""Insurance in force for this leg."""

from datetime import date
from typing import Any

import pytest
from msgspec.structs import replace

from readiness.rules.facts import changed
from readiness.rules.facts_people import Box, Clause
from readiness.rules.insurance import RULE
from readiness.rules.judgement import Outcome, Waive
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import at_worst, demand, leg, policy, sentence, without, worst
from tests.readiness.rules.conftest import Judged

EVENING = 43
AREA = Box(south_deg=45.0, north_deg=48.0, west_deg=-17.0, east_deg=-12.0)
CLAUSE = Clause(text="Survey", due_on=date(2027, 5, 14), met=False)


@pytest.mark.parametrize(
    ("parts", "expected"),
    [
        ({}, Outcome.PASSED),
        ({"from_on": date(2027, 5, 15)}, Outcome.PASSED),
        ({"from_on": date(2027, 5, 16)}, Outcome.NO_GO),
        ({"through_on": date(2027, 5, 14)}, Outcome.NO_GO),
        ({"through_on": date(2027, 5, 15)}, Outcome.ADVICE),
        ({"through_on": date(2027, 5, 28)}, Outcome.ADVICE),
        ({"through_on": date(2027, 5, 29)}, Outcome.PASSED),
        ({"from_on": None}, Outcome.UNKNOWN),
        ({"through_on": None}, Outcome.UNKNOWN),
        ({"months": (5,)}, Outcome.PASSED),
        ({"months": (4, 6)}, Outcome.NO_GO),
        ({"months": ()}, Outcome.UNKNOWN),
        ({"area": replace(AREA, east_deg=-14.0)}, Outcome.NO_GO),
        ({"area": replace(AREA, north_deg=46.5)}, Outcome.PASSED),
        ({"area": replace(AREA, north_deg=46.49)}, Outcome.NO_GO),
        ({"area": replace(AREA, west_deg=170.0)}, Outcome.PASSED),
        ({"area": replace(AREA, south_deg=float("nan"))}, Outcome.UNKNOWN),
        ({"area": None}, Outcome.UNKNOWN),
        ({"clauses": (CLAUSE,)}, Outcome.NO_GO),
        ({"clauses": (replace(CLAUSE, due_on=date(2027, 5, 15)),)}, Outcome.PASSED),
        ({"clauses": (replace(CLAUSE, met=True),)}, Outcome.PASSED),
        ({"clauses": (replace(CLAUSE, met=None),)}, Outcome.UNKNOWN),
        ({"clauses": (replace(CLAUSE, due_on=None),)}, Outcome.UNKNOWN),
    ],
)
def test_each_part_of_the_cover(judged: Judged, parts: dict[str, Any], expected: Outcome) -> None:
    assert worst(judged(RULE, policy(worked_example(1), **parts))) == expected


@pytest.mark.parametrize(
    ("covered", "by_night"), [(True, Outcome.PASSED), (False, Outcome.NO_GO), (None, Outcome.UNKNOWN)]
)
def test_the_night_is_asked_only_where_there_is_one(judged: Judged, covered: bool | None, by_night: Outcome) -> None:
    found = judged(RULE, policy(worked_example(44), night_covered=covered))

    assert (worst(found, 0), worst(found, EVENING)) == (Outcome.PASSED, by_night)


@pytest.mark.parametrize(
    ("covered", "expected"), [(True, Outcome.PASSED), (False, Outcome.NO_GO), (None, Outcome.UNKNOWN)]
)
def test_single_handed_is_asked_only_where_she_is(judged: Judged, covered: bool | None, expected: Outcome) -> None:
    two = policy(without(worked_example(1), "Tam"), single_handed_covered=covered)

    assert worst(judged(RULE, two)) == Outcome.PASSED
    assert worst(judged(RULE, without(two, "Odile"))) == expected


@pytest.mark.parametrize("held", [None, ()])
def test_no_policy_is_not_known(judged: Judged, held: tuple[()] | None) -> None:
    found = judged(RULE, changed(worked_example(1), policies=held))

    assert (worst(found), sentence(found)) == (Outcome.UNKNOWN, "No policy is held.")


def test_every_policy_must_cover_the_leg(judged: Judged) -> None:
    facts = worked_example(1)
    assert facts.policies is not None
    second = replace(facts.policies[0], name="Liability", months=(7,))

    found = judged(RULE, changed(facts, policies=(*facts.policies, second)))

    assert sentence(found) == "Liability does not cover the leg: the months."
    assert at_worst(found).cause == ("policy", "Liability")


def test_a_no_go_may_be_waived_for_one_leg_and_has_a_figure_to_lapse_by(judged: Judged) -> None:
    facts = policy(worked_example(1), months=(7,), through_on=date(2027, 5, 1))

    assert RULE.waive == {Outcome.NO_GO: Waive.ONE_LEG}
    assert demand(at_worst(judged(RULE, facts))) == 2.0


def test_a_harbour_move_asks(judged: Judged) -> None:
    assert worst(judged(RULE, leg(policy(worked_example(1), months=(7,)), harbour_move=True))) == Outcome.NO_GO
