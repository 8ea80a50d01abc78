"""What must always be true of verdicts, and of the deeds that hang on one: decision, waiver, condition met, limits."""

from datetime import timedelta
from typing import Any

import pytest
from django.db import models

from readiness.models import ConditionMet, Decision, Leg, LimitSet, Verdict, Waiver
from readiness.models.verdict import OutlookWord, VerdictWord
from readiness.rules.judgement import Outlook
from readiness.rules.judgement import Verdict as VerdictRank
from readiness.rules.report import OUTLOOK_WORD, VERDICT_WORD
from tests.readiness.models.conftest import AT, Refused

WAIVER: dict[str, Any] = {
    "rule": "mean_wind", "cause": "wind:", "engine_version": "1", "at": AT, "by": "owner", "reason": "Short",
    "instead": "Lee shore", "departure_at": AT, "leg_distance_m": 1852.0,
}  # fmt: skip


def verdict_of(leg: Leg, **changes: Any) -> Verdict:
    """A verdict, not saved."""
    whole: dict[str, Any] = {
        "judged_at": AT, "by": "timetable", "departure_at": AT, "word": "no-go", "outlook": "poor",
        "deciding_rule": "mean_wind", "facts_packed": b"", "facts_sha256": "0" * 64, "engine_version": "1",
        "numpy_version": "2",
    }  # fmt: skip
    return Verdict(leg=leg, **{**whole, **changes})


@pytest.mark.parametrize(
    ("changes", "rule"),
    [
        ({"word": "maybe"}, "verdict_word_is_a_known_word"),
        ({"outlook": "fine"}, "verdict_outlook_is_a_known_word"),
        ({"by": ""}, "verdict_by_is_not_empty"),
        ({"engine_version": ""}, "verdict_engine_version_is_not_empty"),
        ({"facts_sha256": "z" * 64}, "verdict_hash_is_64_hex_digits"),
        ({"deciding_rule": ""}, "verdict_that_is_not_go_says_what_decides"),
    ],
)
def test_a_verdict_that_breaks_a_rule_is_refused(
    leg: Leg, refused: Refused, changes: dict[str, Any], rule: str
) -> None:
    refused(verdict_of(leg, **changes), rule)


def test_a_go_needs_nothing_that_decides(leg: Leg) -> None:
    verdict_of(leg, word="go", outlook="good", deciding_rule="").save()

    assert Verdict.objects.get().word == "go"


def test_one_verdict_of_a_leg_is_the_newest(leg: Leg, refused: Refused) -> None:
    verdict_of(leg).save()

    refused(verdict_of(leg), "UNIQUE")
    verdict_of(leg, is_newest=False).save()


def test_words_stand_in_the_order_in_which_the_rules_rank_them() -> None:
    assert [VERDICT_WORD[rank] for rank in sorted(VerdictRank)] == VerdictWord.labels
    assert [OUTLOOK_WORD[rank] for rank in sorted(Outlook)] == OutlookWord.labels


def test_a_verdict_is_decided_on_once_and_then_stays(leg: Leg, refused: Refused) -> None:
    verdict = verdict_of(leg)
    verdict.save()
    Decision.objects.create(verdict=verdict, word="no-go", at=AT, by="owner")

    refused(Decision(verdict=verdict, word="go", at=AT, by="owner"), "UNIQUE")
    with pytest.raises(models.ProtectedError):
        verdict.delete()


@pytest.mark.parametrize(
    ("changes", "rule"),
    [
        ({"word": "well"}, "decision_word_is_a_known_word"),
        ({"by": ""}, "decision_by_is_not_empty"),
        ({"against": True}, "decision_against_the_verdict_gives_a_reason"),
    ],
)
def test_a_decision_that_breaks_a_rule_is_refused(
    leg: Leg, refused: Refused, changes: dict[str, Any], rule: str
) -> None:
    verdict = verdict_of(leg)
    verdict.save()

    refused(Decision(**{"verdict": verdict, "word": "go", "at": AT, "by": "owner", **changes}), rule)


@pytest.mark.parametrize(
    ("changes", "rule"),
    [
        ({"rule": ""}, "waiver_rule_is_not_empty"),
        ({"by": ""}, "waiver_by_is_not_empty"),
        ({"reason": ""}, "waiver_reason_is_not_empty"),
        ({"instead": ""}, "waiver_instead_is_not_empty"),
        ({"leg_distance_m": 0.0}, "waiver_leg_distance_m_is_above_zero"),
        ({"until": AT}, "waiver_ends_after_it_was_given"),
    ],
)
def test_a_waiver_that_breaks_a_rule_is_refused(leg: Leg, refused: Refused, changes: dict[str, Any], rule: str) -> None:
    refused(Waiver(leg=leg, **{**WAIVER, **changes}), rule)


def test_a_finding_is_waived_once_until_the_waiver_is_taken_back(leg: Leg, refused: Refused) -> None:
    first = Waiver.objects.create(leg=leg, **WAIVER)

    refused(Waiver(leg=leg, **WAIVER), "UNIQUE")
    first.withdrawn_at = AT + timedelta(hours=1)
    first.save()
    Waiver.objects.create(leg=leg, **WAIVER)


def test_a_condition_is_met_once_until_it_is_struck_out(leg: Leg, refused: Refused) -> None:
    said = {"rule": "not_tested", "cause": "job:JOB-1", "at": AT, "by": "owner", "departure_at": AT}
    first = ConditionMet.objects.create(leg=leg, **said)

    refused(ConditionMet(leg=leg, **said), "UNIQUE")
    first.struck_at = AT
    first.save()
    ConditionMet.objects.create(leg=leg, **said)


@pytest.mark.parametrize(
    ("changes", "rule"),
    [({"rule": ""}, "condition_met_rule_is_not_empty"), ({"by": ""}, "condition_met_by_is_not_empty")],
)
def test_a_condition_met_names_its_rule_and_who_said_so(
    leg: Leg, refused: Refused, changes: dict[str, str], rule: str
) -> None:
    whole: dict[str, Any] = {"rule": "not_tested", "cause": "x", "at": AT, "by": "owner", "departure_at": AT}

    refused(ConditionMet(leg=leg, **{**whole, **changes}), rule)


def test_limits_are_numbered_once_from_one(leg: Leg, refused: Refused) -> None:
    LimitSet.objects.create(vessel=leg.vessel, number=1, set_at=AT, by="owner")

    refused(LimitSet(vessel=leg.vessel, number=1, set_at=AT, by="owner"), "UNIQUE")
    refused(LimitSet(vessel=leg.vessel, number=0, set_at=AT, by="owner"), "limit_set_number_is_above_zero")
    refused(LimitSet(vessel=leg.vessel, number=2, set_at=AT), "limit_set_by_is_not_empty")
