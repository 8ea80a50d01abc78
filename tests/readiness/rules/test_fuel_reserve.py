"""Fuel surely aboard against the need."""

from typing import Any

import pytest
from msgspec.structs import replace

from readiness.rules.fuel_reserve import RULE
from readiness.rules.judgement import Outcome, Waive
from readiness.rules.words_of_trade import GaugeKind
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import at_worst, boat, demand, fuel, leg, sentence, tank, vessel, worst
from tests.readiness.rules.conftest import Judged
from vessel.units import DAY, HOUR, KNOT

NEED_L = 9.0 * (6 + 52 / 60 + 27.942544 / 3600)
NOT_SURE_L = 25 + 0.03 * 450
NAN = float("nan")


@pytest.mark.parametrize(
    ("times", "expected"),
    [
        (1.5001, Outcome.PASSED), (1.4999, Outcome.CONDITION), (1.2501, Outcome.CONDITION), (1.2499, Outcome.NO_GO),
        (NAN, Outcome.UNKNOWN),
    ],
)  # fmt: skip
def test_times_the_need(judged: Judged, times: float, expected: Outcome) -> None:
    facts = fuel(worked_example(1), times * NEED_L + NOT_SURE_L)

    assert worst(judged(RULE, facts)) == expected


@pytest.mark.parametrize(
    ("gauge", "sure_l"), [(GaugeKind.DIP, 261.5), (GaugeKind.SIGHT, 261.5), (GaugeKind.GAUGE, 230)]
)
def test_how_it_was_read_makes_it_surer(judged: Judged, gauge: GaugeKind, sure_l: float) -> None:
    found = judged(RULE, leg(tank(worked_example(1), gauge=gauge), harbour_move=True))

    assert demand(found[0]) == pytest.approx(sure_l)


def test_the_dip_of_the_worked_example(judged: Judged) -> None:
    assert sentence(judged(RULE, worked_example(1))) == (
        "261.5 L surely aboard, 61.9 L needed: 4.23 times, 1.5 wanted."
    )


@pytest.mark.parametrize(
    "damage",
    [
        lambda facts: tank(facts, gauge=None),
        lambda facts: tank(facts, unusable_l=NAN),
        lambda facts: tank(facts, capacity_l=NAN),
        lambda facts: tank(facts, reading_l=replace(facts.boat.fuel[0].reading_l, at=None)),
        lambda facts: tank(facts, reading_l=replace(facts.boat.fuel[0].reading_l, keeps_s=0.5 * DAY)),
        lambda facts: boat(facts, fuel=()),
        lambda facts: vessel(facts, speed_table=()),
        lambda facts: leg(facts, running_on_s=NAN),
    ],
)
def test_what_is_not_known_or_too_old_is_not_known(judged: Judged, damage: Any) -> None:
    assert worst(judged(RULE, damage(worked_example(1)))) == Outcome.UNKNOWN


def test_a_reading_keeps_to_its_last_second(judged: Judged) -> None:
    facts = worked_example(1)
    taken = facts.boat.fuel[0].reading_l.at
    assert taken is not None
    age_s = (facts.departures.first - taken).total_seconds()

    for keeps_s, expected in ((age_s, Outcome.PASSED), (age_s - 1, Outcome.UNKNOWN)):
        kept = tank(facts, reading_l=replace(facts.boat.fuel[0].reading_l, keeps_s=keeps_s))
        assert worst(judged(RULE, kept)) == expected


def test_running_on_to_the_next_place_that_sells_it_counts(judged: Judged) -> None:
    facts = fuel(worked_example(1), 1.6 * NEED_L + NOT_SURE_L)

    assert worst(judged(RULE, leg(facts, running_on_s=3600.0))) == Outcome.CONDITION


def test_loading_what_it_says_judged_again_passes(judged: Judged) -> None:
    facts = fuel(worked_example(1), 90.0)
    (remedy,) = at_worst(judged(RULE, facts)).say(0).remedies

    again = judged(RULE, remedy.change(facts))

    assert remedy.text == "Load 42 L of fuel"
    assert worst(again) == Outcome.PASSED


def test_no_more_is_offered_than_the_tanks_take_and_it_is_shared_among_them(judged: Judged) -> None:
    facts = fuel(worked_example(1), 90.0)
    small = tank(facts, capacity_l=120.0)
    reading = replace(small.boat.fuel[0].reading_l, value=5.0)
    second = replace(small.boat.fuel[0], name="Second", unusable_l=0.0, reading_l=reading)
    two = boat(small, fuel=(*small.boat.fuel, second))

    (remedy,) = at_worst(judged(RULE, two)).say(0).remedies
    filled = remedy.change(two).boat.fuel

    assert at_worst(judged(RULE, small)).say(0).remedies == ()
    assert filled[0].reading_l.value == 120.0
    assert worst(judged(RULE, remedy.change(two))) == Outcome.PASSED


def test_too_little_for_the_farthest_refuge_is_a_no_go(judged: Judged) -> None:
    facts = fuel(worked_example(1), 2.0 * NEED_L + NOT_SURE_L)
    far = leg(replace(facts), refuges=(), speed_mps=7.0 * KNOT)
    open_sea = leg(far, departure_place="nowhere", arrival_place="nowhere")

    assert worst(judged(RULE, far)) == Outcome.PASSED
    assert worst(judged(RULE, open_sea)) == Outcome.NO_GO


@pytest.mark.parametrize(
    ("sure_l", "expected"), [(10.0, Outcome.PASSED), (9.99, Outcome.NO_GO), (NAN, Outcome.UNKNOWN)]
)
def test_a_harbour_move_needs_ten_litres_sure(judged: Judged, sure_l: float, expected: Outcome) -> None:
    facts = leg(fuel(worked_example(1), sure_l + NOT_SURE_L), harbour_move=True)

    assert worst(judged(RULE, facts)) == expected


def test_a_no_go_is_never_waived() -> None:
    assert RULE.waive == {Outcome.NO_GO: Waive.NEVER, Outcome.CONDITION: Waive.ONE_LEG}


def test_the_sum_of_the_need_holds_the_further_running(judged: Judged) -> None:
    stated = at_worst(judged(RULE, leg(worked_example(1), running_on_s=2 * HOUR))).say(0)
    words = at_worst(judged(RULE, leg(worked_example(1), running_on_s=NAN))).say(0)

    assert stated.sums[1] == ("Needed: 9.0 L/h × (6 h 52 min + 2 h further running)", "79.9 L")
    assert words.sums[1] == ("Needed: 9.0 L/h × (6 h 52 min + further running not stated)", "not known")
    assert words.sentence == (
        "How much fuel the leg takes is not known. Further running before fuel can be bought is not stated."
    )
    assert words.do == "State the further running in the plan; 0 when there is none."


def test_each_thing_that_the_need_lacks_is_named_with_what_to_do(judged: Judged) -> None:
    words = at_worst(judged(RULE, vessel(worked_example(1), speed_table=()))).say(0)

    assert words.sentence.endswith("What she burns at this speed is not known.")
    assert words.do == "Enter the burn at this speed in her speed table."
