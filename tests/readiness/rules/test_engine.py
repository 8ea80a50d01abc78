"""From judgements to verdict, outlook and deciding rule."""

import numpy as np
import pytest

from readiness.rules.engine import OUTLOOK_OF, VERDICT_OF, judge, ripened
from readiness.rules.facts import decode, encode
from readiness.rules.judgement import Judgement, Outcome, Outlook, Verdict, Words, graded, late_only
from readiness.rules.register import RULES
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import forecast, leg, person, water
from tests.readiness.rules.worse import WORSE
from vessel.errors import BadInput
from vessel.units import KNOT


@pytest.mark.parametrize(
    ("worst", "verdict"),
    [
        (Outcome.PASSED, Verdict.GO), (Outcome.ADVICE, Verdict.GO), (Outcome.CONDITION, Verdict.GO_IF),
        (Outcome.UNKNOWN, Verdict.CANNOT_SAY_YET), (Outcome.NO_GO, Verdict.NO_GO),
    ],
)  # fmt: skip
def test_the_worst_outcome_is_the_verdict(worst: Outcome, verdict: Verdict) -> None:
    assert VERDICT_OF[worst] == verdict


def test_the_outlook_of_each_verdict() -> None:
    assert OUTLOOK_OF.tolist() == [Outlook.GOOD, Outlook.FAIR, Outlook.POOR, Outlook.POOR]


def test_no_rule_at_all_is_not_good_news() -> None:
    judged = judge(worked_example(3), rules=())

    assert judged.verdict.tolist() == [Verdict.CANNOT_SAY_YET] * 3


@pytest.mark.parametrize("day", WORSE)
def test_a_departure_is_judged_alone_as_it_is_among_others(day: str) -> None:
    many, one = (judge(WORSE[day](worked_example(count))) for count in (20, 1))

    assert (many.verdict[0], many.outlook[0]) == (one.verdict[0], one.outlook[0])
    assert {(j.rule, j.cause) for j in one.judgements} <= {(j.rule, j.cause) for j in many.judgements}


def test_the_document_judged_gives_the_same_bit_for_bit() -> None:
    facts = worked_example(20)

    first, again = judge(facts), judge(decode(encode(facts)))

    assert np.array_equal(first.outcomes, again.outcomes)
    for one, other in zip(first.judgements, again.judgements, strict=True):
        assert np.array_equal(one.demand, other.demand, equal_nan=True)


def test_the_deciding_judgement_is_the_worst() -> None:
    judged = judge(forecast(worked_example(1), wind_east_mps=35 * KNOT))

    assert judged.judgements[int(judged.deciding[0])].rule == "mean_wind"


def test_an_absent_forecast_passes_in_the_outlook_and_a_cancelled_crew_does_not() -> None:
    unseen = judge(water(worked_example(1), forecast=None))
    cancelled = judge(person(water(worked_example(1), forecast=None), "Tam", confirmed=False))

    assert (Verdict(int(unseen.verdict[0])), Outlook(int(unseen.outlook[0]))) == (
        Verdict.CANNOT_SAY_YET, Outlook.FAIR,
    )  # fmt: skip
    assert (Verdict(int(cancelled.verdict[0])), Outlook(int(cancelled.outlook[0]))) == (Verdict.NO_GO, Outlook.POOR)


def test_ripening_never_lifts_a_no_go() -> None:
    outcomes = np.array([[Outcome.CONDITION, Outcome.UNKNOWN, Outcome.NO_GO]], np.int8)
    judgement = Judgement(
        rule="", cause=("", ""), outcome=outcomes[0], demand=0.0, limit=0.0, unit="", ripens=True,
        say=lambda _: Words(title="", sentence=""),
    )  # fmt: skip

    assert ripened((judgement,), outcomes).tolist() == [[Outcome.PASSED, Outcome.PASSED, Outcome.NO_GO]]


def test_a_leg_without_a_track_is_refused() -> None:
    facts = worked_example(1)

    with pytest.raises(BadInput, match="no track can be drawn"):
        judge(leg(facts, points=facts.leg.points[:1]))


@pytest.mark.parametrize(("value", "expected"), [(1.0, 0), (2.0, 2), (3.0, 4), (float("nan"), 3)])
def test_grading_decides_exactly_on_the_limit(value: float, expected: int) -> None:
    steps = (np.greater_equal, 2.0, Outcome.CONDITION), (np.greater_equal, 3.0, Outcome.NO_GO)

    assert graded(np.array([value]), *steps).tolist() == [expected]


def test_grading_against_a_limit_not_known_is_unknown_unless_another_step_is_a_no_go() -> None:
    steps = (np.greater, float("nan"), Outcome.CONDITION), (np.greater, 3.0, Outcome.NO_GO)

    assert graded(np.array([1.0, 4.0]), *steps).tolist() == [Outcome.UNKNOWN, Outcome.NO_GO]


@pytest.mark.parametrize(
    ("plan", "late", "way_out", "expected"),
    [(0, 4, True, 2), (0, 4, False, 4), (4, 4, True, 4), (1, 3, True, 3), (2, 0, True, 2), (3, 4, True, 3)],
)
def test_a_no_go_at_late_only_is_a_condition_where_there_is_a_way_out(
    plan: int, late: int, way_out: bool, expected: int
) -> None:
    assert late_only(np.array([plan], np.int8), np.array([late], np.int8), way_out).tolist() == [expected]


def test_every_rule_has_its_own_name_and_a_source() -> None:
    assert len({rule.id for rule in RULES}) == len(RULES)
    assert all(rule.source.startswith("[") for rule in RULES)
