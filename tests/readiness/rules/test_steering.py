"""She steers."""

import pytest

from readiness.rules.facts import Facts
from readiness.rules.judgement import Outcome
from readiness.rules.steering import RULE
from tests.factories.changed_boat import (
    EXAMPLE,
    SOUND,
    answer,
    boat,
    degraded,
    doubtful,
    harbour,
    out,
    stale,
    worst,
)


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        (EXAMPLE, Outcome.PASSED),  # a worn emergency tiller, the wheel in service
        (out(SOUND, "ST-01"), Outcome.PASSED),  # the emergency way steers
        (out(degraded(SOUND, "ST-05"), "ST-01"), Outcome.CONDITION),
        (out(stale(SOUND, "ST-05"), "ST-01"), Outcome.PASSED),
        (out(doubtful(SOUND, "ST-05"), "ST-01"), Outcome.UNKNOWN),
        (out(SOUND, "ST-01", "ST-04"), Outcome.NO_GO),
        (degraded(SOUND, "ST-02"), Outcome.CONDITION),
        (out(SOUND, "ST-03"), Outcome.NO_GO),
        (boat(SOUND, defects=None), Outcome.UNKNOWN),
        (harbour(out(SOUND, "ST-03")), Outcome.NO_GO),
    ],
)
def test_steer_is_judged_with_the_emergency_way_as_second_means(facts: Facts, expected: Outcome) -> None:
    assert answer(RULE, facts) == expected


def test_both_ways_lost_names_both() -> None:
    words = worst(RULE, out(SOUND, "ST-01", "ST-04")).say(0)

    assert words.sentence == "Steer is lost: Fault of ST-01 (DEF-100, ST-01); Fault of ST-04 (DEF-101, ST-04)."


def test_mending_either_way_lifts_the_finding() -> None:
    facts = out(SOUND, "ST-01", "ST-04")

    changed = [remedy.change(facts) for remedy in worst(RULE, facts).say(0).remedies]

    assert [answer(RULE, one) for one in changed] == [Outcome.PASSED, Outcome.PASSED]
