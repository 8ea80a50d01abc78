"""Visibility on the whole way."""

import numpy as np
import pytest
from msgspec.structs import replace

from readiness.rules.judgement import Outcome
from readiness.rules.visibility import RULE
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import at_worst, boat, demand, forecast, leg, place, ripens, sentence, water, worst
from tests.readiness.rules.conftest import Judged
from vessel.units import NAUTICAL_MILE


@pytest.mark.parametrize(
    ("miles", "expected"),
    [
        (5.0, Outcome.PASSED), (4.999, Outcome.ADVICE), (2.0, Outcome.ADVICE), (1.999, Outcome.CONDITION),
        (0.5, Outcome.CONDITION), (0.499, Outcome.NO_GO), (0.0, Outcome.NO_GO), (float("nan"), Outcome.UNKNOWN),
    ],
)  # fmt: skip
def test_visibility_against_its_ladder(judged: Judged, miles: float, expected: Outcome) -> None:
    assert worst(judged(RULE, forecast(worked_example(1), visibility_m=miles * NAUTICAL_MILE))) == expected


def test_it_says_the_least_where_it_is_and_what_is_left(judged: Judged) -> None:
    facts = worked_example(1)
    held = facts.water.forecast
    assert held is not None
    fog = held.visibility_m.copy()
    fog[9] = 0.8 * NAUTICAL_MILE  # noon

    found = judged(RULE, forecast(facts, visibility_m=fog))

    assert demand(found[-1]) == pytest.approx(0.8 * NAUTICAL_MILE)
    assert sentence(found) == (
        "Visibility 0.8 nmi on the way from Hallorn Pool, off to Thole Bight, off; condition under 2 nmi, no-go under "
        "0.5 nmi."
    )
    assert at_worst(found).say(0).do == "Wait until it clears."
    assert judged(RULE, facts)[-1].say(0).margin == "8.0 nmi"


def test_sheltered_water_is_asked_as_well(judged: Judged) -> None:
    facts = forecast(worked_example(1), visibility_m=0.3 * NAUTICAL_MILE)
    inside = leg(facts, segments=tuple(replace(segment, exposed=False) for segment in facts.leg.segments))

    assert worst(judged(RULE, inside)) == Outcome.NO_GO


@pytest.mark.parametrize(("home_m", "expected"), [(2.2, Outcome.CONDITION), (-9.0, Outcome.NO_GO)])
def test_fog_only_the_late_figure_meets_is_a_condition_where_a_refuge_passes(
    judged: Judged, home_m: float, expected: Outcome
) -> None:
    facts = place(leg(worked_example(1), refuges=("brannowmouth",) if home_m > 0 else ()), "ostrel", charted_m=home_m)
    held = facts.water.forecast
    assert held is not None
    fog = held.visibility_m.copy()
    fog[11:15] = 0.2 * NAUTICAL_MILE  # from 14:00; by plan she is in at 13:22, late at 14:37
    fog[10] = 30 * NAUTICAL_MILE

    assert worst(judged(RULE, forecast(facts, visibility_m=fog))) == expected


def test_radar_eases_nothing(judged: Judged) -> None:
    facts = forecast(worked_example(1), visibility_m=0.3 * NAUTICAL_MILE)
    without = boat(facts, equipment=tuple(item for item in facts.boat.equipment if item.code != "NV-07"))

    assert worst(judged(RULE, facts)) == worst(judged(RULE, without)) == Outcome.NO_GO


def test_no_forecast_settles_itself_and_a_gap_does_not(judged: Judged) -> None:
    facts = worked_example(1)
    held = facts.water.forecast
    assert held is not None
    gap = held.visibility_m.copy()
    gap[6] = np.nan

    for found, settles in (
        (judged(RULE, water(facts, forecast=None)), True),
        (judged(RULE, forecast(facts, visibility_m=gap)), False),
    ):
        assert (worst(found), ripens(at_worst(found))) == (Outcome.UNKNOWN, settles)


def test_a_harbour_move_does_not_ask(judged: Judged) -> None:
    facts = leg(forecast(worked_example(1), visibility_m=0.0), harbour_move=True)

    assert [(one.applies, worst([one])) for one in judged(RULE, facts)] == [(False, Outcome.PASSED)]
