"""The weather until leaving late holds that until leaving by plan."""

import numpy as np
import pytest

from readiness.rules.facts import Facts
from readiness.rules.under_way import passage_of
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import forecast

WORSE_IF_MORE = ("wind_mps", "gust_mps", "wave_height_m", "sea_m", "steepness", "pressure_hpa", "air_c")
WORSE_IF_LESS = ("visibility_m", "sea_c")


@pytest.fixture(scope="module")
def restless() -> Facts:
    """Every number of the forecast up and down from hour to hour; the waves back and forth by a quarter turn."""
    facts = worked_example(60)
    held = facts.water.forecast
    assert held is not None
    rng = np.random.default_rng(5)
    names = (
        "wind_east_mps",
        "gust_mps",
        "wave_height_m",
        "wave_period_s",
        "visibility_m",
        "pressure_hpa",
        "air_c",
        "sea_c",
    )
    shaken = {name: getattr(held, name) * rng.uniform(0.7, 1.3, held.gust_mps.shape) for name in names}
    return forecast(facts, wave_from_north=rng.uniform(-1.0, 1.0, held.gust_mps.shape), **shaken)


@pytest.mark.parametrize("name", [*WORSE_IF_MORE, *WORSE_IF_LESS])
def test_nothing_is_better_until_leaving_late_than_until_leaving_by_plan(restless: Facts, name: str) -> None:
    passage = passage_of(restless)

    late, plan = (getattr(weather, name) for weather in (passage.weather, passage.weather_at_plan))

    known = np.isfinite(late) & np.isfinite(plan)
    worse = late - plan if name in WORSE_IF_MORE else plan - late
    assert known.mean() > 0.5
    assert worse[known].min() >= -1e-12
    assert (worse[known] > 0).any()
    assert not (np.isnan(plan) & ~np.isnan(late)).any()


def test_the_direction_is_that_on_entering_by_plan_in_both(restless: Facts) -> None:
    passage = passage_of(restless)

    np.testing.assert_array_equal(passage.weather.wave_from_deg, passage.weather_at_plan.wave_from_deg)
