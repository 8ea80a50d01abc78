"""Every rule of the engine has a file of its name, a test of its name, and a known source."""

import pytest

from readiness.rules.judgement import Rule
from readiness.rules.register import RULES
from tests.habits.source import ROOT


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_every_rule_has_a_file_and_a_test_of_its_name(rule: Rule) -> None:
    assert (ROOT / f"readiness/rules/{rule.id}.py").is_file()
    assert (ROOT / f"tests/readiness/rules/test_{rule.id}.py").is_file()


def test_every_rule_stands_once_in_the_register() -> None:
    ids = [rule.id for rule in RULES]

    assert ids
    assert len(ids) == len(set(ids))
