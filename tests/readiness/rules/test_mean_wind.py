"""Mean wind on exposed water."""

import numpy as np
import pytest
from msgspec.structs import replace

from readiness.rules.facts import Facts
from readiness.rules.judgement import Outcome
from readiness.rules.mean_wind import RULE
from readiness.rules.words_of_trade import Confidence
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import at_worst, forecast, leg, place, ripens, sentence, water, worst
from tests.readiness.rules.conftest import Judged
from vessel.units import KNOT

NORMAL, LOW = Confidence.NORMAL, Confidence.LOW


def sheltered(facts: Facts) -> Facts:
    """The same leg with no exposed segment."""
    return leg(facts, segments=tuple(replace(segment, exposed=False) for segment in facts.leg.segments))


@pytest.mark.parametrize(
    ("knots", "confidence", "expected"),
    [
        (16.99, NORMAL, Outcome.PASSED), (17.0, NORMAL, Outcome.ADVICE), (21.99, NORMAL, Outcome.ADVICE),
        (22.0, NORMAL, Outcome.CONDITION), (27.99, NORMAL, Outcome.CONDITION), (28.0, NORMAL, Outcome.NO_GO),
        (13.59, LOW, Outcome.PASSED), (13.61, LOW, Outcome.ADVICE), (17.61, LOW, Outcome.CONDITION),
        (22.39, LOW, Outcome.CONDITION), (22.41, LOW, Outcome.NO_GO), (17.61, None, Outcome.CONDITION),
    ],
)  # fmt: skip
def test_wind_against_its_ladder(judged: Judged, knots: float, confidence: Confidence, expected: Outcome) -> None:
    facts = forecast(worked_example(1), wind_east_mps=knots * KNOT, confidence=confidence)

    assert worst(judged(RULE, facts)) == expected


def test_it_says_the_wind_and_both_limits(judged: Judged) -> None:
    facts = forecast(worked_example(1), wind_east_mps=24 * KNOT)

    assert sentence(judged(RULE, facts)) == (
        "Mean wind 24 kn on the way from Ostrel Haven to Brannowmouth, off; condition from 22 kn, no-go from 28 kn."
    )


def test_wind_where_she_is_not_at_the_time_does_not_count(judged: Judged) -> None:
    facts = worked_example(1)
    held = facts.water.forecast
    assert held is not None
    east = held.wind_east_mps.copy()
    east[:3] = east[13:] = 35 * KNOT  # 03:00 to 05:00, and from 16:00

    assert worst(judged(RULE, forecast(facts, wind_east_mps=east))) == Outcome.PASSED


@pytest.mark.parametrize(("home_m", "expected"), [(2.2, Outcome.CONDITION), (-9.0, Outcome.NO_GO)])
def test_a_wind_only_the_late_figure_meets_is_a_condition_where_a_refuge_passes(
    judged: Judged, home_m: float, expected: Outcome
) -> None:
    facts = place(leg(worked_example(1), refuges=()), "ostrel", charted_m=home_m)
    held = facts.water.forecast
    assert held is not None
    east = held.wind_east_mps.copy()
    east[11:15, 1] = 32 * KNOT  # in the east, 14:00 to 17:00, rising from 13:00; by plan she is in at 13:22
    rising = forecast(facts, wind_east_mps=east)
    brannow = leg(rising, refuges=("brannowmouth",)) if home_m > 0 else rising

    assert worst(judged(RULE, brannow)) == expected


def test_a_gap_inside_the_forecast_does_not_settle_itself_and_its_end_does(judged: Judged) -> None:
    facts = worked_example(1)
    held = facts.water.forecast
    assert held is not None
    gap = held.wind_east_mps.copy()
    gap[6] = np.nan
    short = replace(held, at=held.at[:8], **{
        name: getattr(held, name)[:8] for name in held.__struct_fields__ if np.ndim(getattr(held, name)) == 2
    })  # fmt: skip

    inside, ended = judged(RULE, forecast(facts, wind_east_mps=gap)), judged(RULE, water(facts, forecast=short))

    for found, settles in ((inside, False), (ended, True)):
        worse = at_worst(found)
        assert (worst(found), worse.cause, ripens(worse)) == (Outcome.UNKNOWN, ("forecast", ""), settles)
    assert sentence(inside) == "The forecast has a gap in the wind of this passage."


def test_a_gale_in_one_place_is_a_no_go_whatever_is_missing_in_another(judged: Judged) -> None:
    facts = forecast(worked_example(1), wind_east_mps=35 * KNOT)
    held = facts.water.forecast
    assert held is not None
    east = held.wind_east_mps.copy()
    east[6] = np.nan

    assert worst(judged(RULE, forecast(facts, wind_east_mps=east))) == Outcome.NO_GO


def test_sheltered_water_and_a_harbour_move_do_not_ask(judged: Judged) -> None:
    gale = forecast(worked_example(1), wind_east_mps=35 * KNOT)

    for facts in (sheltered(gale), leg(gale, harbour_move=True)):
        assert [(one.applies, worst([one])) for one in judged(RULE, facts)] == [(False, Outcome.PASSED)]


def test_a_segment_nobody_called_exposed_or_not_counts_as_exposed(judged: Judged) -> None:
    gale = sheltered(forecast(worked_example(1), wind_east_mps=35 * KNOT))
    first, *others = gale.leg.segments
    facts = leg(gale, segments=(replace(first, exposed=None), *others))

    assert worst(judged(RULE, facts)) == Outcome.NO_GO
