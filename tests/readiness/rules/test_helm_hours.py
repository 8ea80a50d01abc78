"""Hours at the helm each."""

import pytest

from readiness.rules.facts import Facts
from readiness.rules.helm_hours import RULE
from readiness.rules.judgement import Outcome
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import (
    at_worst,
    demand,
    forecast,
    leg,
    limits,
    person,
    ripens,
    sentence,
    vessel,
    water,
    without,
    worst,
)
from tests.readiness.rules.conftest import Judged
from vessel.units import HOUR

EVENING = 43
PLAN_H = 6 + 52 / 60 + 28 / 3600


def hours(judged: Judged, facts: Facts, index: int = 0) -> float:
    """Hours at the helm each."""
    return demand(judged(RULE, facts)[-1], index) / HOUR


def test_the_day_is_shared_by_the_helms_and_the_dark_by_those_good_for_the_night(judged: Judged) -> None:
    facts = worked_example(44)

    assert hours(judged, facts) == pytest.approx(PLAN_H / 3, abs=0.001)
    assert round(hours(judged, facts, EVENING), 2) == 3.29
    assert round(hours(judged, without(facts, "Tam"), EVENING), 2) == 5.96


@pytest.mark.parametrize(
    ("absent", "ok_h", "no_go_h", "expected"),
    [
        ((), 4.0, 6.0, Outcome.PASSED), (("Tam",), 4.0, 6.0, Outcome.PASSED),
        (("Tam",), 3.4, 6.0, Outcome.CONDITION), (("Tam", "Odile"), 4.0, 6.0, Outcome.NO_GO),
        (("Tam", "Odile"), 4.0, 6.9, Outcome.CONDITION), (("Tam", "Odile"), 4.0, 6.87, Outcome.NO_GO),
    ],
)  # fmt: skip
def test_hours_each_against_the_ladder(
    judged: Judged, absent: tuple[str, ...], ok_h: float, no_go_h: float, expected: Outcome
) -> None:
    facts = limits(without(worked_example(1), *absent), helm_ok_s=ok_h * HOUR, helm_no_go_s=no_go_h * HOUR)

    assert worst(judged(RULE, facts)) == expected


def test_exactly_on_the_limit_passes(judged: Judged) -> None:
    facts = without(worked_example(1), "Tam")
    exactly = demand(judged(RULE, facts)[-1])

    assert worst(judged(RULE, limits(facts, helm_ok_s=exactly))) == Outcome.PASSED


@pytest.mark.parametrize(("sea_m", "factor"), [(1.524, 1.0), (1.525, 1.25)])
def test_a_sea_of_an_eighth_of_her_length_makes_the_helm_heavier(judged: Judged, sea_m: float, factor: float) -> None:
    facts = leg(worked_example(1), segments=tuple(
        type(one)(**{field: getattr(one, field) for field in one.__struct_fields__} | {"stream": "fourth"})
        for one in worked_example(1).leg.segments
    ))  # fmt: skip
    calm = hours(judged, forecast(facts, wave_height_m=0.0, wave_from_east=1.0))

    rough = hours(judged, forecast(facts, wave_height_m=sea_m, wave_from_east=-1.0))

    assert rough / calm == pytest.approx(factor)


def test_nobody_fit_to_steer_is_a_no_go(judged: Judged) -> None:
    facts = worked_example(44)
    for name in ("Ines", "Tam"):
        facts = person(facts, name, fit=None)

    assert worst(judged(RULE, facts), 0) == Outcome.NO_GO
    assert worst(judged(RULE, facts), EVENING) == Outcome.NO_GO


def test_without_a_forecast_the_sea_is_not_known_and_will_be(judged: Judged) -> None:
    found = at_worst(judged(RULE, water(worked_example(1), forecast=None)))

    assert (found.outcome[0], found.cause, ripens(found)) == (Outcome.UNKNOWN, ("forecast", ""), True)


def test_without_her_length_nobody_can_tell_a_rough_sea(judged: Judged) -> None:
    facts = vessel(worked_example(1), loa_m=float("nan"))

    assert worst(judged(RULE, facts)) == Outcome.UNKNOWN


def test_it_says_the_hours_each(judged: Judged) -> None:
    assert "2 h 17 min" in sentence(judged(RULE, worked_example(1)))


def test_a_harbour_move_does_not_ask(judged: Judged) -> None:
    facts = leg(without(worked_example(1), "Tam", "Odile"), harbour_move=True)

    assert [(one.applies, worst([one])) for one in judged(RULE, facts)] == [(False, Outcome.PASSED)]


@pytest.mark.parametrize(
    ("absent", "words"),
    [
        ((), "for each of 3 helms, 2 of them good for the night;"),
        (("Tam", "Odile"), "for the one helm, good for the night;"),
    ],
)
def test_one_helm_is_not_each_of_one(judged: Judged, absent: tuple[str, ...], words: str) -> None:
    said = sentence(judged(RULE, without(worked_example(1), *absent)))

    assert words in said
