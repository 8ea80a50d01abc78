"""Findings by cause, margins and scores at one departure."""

import pytest

from readiness.rules.engine import judge
from readiness.rules.finding import QUALITY, findings_at, lines_at, scores, share_left, thinnest
from readiness.rules.judgement import Outcome, Subject
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import forecast, person, water
from tests.readiness.rules.worse import WORSE
from vessel.units import KNOT


def test_rules_that_bite_on_one_cause_are_one_finding() -> None:
    found = findings_at(lines_at(judge(water(worked_example(1), forecast=None)), 0))

    causes = [finding.cause for finding in found]
    starved = next(finding for finding in found if finding.cause == "forecast:")
    assert len(set(causes)) == len(causes)
    assert {"forecast_cover", "mean_wind", "sea_height", "under_keel", "getting_out"} <= {
        line.rule for line in starved.lines
    }


@pytest.mark.parametrize("day", WORSE)
def test_findings_come_worst_first_and_leave_nothing_out(day: str) -> None:
    lines = lines_at(judge(WORSE[day](worked_example(1))), 0)

    found = findings_at(lines)

    outcomes = [finding.outcome for finding in found]
    assert outcomes == sorted(outcomes, reverse=True)
    assert sum(len(finding.lines) for finding in found) == sum(line.outcome > Outcome.PASSED for line in lines)
    assert all(finding.words.sentence and finding.words.title for finding in found)


def test_the_thinnest_margins_come_first_and_only_where_nothing_stands() -> None:
    lines = lines_at(judge(worked_example(1)), 0)

    found = thinnest(lines)

    shares = [share_left(line) for line in found]
    assert (len(found), found[0].rule) == (3, "wind_against_stream")
    assert shares == sorted(shares)
    assert all(line.standing <= Outcome.ADVICE for line in found)


@pytest.mark.parametrize("day", WORSE)
def test_a_score_never_hides_an_outcome(day: str) -> None:
    lines = lines_at(judge(WORSE[day](worked_example(1))), 0)

    for score in scores(lines):
        worst = max(line.standing for line in lines if line.subject == score.subject and line.applies)
        assert score.outcome == worst
        assert (score.number is None) == (worst == Outcome.NO_GO)
        assert worst < Outcome.CONDITION or score.number is None or score.number <= 79
        assert worst < Outcome.UNKNOWN or score.number is None or score.number <= 40
        assert bool(score.held_down_by) == (worst > Outcome.PASSED)


def test_a_subject_in_which_all_passes_scores_a_hundred_and_unknowns_are_counted() -> None:
    good = {score.subject: score for score in scores(lines_at(judge(worked_example(1)), 0))}
    asked = person(worked_example(1), "Tam", confirmed=None)
    waiting = {score.subject: score for score in scores(lines_at(judge(asked), 0))}

    assert (good[Subject.PEOPLE].number, good[Subject.PEOPLE].unknowns) == (100, 0)
    assert (waiting[Subject.PEOPLE].number, waiting[Subject.PEOPLE].unknowns) == (40, 1)
    assert QUALITY[Outcome.NO_GO] == 0.0


def test_a_gale_shows_no_number_for_the_weather() -> None:
    lines = lines_at(judge(forecast(worked_example(1), wind_east_mps=35 * KNOT)), 0)

    weather = next(score for score in scores(lines) if score.subject == Subject.WEATHER)

    assert weather.number is None
    assert weather.held_down_by.startswith("Mean wind 35 kn")
