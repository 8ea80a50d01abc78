"""One rule on some facts."""

from collections.abc import Callable

import pytest

from readiness.rules.facts import Facts
from readiness.rules.judgement import Judgement, Rule
from readiness.rules.passage import Passage
from readiness.rules.under_way import passage_of

Judged = Callable[..., list[Judgement]]


@pytest.fixture
def judged() -> Judged:
    """`judged(RULE, facts)`: every judgement of one rule; `judged(RULE, facts, passage)` on a passage of one's own."""

    def judge(rule: Rule, facts: Facts, passage: Passage | None = None) -> list[Judgement]:
        return list(rule.judge(facts, passage or passage_of(facts), facts.limits))

    return judge
