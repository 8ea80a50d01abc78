"""The mark of what a verdict says."""

import pytest

from readiness.actions.decision import mark_of
from readiness.actions.verdict import judge_leg
from readiness.rules.engine import judge
from readiness.rules.shown import mark_at, shown_mark
from tests.factories.readiness import stored
from tests.factories.worked_example import worked_example

FOUND = [("mean_wind", "forecast:", "condition"), ("steering", "function:steer", "no-go")]


def test_the_order_of_findings_and_the_case_of_the_word_do_not_matter() -> None:
    assert shown_mark("No-go", 1000.0, FOUND) == shown_mark("no-go", 1000.4, reversed(FOUND))


@pytest.mark.parametrize(
    ("word", "departure_s", "found"),
    [
        ("Go if", 1000.0, FOUND),
        ("No-go", 1900.0, FOUND),
        ("No-go", 1000.0, FOUND[:1]),
        ("No-go", 1000.0, [FOUND[0], ("steering", "function:steer", "condition")]),
    ],
)
def test_another_word_departure_or_standing_is_another_mark(
    word: str, departure_s: float, found: list[tuple[str, str, str]]
) -> None:
    assert shown_mark(word, departure_s, found) != shown_mark("No-go", 1000.0, FOUND)


@pytest.mark.django_db
def test_a_verdict_judged_for_a_page_and_the_one_kept_bear_the_same_mark() -> None:
    facts = worked_example(1)
    leg = stored(facts)

    kept = judge_leg(leg_id=leg.pk, at=facts.judged_at, by="timetable", departures=facts.departures)

    judged = judge(facts)
    assert mark_of(kept) == mark_at(judged, judged.index_at(leg.planned_at.timestamp()))
