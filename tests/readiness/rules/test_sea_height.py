"""Height of the sea against her length."""

import pytest
from msgspec.structs import replace

from readiness.rules.exposed import NO_LENGTH
from readiness.rules.facts import Facts
from readiness.rules.judgement import Outcome
from readiness.rules.sea_height import RULE
from readiness.rules.words_of_trade import Confidence
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import at_worst, demand, forecast, leg, ripens, vessel, water, worst
from tests.readiness.rules.conftest import Judged

NAN = float("nan")


def with_the_stream(facts: Facts) -> Facts:
    """Every stream sets where the waves go, so that they are as forecast; she is 12.0 m long."""
    segments = tuple(replace(segment, stream="fourth") for segment in facts.leg.segments)
    return vessel(leg(facts, segments=segments), loa_m=12.0)


@pytest.mark.parametrize(
    ("sea_m", "confidence", "expected"),
    [
        (0.959, Confidence.NORMAL, Outcome.PASSED), (0.960, Confidence.NORMAL, Outcome.ADVICE),
        (1.499, Confidence.NORMAL, Outcome.ADVICE), (1.500, Confidence.NORMAL, Outcome.CONDITION),
        (2.399, Confidence.NORMAL, Outcome.CONDITION), (2.4001, Confidence.NORMAL, Outcome.NO_GO),
        (1.199, Confidence.LOW, Outcome.ADVICE), (1.201, Confidence.LOW, Outcome.CONDITION),
        (1.921, None, Outcome.NO_GO), (NAN, Confidence.NORMAL, Outcome.UNKNOWN),
    ],
)  # fmt: skip
def test_sea_against_its_ladder(judged: Judged, sea_m: float, confidence: Confidence, expected: Outcome) -> None:
    facts = forecast(with_the_stream(worked_example(1)), wave_height_m=sea_m, confidence=confidence)

    assert worst(judged(RULE, facts)) == expected


def test_the_stream_against_the_waves_makes_them_higher(judged: Judged) -> None:
    found = at_worst(judged(RULE, worked_example(1)))

    words = found.say(0)

    assert round(demand(found), 2) == 1.19
    assert words.sentence == (
        "Sea 1.19 m from astern on the way from Skarn Narrows, in to Hallorn Pool, off; condition from 1.52 m, "
        "no-go from 2.44 m."
    )
    assert words.sums[0] == ("Forecast 0.90 m × 1.32 on the stream", "1.19 m")


def test_a_period_or_a_direction_or_a_stream_not_known_leaves_the_sea_not_known(judged: Judged) -> None:
    facts = worked_example(1)
    still = leg(facts, segments=tuple(replace(segment, stream=None) for segment in facts.leg.segments))

    for damaged in (forecast(facts, wave_period_s=NAN), forecast(facts, wave_from_east=NAN), still):
        assert worst(judged(RULE, damaged)) >= Outcome.UNKNOWN


def test_without_a_forecast_it_settles_itself_and_without_her_length_it_does_not(judged: Judged) -> None:
    facts = worked_example(1)

    starved = at_worst(judged(RULE, water(facts, forecast=None)))
    lengthless = at_worst(judged(RULE, vessel(facts, loa_m=NAN)))

    assert (starved.outcome[0], starved.cause, ripens(starved)) == (Outcome.UNKNOWN, ("forecast", ""), True)
    assert (lengthless.outcome[0], ripens(lengthless)) == (Outcome.UNKNOWN, False)
    assert lengthless.say(0).sentence == NO_LENGTH.sentence


def test_a_harbour_move_does_not_ask(judged: Judged) -> None:
    facts = leg(forecast(worked_example(1), wave_height_m=4.0), harbour_move=True)

    assert [(one.applies, worst([one])) for one in judged(RULE, facts)] == [(False, Outcome.PASSED)]
