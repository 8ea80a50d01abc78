"""Sea made steep by a stream against it; blocked where the stream stops the waves."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from readiness.calc.sea_state import stream_to_steepness
from readiness.calc.weather import worst_between
from readiness.rules.exposed import Asked, Spot, judged_on_exposed
from readiness.rules.facts import Facts
from readiness.rules.judgement import Judgement, Outcome, Rule, Subject, Waive, Words
from readiness.rules.limits import Limits
from readiness.rules.off_bow import side
from readiness.rules.passage import Passage, Weather
from readiness.rules.record import NOT_KNOWN, Array
from readiness.rules.telling import departure_zone
from readiness.rules.weather_met import sampled
from vessel.calc.wording import knots, margin, metres, with_utc
from vessel.units import KNOT

RULE_ID = "wind_against_stream"
TITLE = "Wind against stream"
COUNTS_FROM_M = 0.8  # a lower effective sea is not steep enough to matter [own]


def steepness_that_counts(weather: Weather) -> Array:
    """Steepness where the effective sea counts, infinite if blocked; 0 where it does not; NaN where not known."""
    counts = ~(weather.sea_m < COUNTS_FROM_M)
    return np.where(counts, weather.steepness, 0.0)


def wind_against_stream(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:
    """One judgement: the steepest sea on exposed steps.

    Source: [lhs1961] [usace-tr0222]
    """
    condition, no_go = limits.steepness_condition, limits.steepness_no_go

    def say(spot: Spot) -> Words:
        steep, stream = spot.value, _stream_left(facts, passage, spot, condition)
        return Words(
            title=f"Steep sea: {spot.where}" if spot.outcome else f"Steepness: {spot.where}",
            sentence=_sentence(facts, passage, spot, condition),
            do="Pass it near slack water." if spot.outcome else "",
            sums=(
                ("Height ÷ length of the sea on the stream", f"{steep:.4f}"),
                ("Condition, no-go from", f"{condition:.4f}, {no_go:.4f}"),
                *_stream_sums(stream),
            ),
            evidence=(("forecast", ""),),
            margin=margin(stream.left_mps / KNOT, "kn of stream", 2) if 0 < steep < condition else "",
        )

    ladder = ((np.greater_equal, condition, Outcome.CONDITION), (np.greater_equal, no_go, Outcome.NO_GO))
    asked = Asked(RULE_ID, TITLE, "steepness", "sea on the stream", "1", steepness_that_counts, ladder, condition, say)
    yield from judged_on_exposed(facts, passage, asked)


@dataclass(frozen=True)
class StreamLeft:
    """The stream against the waves there, the one that makes it a condition, and what lies between."""

    now_mps: float
    condition_mps: float

    @property
    def left_mps(self) -> float:
        """How much more stream it would take; NaN where that cannot be told."""
        return self.condition_mps - self.now_mps


def _stream_left(facts: Facts, passage: Passage, spot: Spot, condition: float) -> StreamLeft:
    """What the sum of the step is worked back to; a stream that runs with the waves counts as none."""
    weather, at = passage.weather, (spot.index, spot.step)
    forecast = sampled(facts.water.forecast)
    if forecast is None:
        return StreamLeft(NOT_KNOWN, NOT_KNOWN)
    times = (passage.plan.node_at[at], passage.late.node_at[spot.index, spot.step + 1])
    along = passage.track.step_along_m[[spot.step]]
    start, end = (np.array([[time]]) for time in times)
    period = worst_between(forecast, forecast.values["wave_period_s"], along, start, end, "min")
    height = weather.wave_height_m[at]
    return StreamLeft(
        float(np.asarray(stream_to_steepness(height, period, weather.steepness[at])).item()),
        float(np.asarray(stream_to_steepness(height, period, condition)).item()),
    )


def _stream_sums(stream: StreamLeft) -> tuple[tuple[str, str], ...]:
    """The stream there, and the one that makes it a condition, rounded up so that it does."""
    if not np.isfinite(stream.left_mps) or stream.left_mps <= 0:
        return ()
    limit = np.ceil(stream.condition_mps / KNOT * 100) / 100
    return (("Stream against the waves; condition from", f"{knots(stream.now_mps, 2)}; {limit:.2f} kn"),)


def _sentence(facts: Facts, passage: Passage, spot: Spot, condition: float) -> str:
    if np.isinf(spot.value):
        at = with_utc(float(passage.plan.node_at[spot.index, spot.step]), departure_zone(facts))
        return f"The stream stops the waves on the way from {spot.where}, about {at}: breaking water."
    sea = metres(float(passage.weather.sea_m[spot.index, spot.step]), 2) + side(passage, spot.index, spot.step)
    return f"Sea {sea}, steepness {spot.value:.4f} on the way from {spot.where}; condition from {condition:.3f}."


RULE = Rule(
    id=RULE_ID,
    title="Wind against stream",
    subject=Subject.WEATHER,
    formula="Effective height ÷ wave length on the stream, where the height is 0.8 m or more: 0.050 condition, 0.065 "
    "no-go; a stream of a quarter of the waves' speed against them blocks: no-go.",
    source="[lhs1961] [usace-tr0222]",
    worst=Outcome.NO_GO,
    judge=wind_against_stream,
    limits=("steepness_condition", "steepness_no_go"),
    waive={Outcome.NO_GO: Waive.ONE_LEG, Outcome.CONDITION: Waive.ONE_LEG},
)
