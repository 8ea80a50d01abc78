"""Sea on the beam, by its angle, height and steepness."""

import numpy as np
import pytest

from readiness.rules.beam_sea import RULE
from readiness.rules.exposed import NO_LENGTH
from readiness.rules.facts import Facts
from readiness.rules.judgement import Outcome, Waive
from tests.factories.worked_example import worked_example
from tests.factories.worked_water import steady
from tests.readiness.rules.alter import at_worst, forecast, leg, limits, ripens, sentence, vessel, water, worst
from tests.readiness.rules.conftest import Judged

NAN = float("nan")


def sea(off_bow: float, height_m: float, period_s: float = 5.0) -> Facts:
    """A 12.0 m boat in still water, steering 090, with the same sea everywhere from so far off the bow."""
    came_from = np.radians(90.0 + off_bow)
    facts = vessel(worked_example(1), loa_m=12.0)
    still = water(facts, streams=tuple(steady(stream.key, 0.0) for stream in facts.water.streams))
    return forecast(
        still, wave_height_m=height_m, wave_period_s=period_s,
        wave_from_east=float(np.sin(came_from)), wave_from_north=float(np.cos(came_from)),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("off_bow", "expected"),
    [
        (59.9, Outcome.PASSED), (60.0, Outcome.NO_GO), (120.0, Outcome.NO_GO), (120.1, Outcome.PASSED),
        (-60.0, Outcome.NO_GO), (-59.9, Outcome.PASSED), (-120.0, Outcome.NO_GO), (0.0, Outcome.PASSED),
        (180.0, Outcome.PASSED),
    ],
)  # fmt: skip
def test_the_beam_reaches_from_60_to_120_degrees_to_either_side(
    judged: Judged, off_bow: float, expected: Outcome
) -> None:
    assert worst(judged(RULE, sea(off_bow, 2.0))) == expected


@pytest.mark.parametrize(
    ("height_m", "expected"),
    [
        (1.199, Outcome.PASSED), (1.2, Outcome.CONDITION), (1.919, Outcome.CONDITION), (1.92, Outcome.NO_GO),
        (NAN, Outcome.UNKNOWN),
    ],
)  # fmt: skip
def test_a_steep_sea_against_its_ladder(judged: Judged, height_m: float, expected: Outcome) -> None:
    assert worst(judged(RULE, sea(90.0, height_m))) == expected


@pytest.mark.parametrize(("share", "expected"), [(0.9999, Outcome.CONDITION), (1.0001, Outcome.NO_GO)])
def test_only_a_steep_sea_is_a_no_go(judged: Judged, share: float, expected: Outcome) -> None:
    length_at_limit = 2.0 / 0.040 * share
    period = np.sqrt(2 * np.pi * (2.0 / 0.040) ** 2 / length_at_limit / 9.81)  # the shorter the wave, the steeper

    assert worst(judged(RULE, sea(90.0, 2.0, float(period)))) == expected


def test_the_skipper_may_move_each_limit(judged: Judged) -> None:
    assert worst(judged(RULE, limits(sea(90.0, 1.1), beam_sea_condition_loa=0.09))) == Outcome.CONDITION
    assert worst(judged(RULE, limits(sea(90.0, 1.7), beam_sea_no_go_loa=0.14))) == Outcome.NO_GO
    assert worst(judged(RULE, limits(sea(90.0, 2.0, 6.0), beam_sea_steepness=0.030))) == Outcome.NO_GO


def test_it_says_the_sea_and_what_is_left(judged: Judged) -> None:
    found = judged(RULE, sea(90.0, 1.5))

    assert sentence(found) == (
        "Sea 1.50 m abeam on the way from Ostrel Haven to Brannowmouth, off; condition from 1.20 m on the beam, no-go "
        "from 1.92 m if steep."
    )
    assert at_worst(found).say(0).do.startswith("Dog-leg")
    assert judged(RULE, sea(90.0, 1.0))[-1].say(0).margin == "0.20 m"
    assert judged(RULE, sea(180.0, 2.0))[-1].say(0).sentence == "No exposed part of the way has the sea on the beam."


def test_a_direction_not_known_is_not_known_and_does_not_settle_itself(judged: Judged) -> None:
    found = judged(RULE, forecast(sea(90.0, 1.1), wave_from_east=NAN))

    assert (worst(found), ripens(at_worst(found))) == (Outcome.UNKNOWN, False)


@pytest.mark.parametrize(("height_m", "expected"), [(1.9, Outcome.CONDITION), (2.0, Outcome.UNKNOWN)])
def test_a_steepness_not_known_matters_where_the_height_is_a_no_go(
    judged: Judged, height_m: float, expected: Outcome
) -> None:
    assert worst(judged(RULE, forecast(sea(90.0, height_m), wave_period_s=NAN))) == expected


def test_without_a_forecast_it_settles_itself_and_without_her_length_it_does_not(judged: Judged) -> None:
    starved = judged(RULE, water(sea(90.0, 1.0), forecast=None))
    lengthless = judged(RULE, vessel(sea(90.0, 1.0), loa_m=NAN))

    assert (worst(starved), at_worst(starved).cause, ripens(at_worst(starved))) == (
        Outcome.UNKNOWN, ("forecast", ""), True,
    )  # fmt: skip
    assert (worst(lengthless), ripens(at_worst(lengthless))) == (Outcome.UNKNOWN, False)
    assert sentence(lengthless) == NO_LENGTH.sentence


def test_a_harbour_move_does_not_ask_and_both_outcomes_may_be_waived_for_one_leg(judged: Judged) -> None:
    found = judged(RULE, leg(sea(90.0, 3.0), harbour_move=True))

    assert [(one.applies, worst([one])) for one in found] == [(False, Outcome.PASSED)]
    assert RULE.waive == {Outcome.NO_GO: Waive.ONE_LEG, Outcome.CONDITION: Waive.ONE_LEG}
