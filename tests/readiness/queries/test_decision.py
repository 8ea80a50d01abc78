"""What people answered to a leg's findings."""

from datetime import timedelta

import pytest
from pytest_django import DjangoAssertNumQueries

from readiness.actions.decision import decide
from readiness.actions.verdict import judge_leg
from readiness.models import ConditionMet, DecisionWord, Leg, Waiver
from readiness.queries.decision import answers_of
from tests.factories.aboard import aboard
from tests.factories.readiness import stored
from tests.factories.worked_example import worked_example
from vessel.actions.author import token_of
from vessel.models import Membership

pytestmark = pytest.mark.django_db
FACTS = worked_example(1)


@pytest.fixture
def leg() -> Leg:
    return stored(FACTS)


@pytest.fixture
def ines(leg: Leg) -> Membership:
    return aboard(leg.vessel)


def waived(leg: Leg, by: str, cause: str, **fields: object) -> Waiver:
    given = {
        "at": FACTS.judged_at,
        "reason": "r",
        "instead": "i",
        "departure_at": leg.planned_at,
        "leg_distance_m": 1.0,
    }
    return Waiver.objects.create(
        leg=leg, rule="mean_wind", cause=cause, engine_version="1", by=by, **{**given, **fields}
    )


def met(leg: Leg, by: str, cause: str, **fields: object) -> ConditionMet:
    given = {"at": FACTS.judged_at, "departure_at": leg.planned_at}
    return ConditionMet.objects.create(leg=leg, rule="not_tested", cause=cause, by=by, **{**given, **fields})


def test_waivers_and_conditions_stand_under_rule_and_cause_with_names(leg: Leg, ines: Membership) -> None:
    by = token_of(by=ines.user, vessel_id=leg.vessel_id)
    one = leg.crew.order_by("pk")[0]
    kept = waived(leg, by, "wind:", told=[one.token])
    waived(leg, by, "gone:", withdrawn_at=FACTS.judged_at)
    said = met(leg, by, "job:JOB-1")
    met(leg, by, "job:JOB-2", struck_at=FACTS.judged_at)
    met(leg, by, "job:JOB-3", departure_at=leg.planned_at + timedelta(minutes=15))

    answers = answers_of(leg, leg.planned_at)

    name = ines.user.get_username()
    assert {key: (told.waiver, told.by, told.told) for key, told in answers.waivers.items()} == {
        ("mean_wind", "wind:"): (kept, name, (one.name,))
    }
    assert {key: (told.met, told.by) for key, told in answers.met.items()} == {
        ("not_tested", "job:JOB-1"): (said, name)
    }


def test_decisions_stand_newest_first_with_the_verdict_they_were_taken_on(leg: Leg, ines: Membership) -> None:
    for minutes, word in ((0, DecisionWord.NO_GO), (5, DecisionWord.NO_GO)):
        at = FACTS.judged_at + timedelta(minutes=minutes)
        verdict = judge_leg(leg_id=leg.pk, at=at, by="timetable", departures=FACTS.departures)
        decide(verdict_id=verdict.pk, word=word, by=ines.user, at=at)

    newest, older = answers_of(leg, leg.planned_at).decisions

    assert newest.decision.at > older.decision.at
    assert (newest.by, newest.verdict_word) == (ines.user.get_username(), "Go if")
    assert newest.departure_at == leg.planned_at


@pytest.mark.parametrize("rows", [1, 3])
def test_it_costs_five_queries_however_much_was_answered(
    leg: Leg, rows: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    for number in range(rows):
        waived(leg, "owner-1", f"wind:{number}")
        met(leg, "owner-1", f"job:JOB-{number}")

    with django_assert_num_queries(5):
        assert len(answers_of(leg, leg.planned_at).waivers) == rows
