"""The leg as a table: at each point the times, and of the way that leads there course, water, wind, sea and fuel."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from readiness.calc.named_weather import from_where
from readiness.calc.sea_state import beaufort
from readiness.calc.tidal_stream import along_and_across, course_to_steer
from readiness.calc.track import wrapped
from readiness.calc.weather import at_place, speed_and_from
from readiness.rules.depth import depth_at
from readiness.rules.engine import Judged
from readiness.rules.fuel_aboard import burn_l_per_h
from readiness.rules.night_light import LIGHT_WORDS, Light, night_light
from readiness.rules.record import NOT_KNOWN
from readiness.rules.telling import arrival_zone, departure_zone
from readiness.rules.weather_met import WIND, sampled, stacked
from vessel.units import HOUR, KNOT, Array

SLACK_MPS = 0.05 * KNOT  # prints as nought


@dataclass(frozen=True)
class LegRow:
    """One point at the chosen departure; `way` is the segment that leads to it, None at the first point."""

    number: int
    name: str
    zone: str  # the clock its local times are by
    along_m: float
    plan_at: float
    late_at: float
    under_keel_m: float
    is_deep: bool  # by the chart, so that depth does not matter
    light: str
    fuel_l: float  # burnt since departure, by plan
    way: "Way | None"


@dataclass(frozen=True)
class Way:
    """One segment by plan: stream and course to steer as she enters it, the hardest wind and highest sea on it."""

    course_deg: float
    distance_m: float
    set_deg: float
    rate_mps: float
    along_mps: float  # fair positive
    steer_deg: float
    sog_mps: float  # over the whole segment
    wind_from_deg: float
    wind_mps: float
    force: float
    sea_m: float
    sea_from: str  # as seen from aboard; empty where not known

    @property
    def runs(self) -> str:
        """Whether the stream helps."""
        return "fair" if self.along_mps > SLACK_MPS else "foul" if self.along_mps < -SLACK_MPS else ""

    @property
    def helps_mps(self) -> float:
        """How much it gives or takes."""
        return abs(self.along_mps)


def leg_rows(judged: Judged, chosen: int) -> list[LegRow]:
    """A row for each point of the leg."""
    wind = _wind(judged, chosen)
    light = night_light(judged.facts, judged.passage, chosen).light
    return [_row(judged, chosen, number, wind, light) for number in range(len(judged.facts.leg.points))]


def _row(judged: Judged, chosen: int, number: int, wind: tuple[Array, Array], light: NDArray[np.int8]) -> LegRow:
    facts, passage = judged.facts, judged.passage
    point, node = facts.leg.points[number], int(passage.point_node[number])
    plan_at = float(passage.plan.node_at[chosen, node])
    last = number == len(facts.leg.points) - 1
    return LegRow(
        number=number + 1,
        name=point.name,
        zone=arrival_zone(facts) if last else departure_zone(facts),
        along_m=float(passage.track.node_along_m[node]),
        plan_at=plan_at,
        late_at=float(passage.late.node_at[chosen, node]),
        under_keel_m=float(depth_at(facts, passage, number, point).at_plan_m[chosen]),
        is_deep=point.depth_matters is False,
        light=LIGHT_WORDS[Light(int(light[node]))] if light[node] >= 0 else "",
        fuel_l=burn_l_per_h(facts) * (plan_at - float(passage.departure_at[chosen])) / HOUR,
        way=_way(judged, chosen, number - 1, wind) if number else None,
    )


def _way(judged: Judged, chosen: int, segment: int, wind: tuple[Array, Array]) -> Way:
    passage, track, plan = judged.passage, judged.passage.track, judged.passage.plan
    first, end = (int(passage.point_node[segment + place]) for place in (0, 1))
    steps, course = slice(first, end), float(track.step_course_deg[first])
    rate, comes_from = (
        float(part)
        for part in speed_and_from(plan.stream_east_mps[chosen, first], plan.stream_north_mps[chosen, first])
    )
    set_deg = (comes_from + 180.0) % 360.0
    along = along_and_across(plan.stream_east_mps[chosen, first], plan.stream_north_mps[chosen, first], course)[0]
    steer = course_to_steer(course, judged.facts.leg.speed_mps, set_deg if rate > 0 else 0.0, rate)[0]
    took = float(plan.node_at[chosen, end] - plan.node_at[chosen, first])
    length = float(track.step_m[steps].sum())
    weather, blows = passage.weather_at_plan, _worst(wind[0][steps])
    sea = _worst(weather.sea_m[chosen, steps])
    return Way(
        course_deg=course,
        distance_m=length,
        set_deg=set_deg,
        rate_mps=rate,
        along_mps=float(along),
        steer_deg=float(steer),
        sog_mps=length / took if took > 0 else NOT_KNOWN,
        wind_from_deg=float(wind[1][steps][blows]),
        wind_mps=float(weather.wind_mps[chosen, steps].max()),
        force=float(beaufort(float(weather.wind_mps[chosen, steps].max()))),
        sea_m=float(weather.sea_m[chosen, steps].max()),
        sea_from=from_where(
            abs(float(wrapped(weather.wave_from_deg[chosen, steps][sea] - track.step_course_deg[steps][sea])))
        ),
    )


def _wind(judged: Judged, chosen: int) -> tuple[Array, Array]:
    """Speed and direction of the wind on entering each step by plan, `[step]`."""
    passage, forecast = judged.passage, sampled(judged.facts.water.forecast)
    at = passage.plan.node_at[chosen, :-1]
    if forecast is None:
        return np.full(at.shape, np.nan), np.full(at.shape, np.nan)
    east, north = at_place(forecast, stacked(forecast, WIND), passage.track.step_along_m, at)
    return speed_and_from(east, north)


def _worst(values: Array) -> int:
    """The step with the greatest value; one that is not known counts as that."""
    return int(np.argmax(np.where(np.isnan(values), np.inf, values)))
