"""A leg is judged from the database, and its verdict kept so that it can be judged again years later."""

import hashlib
from datetime import timedelta

import pytest
from pytest_django import DjangoAssertNumQueries

from readiness.actions.decision import decide
from readiness.actions.verdict import judge_leg
from readiness.models import DecisionWord, Leg, Verdict
from readiness.rules.engine import judge
from readiness.rules.facts import Facts, decode
from tests.factories.readiness import bare_leg, stored
from tests.factories.worked_example import worked_example
from vessel.errors import BadInput

pytestmark = pytest.mark.django_db
WORDS = ("go", "go if", "cannot say yet", "no-go")


@pytest.fixture
def facts() -> Facts:
    """The worked example."""
    return worked_example()


@pytest.fixture
def leg(facts: Facts) -> Leg:
    """Its leg, stored."""
    return stored(facts)


def judged(leg: Leg, facts: Facts, later_s: float = 0) -> Verdict:
    """The verdict of the planned departure, judged so much later."""
    at = facts.judged_at + timedelta(seconds=later_s)
    return judge_leg(leg_id=leg.pk, at=at, by="timetable", departures=facts.departures)


def test_the_verdict_is_that_of_its_own_facts_at_the_planned_departure(leg: Leg, facts: Facts) -> None:
    verdict = judged(leg, facts)

    again = judge(decode(verdict.facts_document))
    index = again.index_at(leg.planned_at.timestamp())
    assert verdict.departure_at == leg.planned_at
    assert verdict.word == WORDS[again.verdict[index]]
    assert verdict.departures["verdict"] == again.verdict.tolist()
    assert verdict.departures["outlook"] == again.outlook.tolist()
    assert hashlib.sha256(verdict.facts_document).hexdigest() == verdict.facts_sha256
    rules = [verdict.departures["causes"][place][0] for place in verdict.departures["deciding"]]
    assert rules == [again.judgements[row].rule for row in again.deciding]


def test_what_decides_is_named_unless_it_is_a_go(leg: Leg, facts: Facts) -> None:
    verdict = judged(leg, facts)

    assert bool(verdict.deciding_rule) == (verdict.word != "go")
    assert verdict.findings[0]["sentence"] == verdict.sentence


def test_judged_twice_there_is_one_verdict(leg: Leg, facts: Facts) -> None:
    first = judged(leg, facts)

    again = judged(leg, facts)

    assert again.pk == first.pk
    assert Verdict.objects.count() == 1


def test_a_verdict_that_says_the_same_later_is_written_over(leg: Leg, facts: Facts) -> None:
    first = judged(leg, facts)

    later = judged(leg, facts, later_s=60)

    assert later.pk == first.pk
    assert later.judged_at > first.judged_at


def test_a_verdict_that_says_otherwise_stands_beside_the_old_one(leg: Leg, facts: Facts) -> None:
    first = judged(leg, facts)
    leg.vessel.forecasts.all().delete()

    other = judged(leg, facts, later_s=60)

    assert other.pk != first.pk
    assert list(Verdict.objects.filter(is_newest=True)) == [other]
    assert Verdict.objects.get(pk=first.pk).word == first.word


def test_a_verdict_somebody_decided_on_is_never_written_over(leg: Leg, facts: Facts) -> None:
    first = judged(leg, facts)
    decide(verdict_id=first.pk, word=DecisionWord.NO_GO, by="owner-000001", at=facts.judged_at)

    later = judged(leg, facts, later_s=60)

    assert later.pk != first.pk
    assert Verdict.objects.get(pk=first.pk).facts_sha256 == first.facts_sha256


def test_an_older_judging_that_comes_late_does_not_push_out_a_newer_one(leg: Leg, facts: Facts) -> None:
    newer = judged(leg, facts, later_s=60)

    given = judged(leg, facts)

    assert given == newer
    assert Verdict.objects.get().judged_at == newer.judged_at


def test_a_leg_that_cannot_be_judged_keeps_its_old_verdict(leg: Leg, facts: Facts) -> None:
    first = judged(leg, facts)
    leg.points.all().delete()

    with pytest.raises(BadInput, match="at least two points"):
        judged(leg, facts, later_s=60)

    assert Verdict.objects.get() == first


@pytest.mark.parametrize("pasts", [0, 3])
def test_a_leg_is_judged_in_at_most_twenty_queries(
    facts: Facts, pasts: int, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    leg = stored(facts, pasts)

    with django_assert_max_num_queries(20):
        judged(leg, facts)


def test_a_leg_of_which_hardly_anything_is_known_is_judged_and_never_a_go() -> None:
    leg = bare_leg()

    verdict = judge_leg(leg_id=leg.pk, at=leg.planned_at, by="timetable")

    assert verdict.word in {"cannot say yet", "no-go"}
    assert verdict.late_at is None
    assert set(verdict.departures["verdict"]) <= {2, 3}
