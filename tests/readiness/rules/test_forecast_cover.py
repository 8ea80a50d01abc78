"""The forecast covers the leg."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from msgspec.structs import replace

from readiness.rules.facts import Facts
from readiness.rules.forecast_cover import RULE
from readiness.rules.judgement import Outcome
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import at_worst, forecast, leg, ripens, sentence, water, worst
from tests.readiness.rules.conftest import Judged

BEGINS = datetime(2027, 5, 15, 6, 30, tzinfo=UTC)
ENDS = datetime(2027, 5, 15, 16, 37, 12, tzinfo=UTC)  # late arrival and two hours
SECOND = timedelta(seconds=1)


def reaching(facts: Facts, begins: datetime, ends: datetime) -> Facts:
    """The same forecast squeezed between two times."""
    held = facts.water.forecast
    assert held is not None
    span = ends - begins
    return forecast(facts, at=tuple(begins + span * number / 48 for number in range(49)))


@pytest.mark.parametrize(
    ("begins", "ends", "expected"),
    [
        (BEGINS, ENDS, Outcome.PASSED),
        (BEGINS, ENDS - SECOND, Outcome.UNKNOWN),
        (BEGINS + SECOND, ENDS, Outcome.UNKNOWN),
        (BEGINS - SECOND, ENDS + SECOND, Outcome.PASSED),
    ],
)
def test_from_departure_to_two_hours_after_the_late_arrival(
    judged: Judged, begins: datetime, ends: datetime, expected: Outcome
) -> None:
    assert worst(judged(RULE, reaching(worked_example(1), begins, ends))) == expected


def test_it_says_how_far_it_runs_and_what_is_needed_and_settles_itself(judged: Judged) -> None:
    found = judged(RULE, reaching(worked_example(1), BEGINS, datetime(2027, 5, 15, 15, 0, tzinfo=UTC)))

    assert ripens(at_worst(found))
    assert sentence(found) == (
        "The forecast runs to Sat 15 May 16:00 (15:00 UTC); Sat 15 May 17:37 (16:37 UTC) is needed."
    )


def test_no_forecast_and_one_that_does_not_fit_are_not_known(judged: Judged) -> None:
    facts = worked_example(1)
    held = facts.water.forecast
    assert held is not None
    crooked = replace(held, gust_mps=np.zeros((3, 2)))

    for damaged in (None, crooked, replace(held, at=held.at[:1]), replace(held, at=held.at[::-1])):
        assert worst(judged(RULE, water(facts, forecast=damaged))) == Outcome.UNKNOWN


def test_all_rules_starved_by_an_absent_forecast_name_one_cause(judged: Judged) -> None:
    assert at_worst(judged(RULE, water(worked_example(1), forecast=None))).cause == ("forecast", "")


def test_a_harbour_move_does_not_ask(judged: Judged) -> None:
    facts = leg(water(worked_example(1), forecast=None), harbour_move=True)

    assert [(one.applies, worst([one])) for one in judged(RULE, facts)] == [(False, Outcome.PASSED)]


def lacking(facts: Facts, *rows: int) -> Facts:
    """The same forecast without some of its times."""
    held = facts.water.forecast
    assert held is not None
    kept = np.delete(np.arange(len(held.at)), rows)
    grids = {name: getattr(held, name)[kept] for name in held.__struct_fields__ if np.ndim(getattr(held, name)) == 2}
    return forecast(facts, at=tuple(held.at[row] for row in kept), **grids)


def test_an_hour_lost_from_every_quantity_is_said(judged: Judged) -> None:
    found = judged(RULE, lacking(worked_example(1), 6))

    assert sentence(found).endswith(
        "It jumps 2 h from Sat 15 May 09:00 (08:00 UTC), as if hours were lost; elsewhere 1 h."
    )
    assert worst(found) == Outcome.PASSED


def test_of_two_holes_the_wider_is_said(judged: Judged) -> None:
    assert "It jumps 3 h from Sat 15 May 21:00" in sentence(judged(RULE, lacking(worked_example(1), 6, 18, 19)))


def test_steps_that_grow_longer_are_told_as_such_and_even_ones_not(judged: Judged) -> None:
    coarser = lacking(worked_example(1), *(row for row in range(25, 48) if row % 3))

    assert sentence(judged(RULE, coarser)).endswith("Its steps are 1 h, later 3 h.")
    assert sentence(judged(RULE, worked_example(1))).endswith("end before it.")


def test_where_her_arrival_is_not_known_that_is_said(judged: Judged) -> None:
    found = judged(RULE, leg(worked_example(1), speed_mps=float("nan")))

    assert worst(found) == Outcome.UNKNOWN
    assert sentence(found).endswith("when she would arrive is not known.")
