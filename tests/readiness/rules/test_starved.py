"""Findings that want only one missing thing are told under it: the times of the passage, or anybody down to sail."""

import pytest
from msgspec.structs import replace

from readiness.rules.engine import judge
from readiness.rules.facts import Facts, changed
from readiness.rules.finding import Finding, findings_at, lines_at
from readiness.rules.judgement import Outcome, Verdict
from readiness.rules.report import as_text
from readiness.rules.words_of_trade import LandOnWay
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import fuel, leg, policy, tank

NAN = float("nan")
TIMES, NOBODY = "late arrival:", "crew:nobody"


def straight() -> Facts:
    """A way of two points of which nothing is written down but depth and tide."""
    facts = worked_example(1)
    ends = tuple(replace(point, gate=None) for point in (facts.leg.points[0], facts.leg.points[-1]))
    segment = replace(
        facts.leg.segments[0], name="Ostrel Haven to Morrowick lock", stream=None, exposed=None, crosses_bar=None,
        shore_m=NAN, shore_to_deg=NAN, land=LandOnWay.NOT_LOOKED,
    )  # fmt: skip
    return leg(facts, points=ends, segments=(segment,), refuges=())


def found_in(facts: Facts) -> dict[str, Finding]:
    return {finding.cause: finding for finding in findings_at(lines_at(judge(facts), 0))}


def test_a_way_without_a_stream_is_one_finding_with_all_that_it_starves() -> None:
    found = found_in(straight())

    starved = found[TIMES]
    assert starved.words.title == "Her times on the way not known"
    assert " ".join(starved.sentences) == (
        "The stream on the way from Ostrel Haven to Morrowick lock is not known when she is there. "
        "So nobody can tell when she would be where."
    )
    assert {"makes_way", "under_keel", "gate_on_arrival", "tide_data", "fuel_reserve", "engine_service", "helm_hours",
            "watch_leaders", "hands_at_gate", "crew_changes", "insurance", "turn_back", "forecast_cover", "refuge_gap",
            "number_aboard", "mean_wind"} <= set(starved.rules)  # fmt: skip
    assert [cause for cause, one in found.items() if one.outcome == Outcome.UNKNOWN] == [TIMES]


def test_the_missing_thing_is_told_before_whatever_else_is_not_known() -> None:
    facts = tank(straight(), gauge=None)

    unknown = [cause for cause, one in found_in(facts).items() if one.outcome == Outcome.UNKNOWN]

    assert unknown == [TIMES, "tank:fuel"]


def test_what_wants_something_else_besides_stands_for_itself() -> None:
    found = found_in(leg(straight(), running_on_s=NAN))

    assert "Further running before fuel can be bought is not stated." in found["tank:fuel"].words.sentence
    assert "State the further running in the plan; 0 when there is none." in found["tank:fuel"].words.do


def test_a_policy_that_is_not_whole_stands_for_itself() -> None:
    assert "policy:Hull and liability" in found_in(policy(straight(), night_covered=None))


def test_with_times_nothing_is_told_under_them() -> None:
    assert TIMES not in found_in(worked_example(1))


def test_before_anybody_is_ticked_there_is_one_finding_that_leads_to_who_sails() -> None:
    facts = changed(worked_example(1), people=())

    found = found_in(facts)

    assert next(iter(found)) == NOBODY
    assert (found[NOBODY].outcome, found[NOBODY].words.title) == (Outcome.NO_GO, "Nobody is down to sail")
    assert {"number_aboard", "watch_leaders", "helm_hours", "hands_at_gate", "insurance"} <= set(found[NOBODY].rules)
    assert found[NOBODY].evidence == (("who sails", facts.leg.key),)
    assert not [cause for cause in found if cause.startswith(("people:", "policy:", "gate hands:"))]


@pytest.mark.parametrize("facts", [straight(), changed(straight(), people=()), fuel(straight(), 0.0)])
def test_what_is_told_under_another_finding_still_counts(facts: Facts) -> None:
    judged = judge(facts)
    lines, found = lines_at(judged, 0), findings_at(lines_at(judged, 0))

    assert sum(len(finding.lines) for finding in found) == sum(line.outcome > Outcome.PASSED for line in lines)
    assert judged.verdict[0] >= Verdict.CANNOT_SAY_YET
    assert "nan" not in as_text(judged, 0)
