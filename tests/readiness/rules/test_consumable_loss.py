"""Loss of a consumable."""

from typing import Any

import pytest
from msgspec.structs import replace

from readiness.rules.consumable_loss import RULE, rate_of
from readiness.rules.facts import Facts, changed
from readiness.rules.facts_boat import Added
from readiness.rules.judgement import Outcome
from tests.factories.changed_boat import (
    EXAMPLE,
    NAN,
    PASSAGE,
    answer,
    boat,
    days_before,
    harbour,
    judge,
    limited,
    untimed,
    worst,
)
from vessel.units import HOUR

OIL = EXAMPLE.boat.consumables[0]
NEED_L = 0.045 * float(PASSAGE.duration_late_s[0]) / HOUR  # 0.3654


def oil(**parts: Any) -> Facts:
    """The example with something else about its oil."""
    return boat(EXAMPLE, consumables=(replace(OIL, **parts),))


def above(litres: float, **parts: Any) -> Any:
    """Litres above the mark."""
    return replace(OIL.above_minimum_l, value=litres, **parts)


def reserve(times: float) -> Facts:
    """Oil for so many times the need, of which enough is in the sump to run through."""
    return oil(above_minimum_l=above(1.0 * NEED_L + 1e-9), carried_l=(times - 1.0) * NEED_L)


def added(*points: tuple[float, float]) -> tuple[Added, ...]:
    """Points of hours and litres."""
    return tuple(Added(engine_h=hours, total_l=litres) for hours, litres in points)


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        (EXAMPLE, Outcome.PASSED),
        (reserve(3.001), Outcome.PASSED),
        (reserve(2.999), Outcome.ADVICE),
        (reserve(1.501), Outcome.ADVICE),
        (reserve(1.499), Outcome.CONDITION),
        (reserve(1.001), Outcome.CONDITION),
        (oil(above_minimum_l=above(0.99 * NEED_L), carried_l=0.0), Outcome.NO_GO),
        (limited(reserve(1.6), oil_reserve=1.2), Outcome.PASSED),
        (limited(reserve(1.3), oil_reserve=1.2), Outcome.CONDITION),  # limits that cross: the worse stands
        (limited(reserve(4.0), oil_reserve=5.0), Outcome.ADVICE),
        (boat(EXAMPLE, consumables=()), Outcome.PASSED),
        (harbour(oil(carried_l=0.0, above_minimum_l=above(0.0))), Outcome.PASSED),
    ],
)
def test_what_is_at_hand_against_what_the_leg_takes(facts: Facts, expected: Outcome) -> None:
    assert answer(RULE, facts) == expected


def test_a_sump_that_does_not_last_alone_is_a_stop_to_top_up() -> None:
    facts = oil(above_minimum_l=above(0.5 * NEED_L), carried_l=2.0)
    words = worst(RULE, facts).say(0)

    assert answer(RULE, facts) == Outcome.CONDITION
    assert words.title == "Engine oil to be topped up"
    assert words.do == "Stop and top up by 3.2 engine hours, in a place with sea room."


@pytest.mark.parametrize(
    ("points", "rate"),
    [
        (OIL.added, 0.045),  # the last interval is the worst
        (added((0, 0), (10, 0.5), (20, 0.6)), 0.03),  # the median of 0.05 and 0.01
        (added((0, 0), (10, 0.9), (20, 1.0), (30, 1.1), (40, 1.2), (50, 1.3), (60, 1.4)), 0.01),  # newest five
        (added((0, 0), (10, 0), (20, 0)), 0.0),
        (added((0, 0), (10, 0.5)), NAN),
        (added(), NAN),
        (added((0, 0), (10, NAN), (20, 1.0)), NAN),
        (added((0, 0), (10, 0.5), (10, 1.0)), NAN),  # no time went by
        (added((0, 0), (10, 0.5), (20, 0.4)), NAN),  # the total went back
    ],
)
def test_the_rate_is_the_worse_of_last_interval_and_median(points: tuple[Added, ...], rate: float) -> None:
    assert rate_of(replace(OIL, added=points)) == pytest.approx(rate, nan_ok=True)


@pytest.mark.parametrize(
    "facts",
    [
        oil(added=OIL.added[:2]),
        oil(carried_l=NAN),
        oil(carried_l=-1.0),
        oil(above_minimum_l=above(NAN)),
        oil(above_minimum_l=above(0.8, at=None)),
        oil(above_minimum_l=above(0.8, at=days_before(13.95))),  # older than 14 days by departure
    ],
)
def test_what_is_not_known_is_unknown(facts: Facts) -> None:
    assert answer(RULE, facts) == Outcome.UNKNOWN
    assert worst(RULE, facts).say(0).sentence == "Engine oil: rate, level or stock is not known."


def test_further_running_that_nobody_stated_is_named_with_where_to_state_it() -> None:
    facts = changed(EXAMPLE, leg=replace(EXAMPLE.leg, running_on_s=NAN))

    words = worst(RULE, facts).say(0)

    assert answer(RULE, facts) == Outcome.UNKNOWN
    assert words.sentence == (
        "Engine oil: how long it must last is not known. Further running before fuel can be bought is not stated."
    )
    assert words.do == "State the further running in the plan; 0 when there is none."
    assert words.sums[0][0] == "Needed: 45 mL/h × (8 h 7 min + further running not stated)"


def test_nothing_lost_passes_whatever_is_aboard() -> None:
    facts = oil(added=added((0, 0), (10, 0), (20, 0)), carried_l=0.0, above_minimum_l=above(0.0))

    assert answer(RULE, facts) == Outcome.PASSED
    assert worst(RULE, facts).say(0).sentence == "Engine oil: nothing lost."


def test_running_on_to_the_next_place_that_sells_it_counts() -> None:
    on = changed(EXAMPLE, leg=replace(EXAMPLE.leg, running_on_s=20 * HOUR))

    assert answer(RULE, on) == Outcome.CONDITION  # 0.8 L lasts 17.8 h of the 28.1 h


def test_the_worked_example_has_7_66_times_the_need() -> None:
    (found,) = judge(RULE, EXAMPLE)
    words = found.say(0)

    assert float(found.demand[0]) == pytest.approx(7.66, abs=0.005)  # type: ignore[index]
    assert words.sentence == "Engine oil: 2.8 L at hand, 0.37 L needed, 7.66 times over."
    assert words.sums == (
        ("Needed: 45 mL/h × 8.12 h", "0.37 L"),
        ("At hand: 0.8 L above the mark + 2.0 L carried", "2.8 L"),
        ("At hand over needed", "7.66"),
        ("Lasts without topping up", "17.8 h"),
    )
    assert words.evidence == (("defect", "DEF-1"), ("consumable", "engine oil"))


def test_carrying_more_lifts_the_finding() -> None:
    facts = reserve(1.2)
    (remedy,) = worst(RULE, facts).say(0).remedies

    assert remedy.text == "Carry 1.0 L more engine oil"
    assert answer(RULE, remedy.change(facts)) == Outcome.PASSED


def test_a_late_arrival_that_is_not_known_is_one_finding() -> None:
    assert {one.cause: int(one.outcome[0]) for one in judge(RULE, EXAMPLE, untimed())} == {
        ("late arrival", ""): Outcome.UNKNOWN,
        ("consumable", "engine oil"): Outcome.PASSED,
    }
