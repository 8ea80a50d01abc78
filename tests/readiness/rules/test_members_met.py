"""The worst of each member of an ensemble, all at once, against one member at a time."""

import numpy as np
import pytest
from msgspec.structs import replace

from readiness.rules.facts import Facts
from readiness.rules.facts_water import Forecast, Members
from readiness.rules.members_met import GRIDS, members_worst
from readiness.rules.under_way import passage_of
from readiness.rules.wind_against_stream import steepness_that_counts
from tests.factories.ensemble import with_members
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import water


def held(facts: Facts) -> tuple[Forecast, Members]:
    """The forecast and its members."""
    forecast = facts.water.forecast
    assert forecast is not None
    assert forecast.members is not None
    return forecast, forecast.members


def alone(facts: Facts, number: int) -> Facts:
    """The facts with one member as their whole forecast."""
    forecast, members = held(facts)
    grids = {name: getattr(members, name)[number] for name in GRIDS}
    return water(facts, forecast=replace(forecast, members=None, **grids))


@pytest.mark.parametrize("room", [1, 1_000_000])
def test_each_member_comes_out_as_it_would_alone_however_many_are_taken_at_once(
    monkeypatch: pytest.MonkeyPatch, room: int
) -> None:
    monkeypatch.setattr("readiness.rules.members_met.ROOM", room)
    facts = with_members(worked_example(3), 5)
    passage = passage_of(facts)

    worst = members_worst(held(facts)[0], passage, passage.exposed, np.array([0, 2]))

    assert worst is not None
    assert worst.wind_mps.shape == (5, 2)
    for number in range(5):
        weather = passage_of(alone(facts, number)).weather
        expected = (weather.wind_mps, weather.gust_mps, weather.sea_m, steepness_that_counts(weather))
        found = (worst.wind_mps, worst.gust_mps, worst.sea_m, worst.steepness)
        for values, whole in zip(found, expected, strict=True):
            np.testing.assert_allclose(values[number], whole[[0, 2]].max(axis=-1))


def test_a_member_with_a_gap_where_she_is_is_not_known_and_the_others_are() -> None:
    facts = with_members(worked_example(1), 3)
    forecast, members = held(facts)
    gust = members.gust_mps.copy()
    gust[1, 6] = np.nan
    passage = passage_of(facts)

    worst = members_worst(
        replace(forecast, members=replace(members, gust_mps=gust)), passage, passage.exposed, np.array([0])
    )

    assert worst is not None
    assert np.isnan(worst.gust_mps[:, 0]).tolist() == [False, True, False]
    assert np.isfinite(worst.wind_mps).all()


def test_members_that_do_not_fit_the_forecast_and_no_members_are_none() -> None:
    facts = with_members(worked_example(1), 3)
    forecast, members = held(facts)
    passage = passage_of(facts)
    crooked = replace(members, gust_mps=members.gust_mps[:, :-1])

    for damaged in (replace(forecast, members=crooked), replace(forecast, members=None)):
        assert members_worst(damaged, passage, passage.exposed, np.array([0])) is None
    assert members_worst(forecast, passage, np.zeros_like(passage.exposed), np.array([0])) is None
