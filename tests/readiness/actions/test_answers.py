"""Answering a verdict: waive a no-go, meet a condition, decide."""

from datetime import timedelta
from typing import Any

import pytest

from readiness.actions.condition import meet_condition, strike_condition
from readiness.actions.decision import decide
from readiness.actions.verdict import judge_leg
from readiness.actions.waiver import give_waiver, withdraw_waiver
from readiness.models import ConditionMet, Decision, DecisionWord, Leg, Verdict, Waiver
from readiness.rules.facts import Facts
from readiness.rules.register import RULE_OF
from tests.factories.readiness import stored
from tests.factories.worked_example import worked_example
from vessel.errors import BadInput, Refused
from vessel.models import HistoryEntry, HistoryPrivate

pytestmark = pytest.mark.django_db


@pytest.fixture
def facts() -> Facts:
    """The worked example."""
    return worked_example()


@pytest.fixture
def leg(facts: Facts) -> Leg:
    """Its leg, stored."""
    return stored(facts)


def judged(leg: Leg, facts: Facts, minutes: float = 0) -> Verdict:
    """Its verdict, judged so many minutes later."""
    at = facts.judged_at + timedelta(minutes=minutes)
    return judge_leg(leg_id=leg.pk, at=at, by="timetable", departures=facts.departures)


def one(verdict: Verdict, outcome: str, rule: str = "") -> dict[str, Any]:
    """The first line of an outcome in a verdict."""
    return next(line for line in verdict.findings if line["outcome"] == outcome and rule in line["rule"])


@pytest.fixture
def shorthanded(leg: Leg) -> Leg:
    """The leg with two hands too few: a no-go that may be waived for one leg."""
    leg.crew_rows.filter(skipper=False).delete()
    return leg


def waived(leg: Leg, facts: Facts, line: dict[str, Any], **more: Any) -> Waiver:
    """A waiver of a line."""
    whole: dict[str, Any] = {"reason": "Two friends at the lock", "instead": "They take the lines", "told": []}
    return give_waiver(
        leg_id=leg.pk, rule=line["rule"], cause=line["cause"], by="owner-1", at=facts.judged_at, **{**whole, **more}
    )


def test_a_waiver_keeps_figure_limit_leg_and_crew_and_lapses_a_tenth_worse(shorthanded: Leg, facts: Facts) -> None:
    line = one(judged(shorthanded, facts), "no-go", "hands_at_gate")

    waiver = waived(shorthanded, facts, line)

    assert (waiver.value, waiver.limit) == (1.0, 3.0)
    assert waiver.lapses_at_value == pytest.approx(0.9)
    assert waiver.departure_at == shorthanded.planned_at
    assert waiver.leg_distance_m == pytest.approx(48 * 1852, abs=1)
    assert waiver.crew == ["crew-000001"]
    told = HistoryEntry.objects.latest("number")
    assert told.what == f"Waived for Ostrel Haven to Morrowick Basin: {RULE_OF['hands_at_gate'].title}."
    assert HistoryPrivate.objects.get(number=told.number).text == "Two friends at the lock Instead: They take the lines"


def test_a_waived_no_go_stands_as_a_condition_when_judged_again(shorthanded: Leg, facts: Facts) -> None:
    line = one(judged(shorthanded, facts), "no-go", "hands_at_gate")

    waived(shorthanded, facts, line)

    again = one(judged(shorthanded, facts, minutes=1), "no-go", "hands_at_gate")
    assert again["standing"] == "condition"


def test_a_waiver_taken_back_counts_no_more_and_the_finding_may_be_waived_anew(shorthanded: Leg, facts: Facts) -> None:
    line = one(judged(shorthanded, facts), "no-go", "hands_at_gate")
    waiver = waived(shorthanded, facts, line)

    withdraw_waiver(waiver_id=waiver.pk, seen_version=1, by="owner-1", at=facts.judged_at)

    assert one(judged(shorthanded, facts, minutes=1), "no-go", "hands_at_gate")["standing"] == "no-go"
    assert waived(shorthanded, facts, line).pk != waiver.pk
    with pytest.raises(Refused, match="taken back already"):
        withdraw_waiver(waiver_id=waiver.pk, seen_version=2, by="owner-1", at=facts.judged_at)


def test_only_a_no_go_is_waived(leg: Leg, facts: Facts) -> None:
    verdict = judged(leg, facts)
    condition = next(line for line in verdict.findings if line["outcome"] != "no-go")

    with pytest.raises(Refused, match="Only a no-go is waived"):
        waived(leg, facts, condition)


def test_a_no_go_whose_rule_is_never_waived_is_not(leg: Leg, facts: Facts) -> None:
    verdict = judged(leg, facts)
    verdict.findings = [
        {"rule": "steering", "cause": "function:steer", "outcome": "no-go", "demand": 1.0, "limit": 0.0}
    ]
    verdict.save()

    with pytest.raises(Refused, match="can never be waived"):
        waived(leg, facts, verdict.findings[0])

    assert not Waiver.objects.exists()


def test_more_people_than_she_may_carry_is_not_waived_though_fewer_than_wanted_may(leg: Leg, facts: Facts) -> None:
    leg.vessel.max_persons = 2
    leg.vessel.save()
    line = one(judged(leg, facts), "no-go", "number_aboard")

    with pytest.raises(Refused, match="cannot be waived"):
        waived(leg, facts, line)

    assert not Waiver.objects.exists()


@pytest.mark.parametrize("empty", ["reason", "instead"])
def test_a_waiver_without_words_is_not_written(shorthanded: Leg, facts: Facts, empty: str) -> None:
    line = one(judged(shorthanded, facts), "no-go", "hands_at_gate")

    with pytest.raises(BadInput, match="Nothing was changed"):
        waived(shorthanded, facts, line, **{empty: "  "})


def test_what_is_not_in_the_newest_verdict_is_not_answered(leg: Leg, facts: Facts) -> None:
    with pytest.raises(Refused, match="not been judged yet"):
        meet_condition(leg_id=leg.pk, rule="x", cause="y:", by="owner-1", at=facts.judged_at)
    judged(leg, facts)
    with pytest.raises(Refused, match="not in the newest verdict"):
        meet_condition(leg_id=leg.pk, rule="x", cause="y:", by="owner-1", at=facts.judged_at)


@pytest.fixture
def conditional(leg: Leg) -> Leg:
    """The leg with a shore contact who has not answered: a condition."""
    leg.contact_acknowledged = None
    leg.save()
    return leg


def met(leg: Leg, facts: Facts) -> ConditionMet:
    """That condition met."""
    line = one(judged(leg, facts), "condition", "shore_contact")
    return meet_condition(
        leg_id=leg.pk, rule=line["rule"], cause=line["cause"], by="owner-1", at=facts.judged_at, note="Rang back"
    )


def test_a_condition_met_passes_when_judged_again_until_it_is_struck_out(conditional: Leg, facts: Facts) -> None:
    said = met(conditional, facts)

    assert one(judged(conditional, facts, minutes=1), "condition", "shore_contact")["standing"] == "passed"
    assert "Rang back" not in HistoryEntry.objects.latest("number").what
    strike_condition(met_id=said.pk, by="owner-1", at=facts.judged_at)
    assert one(judged(conditional, facts, minutes=2), "condition", "shore_contact")["standing"] == "condition"
    with pytest.raises(Refused, match="struck out already"):
        strike_condition(met_id=said.pk, by="owner-1", at=facts.judged_at)


def test_only_a_condition_is_met(shorthanded: Leg, facts: Facts) -> None:
    line = one(judged(shorthanded, facts), "no-go", "hands_at_gate")

    with pytest.raises(Refused, match="not a condition"):
        meet_condition(leg_id=shorthanded.pk, rule=line["rule"], cause=line["cause"], by="owner-1", at=facts.judged_at)


def as_go_if(verdict: Verdict) -> list[tuple[str, str]]:
    """The verdict stood as a go if on two conditions, whatever the rules say by now."""
    conditions = [("not_tested", "job:JOB-1"), ("shore_contact", "shore contact:")]
    verdict.word = "go if"
    verdict.findings = [
        {"rule": rule, "cause": cause, "standing": "condition", "outcome": "condition", "sentence": f"{rule} first."}
        for rule, cause in conditions
    ]
    verdict.save()
    return conditions


def test_to_go_every_condition_is_accepted(leg: Leg, facts: Facts) -> None:
    verdict = judged(leg, facts)
    conditions = as_go_if(verdict)

    with pytest.raises(BadInput, match=r"shore_contact first\. Nothing was decided"):
        decide(verdict_id=verdict.pk, word=DecisionWord.GO, by="owner-1", at=facts.judged_at, accepted=conditions[:1])
    decision = decide(
        verdict_id=verdict.pk, word=DecisionWord.GO, by="owner-1", at=facts.judged_at, accepted=conditions
    )

    assert not decision.against
    assert [line["rule"] for line in decision.conditions] == ["not_tested", "shore_contact"]
    told = HistoryEntry.objects.latest("number")
    assert told.what == "Decided on Ostrel Haven to Morrowick Basin: we go; the verdict was Go if."


@pytest.mark.parametrize("word", ["no-go", "cannot say yet"])
def test_to_go_against_a_verdict_needs_a_reason(leg: Leg, facts: Facts, word: str) -> None:
    verdict = judged(leg, facts)
    Verdict.objects.filter(pk=verdict.pk).update(word=word, findings=[], deciding_rule="mean_wind")

    with pytest.raises(BadInput, match="write down why"):
        decide(verdict_id=verdict.pk, word=DecisionWord.GO, by="owner-1", at=facts.judged_at)
    decision = decide(
        verdict_id=verdict.pk, word=DecisionWord.GO, by="owner-1", at=facts.judged_at, reason="Calm in the lee"
    )

    assert decision.against
    assert Verdict.objects.get().word == word


def test_to_stay_needs_nothing(leg: Leg, facts: Facts) -> None:
    decision = decide(verdict_id=judged(leg, facts).pk, word=DecisionWord.NO_GO, by="owner-1", at=facts.judged_at)

    assert decision.conditions == []


def test_a_decision_is_for_the_newest_fresh_verdict_and_once(leg: Leg, facts: Facts) -> None:
    old = judged(leg, facts)
    late = facts.judged_at + timedelta(hours=6, seconds=1)
    with pytest.raises(Refused, match="older than six hours"):
        decide(verdict_id=old.pk, word=DecisionWord.NO_GO, by="owner-1", at=late)
    decide(verdict_id=old.pk, word=DecisionWord.NO_GO, by="owner-1", at=facts.judged_at + timedelta(hours=6))
    with pytest.raises(Refused, match="decided on this verdict already"):
        decide(verdict_id=old.pk, word=DecisionWord.GO, by="owner-1", at=facts.judged_at)
    judged(leg, facts, minutes=5)
    with pytest.raises(Refused, match="newer verdict"):
        decide(verdict_id=old.pk, word=DecisionWord.NO_GO, by="owner-1", at=facts.judged_at)
    assert Decision.objects.count() == 1
