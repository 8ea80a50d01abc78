"""Sea made steep by the stream."""

import pytest
from msgspec.structs import replace

from readiness.rules.facts import Facts
from readiness.rules.judgement import Outcome
from readiness.rules.wind_against_stream import RULE
from tests.factories.worked_example import worked_example
from tests.factories.worked_water import NARROWS, steady
from tests.readiness.rules.alter import at_worst, demand, forecast, leg, limits, ripens, sentence, water, worst
from tests.readiness.rules.conftest import Judged

NAN = float("nan")


def narrows(facts: Facts, knots: float) -> Facts:
    """The same leg with so much stream against the waves in the narrows, whenever she is there."""
    streams = tuple(steady("skarn", -knots) if one.key == NARROWS.key else one for one in facts.water.streams)
    return water(facts, streams=streams)


@pytest.mark.parametrize(
    ("knots", "expected"),
    [
        (1.5, Outcome.PASSED), (1.54, Outcome.CONDITION), (2.0, Outcome.CONDITION), (2.2, Outcome.NO_GO),
        (0.0, Outcome.PASSED),
    ],
)  # fmt: skip
def test_a_stream_against_the_waves(judged: Judged, knots: float, expected: Outcome) -> None:
    assert worst(judged(RULE, narrows(worked_example(1), knots))) == expected


def test_exactly_on_each_limit_the_worse_stands(judged: Judged) -> None:
    facts = narrows(worked_example(1), 2.0)
    steepness = demand(judged(RULE, facts)[-1])

    conditional = limits(facts, steepness_condition=steepness, steepness_no_go=0.07)
    forbidden = limits(facts, steepness_condition=0.04, steepness_no_go=steepness)

    assert worst(judged(RULE, conditional)) == Outcome.CONDITION
    assert worst(judged(RULE, forbidden)) == Outcome.NO_GO


def test_a_stream_with_the_waves_makes_them_no_steeper(judged: Judged) -> None:
    found = judged(RULE, narrows(worked_example(1), -3.0))

    assert worst(found) == Outcome.PASSED
    assert demand(found[-1]) < 0.0492


@pytest.mark.parametrize(("sea_m", "expected"), [(0.39, Outcome.PASSED), (0.41, Outcome.NO_GO)])
def test_blocked_waves_count_from_an_effective_sea_of_eight_tenths(
    judged: Judged, sea_m: float, expected: Outcome
) -> None:
    facts = forecast(narrows(worked_example(1), 3.4), wave_height_m=sea_m, wave_period_s=3.0)

    found = judged(RULE, facts)

    assert worst(found) == expected
    if expected == Outcome.NO_GO:
        assert "The stream stops the waves" in sentence(found)


def test_it_says_where_and_how_steep(judged: Judged) -> None:
    assert sentence(judged(RULE, worked_example(1))) == (
        "Sea 1.19 m from astern, steepness 0.0492 on the way from Skarn Narrows, in to Hallorn Pool, off; "
        "condition from 0.050."
    )


def test_what_is_left_is_told_as_knots_of_stream(judged: Judged) -> None:
    words = judged(RULE, worked_example(1))[-1].say(0)

    assert words.margin == "0.03 kn of stream"
    assert words.sums[-1] == ("Stream against the waves; condition from", "1.50 kn; 1.54 kn")


@pytest.mark.parametrize("knots", [2.0, 2.2])
def test_past_the_limit_no_stream_is_left(judged: Judged, knots: float) -> None:
    words = judged(RULE, narrows(worked_example(1), knots))[-1].say(0)

    assert words.margin == ""
    assert len(words.sums) == 2


def test_the_stream_there_and_the_one_that_makes_it_a_condition_are_as_far_apart_as_is_left(judged: Judged) -> None:
    facts = narrows(forecast(worked_example(1), wave_height_m=1.1, wave_from_east=1.0), 0.3)

    words = judged(RULE, facts)[-1].say(0)

    now, limit = words.sums[-1][1].replace(" kn", "").split("; ")
    assert float(limit) - float(now) == pytest.approx(float(words.margin.split()[0]), abs=0.011)


@pytest.mark.parametrize("lost", ["wave_height_m", "wave_period_s", "wave_from_east"])
def test_what_the_forecast_does_not_say_is_not_known(judged: Judged, lost: str) -> None:
    found = judged(RULE, forecast(worked_example(1), **{lost: NAN}))

    assert (worst(found), at_worst(found).cause) == (Outcome.UNKNOWN, ("forecast", ""))
    assert not ripens(at_worst(found))


def test_a_stream_table_that_is_broken_is_not_known(judged: Judged) -> None:
    facts = worked_example(1)
    broken = tuple(replace(one, springs_range_m=NAN) if one.key == NARROWS.key else one for one in facts.water.streams)

    assert worst(judged(RULE, water(facts, streams=broken))) >= Outcome.UNKNOWN


def test_a_harbour_move_does_not_ask(judged: Judged) -> None:
    facts = leg(narrows(worked_example(1), 4.0), harbour_move=True)

    assert [(one.applies, worst([one])) for one in judged(RULE, facts)] == [(False, Outcome.PASSED)]
