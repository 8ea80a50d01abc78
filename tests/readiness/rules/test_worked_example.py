"""The worked example to the second and the printed digit: an invented boat, worked by hand beside the program."""

from datetime import UTC, datetime

import numpy as np
import pytest

from readiness.rules.engine import Judged, judge
from readiness.rules.finding import findings_at, lines_at, thinnest
from readiness.rules.judgement import Outcome, Outlook, Verdict
from readiness.rules.put_right import put_right
from tests.factories.worked_example import worked_example
from tests.factories.worked_water import NARROWS, steady
from tests.readiness.rules.alter import demand, outcome, person, water
from vessel.units import HOUR

MORNING, EVENING = 0, 43


@pytest.fixture(scope="module")
def day() -> Judged:
    return judge(worked_example(44))


@pytest.fixture(scope="module")
def without_tam() -> Judged:
    return judge(person(worked_example(44), "Tam", confirmed=False))


def clock(at: float) -> str:
    """A time to the second, UTC."""
    return f"{datetime.fromtimestamp(round(at), UTC):%H:%M:%S}"


def outcomes(judged: Judged, index: int, rule: str) -> Outcome:
    """The worst answer of a rule at a departure."""
    return max(outcome(one, index) for one in judged.judgements if one.rule == rule)


@pytest.mark.parametrize(
    ("index", "early", "plan", "late"),
    [(MORNING, "12:54:03", "13:22:28", "14:37:12"), (EVENING, "23:19:09", "23:43:20", "01:10:34")],
)
def test_arrivals_to_the_second(day: Judged, index: int, early: str, plan: str, late: str) -> None:
    # late in the evening: by hand with the rate of the stream unrounded, 1.7132 kn; with 1.71 kn it would be 01:10:31
    runs = (day.passage.early, day.passage.plan, day.passage.late)

    assert tuple(clock(float(run.arrives_at[index])) for run in runs) == (early, plan, late)


def test_hours_under_way_and_in_the_dark(day: Judged) -> None:
    passage = day.passage

    assert round(float(passage.duration_late_s[MORNING]) / HOUR, 2) == 8.12
    assert round(float(passage.duration_late_s[EVENING]) / HOUR, 2) == 7.93
    assert round(float(passage.dark_s[EVENING]) / HOUR, 2) == 2.73
    assert float(passage.dark_s[MORNING]) == 0.0


def test_the_lock_is_met_with_61_minutes_and_the_latest_start_is_0731_48(day: Judged) -> None:
    lock = next(one for one in day.judgements if one.rule == "gate_on_arrival")

    last_start = day.passage.departure_at[MORNING] - demand(lock, MORNING)

    assert lock.say(MORNING).title == "Morrowick lock met with 61 min to spare"
    assert clock(last_start) == "07:31:48"
    assert outcome(lock, EVENING) == Outcome.ADVICE  # early she would find it shut: slow down


def test_the_narrows_against_the_stream(day: Judged) -> None:
    weather = day.passage.weather
    step = int(np.argmax(weather.steepness[MORNING]))

    assert round(float(weather.sea_m[MORNING, step]), 2) == 1.19
    assert round(float(weather.sea_m[MORNING, step]) / 0.9, 2) == 1.32
    assert round(float(weather.steepness[MORNING, step]), 4) == 0.0492


def test_steepness_is_the_thinnest_margin_of_the_morning_and_a_stream_of_154_makes_it_a_condition(day: Judged) -> None:
    facts = worked_example(1)
    stronger = tuple(steady("skarn", -1.54) if one.key == NARROWS.key else one for one in facts.water.streams)

    first = thinnest(lines_at(day, MORNING))[0]
    harder = judge(water(facts, streams=stronger))

    assert first.rule == "wind_against_stream"
    assert round(100 * (first.limit - first.demand) / first.limit, 1) == 1.6
    assert outcomes(harder, 0, "wind_against_stream") == Outcome.CONDITION


def test_in_the_evening_the_late_case_meets_the_turned_stream(day: Judged) -> None:
    weather = day.passage.weather
    steepness = float(np.max(weather.steepness[EVENING]))

    assert steepness == pytest.approx(0.0545, abs=0.00015)  # by hand with the stream rounded to 1.71 kn
    assert float(np.max(weather.sea_m[EVENING])) == pytest.approx(1.25, abs=0.007)
    assert float(np.max(day.passage.weather_at_plan.steepness[EVENING])) < 0.05
    assert outcomes(day, EVENING, "wind_against_stream") == Outcome.CONDITION


def test_fuel_and_helm_hours(day: Judged) -> None:
    fuel = next(one for one in day.judgements if one.rule == "fuel_reserve")
    helm = [one for one in day.judgements if one.rule == "helm_hours"][-1]

    assert round(demand(fuel, MORNING), 2) == 4.23
    assert fuel.say(MORNING).sentence.startswith("261.5 L surely aboard, 61.9 L needed")
    assert [round(demand(helm, index) / HOUR, 2) for index in (MORNING, EVENING)] == [2.29, 3.29]


def test_the_morning_is_a_go_if_for_the_tiller_and_the_hose_test(day: Judged) -> None:
    standing = [one for one in findings_at(lines_at(day, MORNING)) if one.outcome >= Outcome.CONDITION]

    assert Verdict(int(day.verdict[MORNING])) == Verdict.GO_IF
    assert [sorted(line.rule for line in one.lines if line.outcome >= Outcome.CONDITION) for one in standing] == [
        ["emergency_steering", "worn_steering_in_following_sea"], ["not_tested"],
    ]  # fmt: skip


def test_a_new_pin_lets_the_tiller_and_the_following_sea_vanish_and_leaves_the_hose_test() -> None:
    again = judge(put_right("ST-05", worked_example(1)))

    standing = [one for one in findings_at(lines_at(again, 0)) if one.outcome >= Outcome.CONDITION]

    assert [one.lines[0].rule for one in standing] == ["not_tested"]


def test_the_evening_is_a_go_if_with_the_forecast_taken_again(day: Judged) -> None:
    conditions = {line.rule for line in lines_at(day, EVENING) if line.outcome == Outcome.CONDITION}

    assert Verdict(int(day.verdict[EVENING])) == Verdict.GO_IF
    assert {"forecast_age", "wind_against_stream", "emergency_steering", "not_tested"} <= conditions


def test_without_tam_neither_start_is_good(without_tam: Judged) -> None:
    assert [Verdict(int(without_tam.verdict[index])) for index in (MORNING, EVENING)] == [Verdict.NO_GO] * 2
    for index in (MORNING, EVENING):
        assert outcomes(without_tam, index, "watch_leaders") == Outcome.NO_GO
        assert outcomes(without_tam, index, "hands_at_gate") == Outcome.NO_GO
    helm = [one for one in without_tam.judgements if one.rule == "helm_hours"][-1]
    assert round(demand(helm, EVENING) / HOUR, 2) == 5.96
    assert outcome(helm, EVENING) == Outcome.CONDITION


def test_until_tam_has_answered_nobody_can_say_and_the_outlook_is_fair() -> None:
    waiting = judge(person(worked_example(1), "Tam", confirmed=None))

    assert Verdict(int(waiting.verdict[0])) == Verdict.CANNOT_SAY_YET
    assert Outlook(int(waiting.outlook[0])) == Outlook.FAIR


def test_limits_by_length_are_those_of_a_boat_of_122_decimetres() -> None:
    sea = [one for one in judge(worked_example(1)).judgements if one.rule == "sea_height"][-1]

    assert sea.limit == pytest.approx(1.525)
