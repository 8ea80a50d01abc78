"""How many are aboard."""

from datetime import timedelta

import numpy as np
import pytest
from msgspec.structs import replace

from readiness.rules.facts import Facts, changed
from readiness.rules.judgement import Outcome, Waive
from readiness.rules.number_aboard import RULE
from tests.factories.worked_example import JUDGED_AT, worked_example
from tests.readiness.rules.alter import at_worst, demand, leg, person, sentence, vessel, without, worst
from tests.readiness.rules.conftest import Judged


def guests(facts: Facts, count: int) -> Facts:
    """So many people more, like Odile."""
    more = tuple(replace(facts.people[2], name=f"Guest {number}") for number in range(count))
    return changed(facts, people=(*facts.people, *more))


@pytest.mark.parametrize(
    ("most", "least", "expected"),
    [
        (4, 2, Outcome.PASSED), (3, 2, Outcome.PASSED), (2, 2, Outcome.NO_GO), (None, 2, Outcome.UNKNOWN),
        (8, 3, Outcome.PASSED), (8, 4, Outcome.NO_GO), (8, None, Outcome.UNKNOWN),
    ],
)  # fmt: skip
def test_three_aboard_against_what_she_may_carry_and_needs(
    judged: Judged, most: int | None, least: int | None, expected: Outcome
) -> None:
    facts = vessel(worked_example(1), max_persons=most, min_crew=least)

    assert worst(judged(RULE, facts)) == expected


def test_it_says_how_many_and_how_many_she_may_carry(judged: Judged) -> None:
    facts = guests(worked_example(1), 6)

    assert sentence(judged(RULE, facts)) == "9 aboard; she may carry 8."


def test_too_many_is_never_waived_and_too_few_may_be(judged: Judged) -> None:
    too_many, too_few = judged(RULE, worked_example(1))

    assert RULE.waive == {Outcome.NO_GO: Waive.ONE_LEG}
    assert (too_many.never_waived, too_few.never_waived) == (True, False)


def test_those_who_have_said_no_are_not_counted(judged: Judged) -> None:
    facts = person(person(worked_example(1), "Tam", confirmed=False), "Odile", confirmed=False)

    assert sentence(judged(RULE, facts)) == "1 aboard; she needs 2 all the way."


def test_people_are_counted_at_each_moment_and_the_fewest_decides(judged: Judged) -> None:
    facts = without(worked_example(1), "Odile")
    (ines, tam), change = facts.people, JUDGED_AT + timedelta(hours=5)
    first = replace(tam, aboard=(replace(tam.aboard[0], end=change),))
    second = replace(tam, name="Jory Pask", aboard=(replace(tam.aboard[0], start=change),))
    later = replace(tam, name="Jory Pask", aboard=(replace(tam.aboard[0], start=change + timedelta(seconds=1)),))

    relieved, gap = (changed(facts, people=(ines, first, other)) for other in (second, later))

    assert [demand(one) for one in judged(RULE, relieved)] == [2.0, 2.0]
    assert [demand(one) for one in judged(RULE, gap)] == [2.0, 1.0]
    assert worst(judged(RULE, relieved)) == Outcome.PASSED
    assert worst(judged(RULE, gap)) == Outcome.NO_GO


def test_a_harbour_move_counts_only_those_who_said_yes(judged: Judged) -> None:
    facts = person(person(worked_example(1), "Tam", confirmed=None), "Odile", confirmed=None)

    outside, inside = judged(RULE, facts), judged(RULE, leg(facts, harbour_move=True))

    assert worst(outside) == Outcome.PASSED
    assert worst(inside) == Outcome.NO_GO
    assert sentence(inside) == "1 aboard; she needs 2 all the way."


def test_somebody_whose_times_are_not_known_may_be_aboard_and_is_not_counted_on(judged: Judged) -> None:
    facts = person(worked_example(1), "Tam", aboard=())

    most, least = judged(RULE, facts)

    assert (np.max(most.demand), np.max(least.demand)) == (3.0, 2.0)
    assert at_worst(judged(RULE, facts)).outcome[0] == Outcome.PASSED
