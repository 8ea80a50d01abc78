"""The sea on each bar at any time."""

from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from readiness.calc.sea_state import wave_on_stream
from readiness.rules.bar_sea import seas_on_bars
from readiness.rules.facts import Facts
from readiness.rules.passage import Passage
from readiness.rules.streams_met import StreamsMet
from readiness.rules.under_way import passage_of
from readiness.rules.weather_met import sampled
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import forecast, gate, leg, place, water
from vessel.units import HOUR, KNOT

BAR = "brannow-bar"


def sea(
    facts: Facts, hours: float | np.ndarray[Any, np.dtype[np.float64]] = 3.0, passage: Passage | None = None
) -> Any:
    """The sea on the bar off Brannowmouth so many hours after the planned departure."""
    held = passage or passage_of(facts)
    streams = StreamsMet({}, tuple(held.streams), held.stream_of_step)
    seas = seas_on_bars(facts, held.track, held.point_node, streams, sampled(facts.water.forecast))
    return np.asarray(seas[BAR](held.departure_at[0] + np.asarray(hours) * HOUR))


def first_stream(facts: Facts, knots: float) -> Facts:
    """The steady stream before the bar, toward the east where positive."""
    rate = np.array([abs(knots) * KNOT])
    tables = tuple(
        replace(one, set_deg=np.array([90.0 if knots >= 0 else 270.0]), rate_neaps_mps=rate, rate_springs_mps=rate)
        if one.key == "first"
        else one
        for one in facts.water.streams
    )
    return water(facts, streams=tables)


def test_only_bars_have_a_sea() -> None:
    facts = worked_example(1)
    passage = passage_of(facts)
    streams = StreamsMet({}, tuple(passage.streams), passage.stream_of_step)

    found = seas_on_bars(facts, passage.track, passage.point_node, streams, sampled(facts.water.forecast))

    assert set(found) == {BAR}


def test_a_stream_with_the_waves_leaves_the_forecast_as_it_is() -> None:
    assert sea(worked_example(1)) == pytest.approx(0.9)  # waves from the west, stream toward the east


@pytest.mark.parametrize("knots", [0.5, 1.5])
def test_a_stream_against_the_waves_raises_it_as_the_sum_says(knots: float) -> None:
    expected = wave_on_stream(0.9, 4.5, 270.0, -knots * KNOT, 0.0).hs_eff_m

    found = sea(first_stream(worked_example(1), -knots))

    assert found == pytest.approx(float(expected))
    assert found > 0.9


def test_a_stream_that_stops_the_waves_makes_it_more_than_any_bar_is_crossed_in() -> None:
    assert sea(forecast(first_stream(worked_example(1), -4.0), wave_period_s=3.0)) == np.inf


def test_a_calm_that_comes_from_nowhere_is_known_to_be_calm() -> None:
    calm = forecast(worked_example(1), wave_height_m=0.0, wave_from_east=0.0, wave_from_north=0.0)

    assert sea(first_stream(calm, -1.0)) == 0.0


@pytest.mark.parametrize("name", ["wave_height_m", "wave_period_s", "wave_from_east"])
def test_what_the_forecast_does_not_say_against_a_stream_is_not_known(name: str) -> None:
    facts = first_stream(worked_example(1), -1.0)

    assert np.isnan(sea(forecast(facts, **{name: float("nan")})))


def test_before_and_beyond_the_forecast_and_without_one_nothing_is_known() -> None:
    facts = worked_example(1)

    assert np.isnan(sea(facts, np.array([-30.0, 60.0]))).all()
    assert np.isnan(sea(water(facts, forecast=None)))


def test_a_stream_that_is_not_known_leaves_the_sea_not_known() -> None:
    assert np.isnan(sea(water(worked_example(1), streams=())))


def rough_at_the_end(facts: Facts) -> Facts:
    """The sea rises along the leg from nothing to 2 m."""
    held = facts.water.forecast
    assert held is not None
    return water(facts, forecast=replace(held, wave_height_m=np.tile([0.0, 2.0], (len(held.at), 1))))


def test_it_is_taken_where_the_bar_is_named_on_the_way_else_nearest_to_its_harbour() -> None:
    facts = rough_at_the_end(worked_example(1))
    points = tuple(replace(point, gate=BAR if number == 4 else None) for number, point in enumerate(facts.leg.points))

    assert sea(facts) == pytest.approx(2.0 * 14 / 48, abs=0.03)
    assert sea(leg(facts, points=points)) == pytest.approx(2.0 * 40 / 48, abs=0.03)


def test_a_bar_far_off_the_way_or_nowhere_has_no_sea_that_is_known() -> None:
    facts = worked_example(1)

    assert np.isnan(sea(place(facts, "brannowmouth", lat_deg=46.0)))  # thirty miles off
    assert np.isnan(sea(gate(facts, BAR, place="nowhere")))
