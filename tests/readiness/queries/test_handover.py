"""The chapters of her legs: all of them, and nobody by name."""

from datetime import timedelta

import pytest
from pytest_django import DjangoAssertNumQueries

from readiness.actions.decision import decide
from readiness.actions.verdict import judge_leg
from readiness.models import DecisionWord
from readiness.queries.handover import decisions, passages
from tests.factories.readiness import stored
from tests.factories.worked_example import worked_example

pytestmark = pytest.mark.django_db


def test_legs_and_decisions_are_told_without_names(django_assert_num_queries: DjangoAssertNumQueries) -> None:
    facts = worked_example()
    leg = stored(facts)
    verdict = judge_leg(leg_id=leg.pk, at=facts.judged_at, by="timetable", departures=facts.departures)
    decided_at = facts.judged_at + timedelta(minutes=1)
    decide(verdict_id=verdict.pk, word=DecisionWord.NO_GO, by="owner-1", at=decided_at, reason="Odile is tired")

    with django_assert_num_queries(2):
        legs, decided = passages(leg.vessel_id), decisions(leg.vessel_id)

    assert legs.rows == [
        (
            "Ostrel Haven to Morrowick Basin", "Ostrel Haven", "Morrowick Basin", "planned",
            "2027-05-15T06:30:00.000000Z", None, None, 3, "",
        )
    ]  # fmt: skip
    assert len(legs.columns) == len(legs.rows[0])
    (row,) = decided.rows
    assert len(decided.columns) == len(row)
    assert row[4] == "no-go"
    assert row[-1] == verdict.facts_sha256
    everything = f"{legs.rows}{decided.rows}"
    assert not any(name in everything for name in ("Ines", "Tam", "Odile", "Ruan", "owner-1"))
