"""Water under the keel at each point."""

import numpy as np
import pytest
from msgspec.structs import replace

from readiness.rules.facts import Facts
from readiness.rules.judgement import Outcome, Waive
from readiness.rules.under_keel import RULE
from readiness.rules.under_way import passage_of
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import (
    at_worst,
    forecast,
    gate,
    leg,
    limits,
    outcome,
    place,
    ripens,
    sentence,
    vessel,
    water,
    worst,
)
from tests.readiness.rules.conftest import Judged

NAN = float("nan")
DRAUGHT = 1.25


def charted(facts: Facts, number: int, depth_m: float) -> Facts:
    """The facts with the depth of one point by the chart."""
    points = list(facts.leg.points)
    points[number] = replace(points[number], charted_m=depth_m)
    return leg(facts, points=tuple(points))


def needing(facts: Facts, number: int, spare_m: float) -> Facts:
    """The facts with so much more under the keel than wanted at the lowest tide from early to late at a point."""
    passage = passage_of(facts)
    low = min(
        float(passage.tides["ostrel"].height(early + (late - early) * share / 200))
        for early, late in [(passage.at_point(passage.early, number)[0], passage.at_point(passage.late, number)[0])]
        for share in range(201)
    )
    steps = [
        max(int(passage.point_node[number]) - 1, 0),
        min(int(passage.point_node[number]), passage.exposed.size - 1),
    ]
    need = 0.30 + 0.5 * max(passage.weather.sea_m[0, step] for step in steps)
    return charted(facts, number, DRAUGHT + need - low + spare_m)


@pytest.mark.parametrize(
    ("spare_m", "expected"),
    [(0.21, Outcome.PASSED), (0.19, Outcome.CONDITION), (0.01, Outcome.CONDITION)],
    ids=["with the doubt", "within the doubt", "barely"],
)
def test_water_against_the_need_and_the_doubt(judged: Judged, spare_m: float, expected: Outcome) -> None:
    assert worst(judged(RULE, needing(worked_example(1), 4, spare_m))) == expected


@pytest.mark.parametrize(
    ("refuges", "home_m", "expected"),
    [(("hallorn", "brannowmouth"), 2.2, Outcome.CONDITION), ((), -9.0, Outcome.NO_GO)],
)
def test_too_little_at_the_lowest_only_is_a_condition_where_a_refuge_passes(
    judged: Judged, refuges: tuple[str, ...], home_m: float, expected: Outcome
) -> None:
    facts = place(leg(needing(worked_example(1), 4, -0.01), refuges=refuges), "ostrel", charted_m=home_m)
    found = judged(RULE, facts)

    assert worst(found) == expected
    why = "No way out passes (Ostrel Haven: too little water)."
    assert sentence(found).endswith(why) == (expected == Outcome.NO_GO)


def test_too_little_by_plan_is_a_no_go_whatever_refuge_there_is(judged: Judged) -> None:
    assert worst(judged(RULE, needing(worked_example(1), 4, -1.5))) == Outcome.NO_GO


@pytest.mark.parametrize(
    ("short_m", "wait", "expected"),
    [(0.01, "vessary", Outcome.CONDITION), (0.01, None, Outcome.NO_GO), (0.5, "vessary", Outcome.NO_GO)],
    ids=["clears with the last of the flood", "nowhere to wait", "does not clear in three hours"],
)
def test_too_little_by_plan_is_a_condition_where_a_wait_place_passes_and_it_soon_clears(
    judged: Judged, short_m: float, wait: str | None, expected: Outcome
) -> None:
    facts = place(worked_example(1), "vessary", shelter=worked_example(1).water.places[0].shelter)
    passage = passage_of(facts)
    by_plan = float(np.asarray(passage.tides["ostrel"].height(passage.plan.arrives_at))[0])
    need = 0.30 + 0.5 * float(passage.weather.sea_m[0, -1])
    facts = charted(gate(facts, "morrowick-lock", wait_place=wait), 5, DRAUGHT + need - by_plan - short_m)

    assert worst(judged(RULE, facts)) == expected


def test_pressure_above_the_mean_takes_water_away_and_low_pressure_gives_none(judged: Judged) -> None:
    facts = needing(worked_example(1), 4, 0.3)

    high, low = (judged(RULE, forecast(facts, pressure_hpa=value)) for value in (1033.0, 960.0))

    assert worst(high) == Outcome.CONDITION
    assert worst(low) == Outcome.PASSED


def test_without_a_forecast_all_points_wait_in_one_finding_that_settles_itself(judged: Judged) -> None:
    found = judged(RULE, water(worked_example(1), forecast=None))
    unknown = [one for one in found if outcome(one) == Outcome.UNKNOWN]

    assert [(one.cause, ripens(one)) for one in unknown] == [(("forecast", ""), True)]


def test_too_shallow_whatever_the_weather_brings_is_a_no_go_without_a_forecast(judged: Judged) -> None:
    facts = charted(water(worked_example(1), forecast=None), 4, -3.0)

    assert worst(judged(RULE, facts)) == Outcome.NO_GO


def test_depth_draught_or_tide_not_known_is_not_known(judged: Judged) -> None:
    facts = worked_example(1)

    for damaged in (charted(facts, 4, NAN), vessel(facts, draught_m=NAN)):
        found = judged(RULE, damaged)
        assert worst(found) == Outcome.UNKNOWN
        assert "cannot be told: depth or tide is not known." in sentence(found)
    starved = judged(RULE, water(facts, stations=()))
    assert {(one.cause, outcome(one)) for one in starved} == {(("tide", "ostrel"), Outcome.UNKNOWN)}


def test_it_says_the_water_and_what_is_wanted(judged: Judged) -> None:
    facts = limits(charted(worked_example(1), 5, -1.2), under_keel_m=0.5)

    assert sentence(judged(RULE, facts)).startswith("Least water under the keel at Morrowick lock ")
    assert at_worst(judged(RULE, facts)).say(0).sums[0] == ("Depth by chart", "−1.20 m")


def test_points_that_are_deep_by_the_chart_are_not_asked_and_a_harbour_move_is(judged: Judged) -> None:
    facts = charted(worked_example(1), 4, -3.0)
    deep = leg(facts, points=tuple(replace(point, depth_matters=False) for point in facts.leg.points))
    unsaid = leg(facts, points=tuple(replace(point, depth_matters=None) for point in facts.leg.points))

    assert [one.applies for one in judged(RULE, deep)] == [False]
    assert worst(judged(RULE, leg(facts, harbour_move=True))) == Outcome.NO_GO
    assert worst(judged(RULE, unsaid)) == Outcome.NO_GO
    assert RULE.waive[Outcome.NO_GO] == Waive.NEVER
