"""What would change the answer: only what judging again has proved."""

from collections.abc import Callable
from functools import reduce

import pytest

from readiness.rules.changes import AT_MOST, Change, changes, only_departure, remedies_at
from readiness.rules.engine import judge
from readiness.rules.facts import Facts, changed
from readiness.rules.finding import findings_at, lines_at
from readiness.rules.judgement import Outcome, Outlook, Remedy, Verdict
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import forecast, fuel, person
from tests.readiness.rules.worse import WORSE
from vessel.units import KNOT

DAYS: dict[str, Callable[[Facts], Facts]] = {"as it is": lambda facts: facts, **WORSE}


def again(facts: Facts, change: Change, remedies: tuple[Remedy, ...]) -> Verdict:
    """The verdict when the remedies named in a change are done, judged from the start."""
    done = [remedy for remedy in remedies if remedy.text in change.text.split("; ")]
    result = reduce(lambda so_far, remedy: remedy.change(so_far), done, only_departure(facts, change.departure_at))
    return Verdict(int(judge(result).verdict[0]))


@pytest.mark.parametrize("day", DAYS)
def test_every_change_offered_is_better_and_proved_by_judging_again(day: str) -> None:
    facts = DAYS[day](worked_example(12))
    judged = judge(facts)
    now = Verdict(int(judged.verdict[0]))

    found = changes(judged, 0)

    assert len(found) <= AT_MOST
    for change in found:
        assert change.verdict < now or change.outlook < Outlook(int(judged.outlook[0]))
        assert again(facts, change, remedies_at(judged, 0)) == change.verdict


@pytest.mark.parametrize("day", DAYS)
def test_none_offers_a_waiver_or_another_limit(day: str) -> None:
    facts = DAYS[day](worked_example(1))

    for remedy in remedies_at(judge(facts), 0):
        result = remedy.change(facts)
        assert "waive" not in remedy.text.lower()
        assert (result.waivers, result.limits, result.met) == (facts.waivers, facts.limits, facts.met)
        assert result.departures == facts.departures


def test_a_go_asks_for_nothing_and_the_morning_is_lifted_to_go() -> None:
    judged = judge(worked_example(1))

    (best, *_) = changes(judged, 0)

    assert best.verdict == Verdict.GO
    assert best.left == ()
    assert best.minutes == 47.0
    mended = reduce(lambda facts, remedy: remedy.change(facts), remedies_at(judged, 0), judged.facts)
    assert changes(judge(mended), 0) == ()


def test_little_fuel_offers_to_load_and_says_what_that_leaves() -> None:
    judged = judge(fuel(worked_example(1), 80.0))

    found = changes(judged, 0)

    assert any(change.text.startswith("Load 52 L of fuel") for change in found)
    assert all(change.left for change in found if change.verdict > Verdict.GO)


def test_what_cannot_be_done_before_leaving_is_not_offered() -> None:
    facts = fuel(worked_example(1), 80.0)
    late = changed(facts, judged_at=facts.departures.first)

    assert any(remedy.kind == "load" for remedy in remedies_at(judge(late), 0))
    assert [change for change in changes(judge(late), 0) if "Load" in change.text] == []


def test_another_departure_is_offered_but_none_already_past() -> None:
    early = worked_example(60)
    index = 20  # 11:30, when the lock is shut on arrival

    before = changes(judge(early), index)
    past = changes(judge(changed(early, judged_at=early.departures.first.replace(hour=11))), index)

    assert any(change.departure_at < judge(early).passage.departure_at[index] for change in before)
    assert all(change.departure_at >= early.departures.first.replace(hour=11).timestamp() for change in past)


def test_an_answer_awaited_is_offered_as_an_answer_and_tells_what_stays() -> None:
    judged = judge(person(worked_example(1), "Tam", confirmed=None))

    found = changes(judged, 0)

    assert "Tam Ferrow says yes" in {part for change in found for part in change.text.split("; ")}


def test_a_gale_has_no_remedy_but_another_time() -> None:
    judged = judge(forecast(worked_example(1), wind_east_mps=35 * KNOT))

    assert changes(judged, 0) == ()


def test_what_is_left_is_named_by_the_titles_of_the_findings() -> None:
    judged = judge(person(worked_example(1), "Tam", confirmed=None))
    change = next(one for one in changes(judged, 0) if one.left)
    done = [one for one in remedies_at(judged, 0) if one.text in change.text.split("; ")]

    result = judge(reduce(lambda facts, remedy: remedy.change(facts), done, judged.facts))

    standing = [one for one in findings_at(lines_at(result, 0)) if one.outcome >= Outcome.CONDITION]
    assert change.left == tuple(one.words.title for one in standing)
