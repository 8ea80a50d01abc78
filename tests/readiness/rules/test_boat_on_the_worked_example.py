"""The boat on the worked example: two things stand against the morning, and nothing else."""

from readiness.rules import (
    autopilot_credit,
    bank_endurance,
    beacon,
    consumable_loss,
    crank_battery,
    dewatering,
    emergency_steering,
    engine_drives,
    engine_service,
    gear_out,
    last_means,
    lifejackets,
    lights_and_sound,
    not_tested,
    openings_shut,
    position_fixing,
    steering,
    worn_steering_in_following_sea,
)
from readiness.rules.judgement import Outcome
from tests.factories.changed_boat import EXAMPLE, judge

RULES = (
    openings_shut, engine_drives, engine_service, steering, emergency_steering, autopilot_credit, crank_battery,
    bank_endurance, dewatering, lifejackets, beacon, position_fixing, lights_and_sound, gear_out, not_tested,
    consumable_loss, worn_steering_in_following_sea, last_means,
)  # fmt: skip


def test_the_worn_tiller_head_and_the_hose_test_are_all_that_stands_against_0630() -> None:
    judgements = [one for module in RULES for one in judge(module.RULE, EXAMPLE)]

    against = {(one.rule, one.cause): int(one.outcome[0]) for one in judgements if one.outcome[0] > Outcome.PASSED}

    assert against == {
        ("emergency_steering", ("equipment", "ST-05")): Outcome.CONDITION,
        ("worn_steering_in_following_sea", ("equipment", "ST-05")): Outcome.CONDITION,
        ("not_tested", ("job", "JOB-1")): Outcome.CONDITION,
    }


def test_every_rule_says_something_and_passed_ones_too() -> None:
    for module in RULES:
        for judgement in judge(module.RULE, EXAMPLE):
            words = judgement.say(0)

            assert judgement.rule == module.RULE.id
            assert words.title
            assert words.sentence.endswith(".")
