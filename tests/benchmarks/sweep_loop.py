"""The sums of the sweep benchmark by a clear Python loop, one departure after another."""

import math
from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from readiness.calc.daylight import CIVIL, sun_place
from readiness.calc.sea_state import GRAVITY_OF_LIMITS, GREATEST_GROWTH
from readiness.calc.sweep import NO_WAY_MPS
from readiness.calc.tide import LONGEST_GAP
from tests.benchmarks.sweep_case import BURN_LPH, DRAUGHT_M, GATES, SPEED, START, Case
from vessel.units import HOUR, MINUTE


@dataclass(frozen=True)
class Lists:
    """The case as plain Python lists, so that the loop pays for no conversion."""

    step_m: list[float]
    courses: list[float]
    along: list[float]
    lat: list[float]
    lon: list[float]
    charted: list[float]
    changes: list[float]
    streams: list[tuple[float, float]]
    stream_ends: float
    forecast_at: list[float]
    forecast_along: list[float]
    forecast: list[list[list[float]]]
    tide_at: list[float]
    tide_m: list[float]
    tide_high: list[bool]
    gates: list[tuple[list[float], list[float]]]
    sun_at: list[float]
    sun: list[tuple[float, float]]


def lists_of(case: Case) -> Lists:
    """The same data for the loop."""
    sun_at = START - HOUR + 30 * MINUTE * np.arange(560.0)
    declination, greenwich = sun_place(sun_at)
    lead = np.unwrap(greenwich, period=360.0) - (sun_at - sun_at[0]) / 240.0
    stream, track = case.stream, case.track
    return Lists(
        step_m=track.step_m.tolist(), courses=track.step_course_deg.tolist(), along=track.node_along_m.tolist(),
        lat=track.node_lat_deg.tolist(), lon=track.node_lon_deg.tolist(), charted=case.charted.tolist(),
        changes=stream.changes_at.tolist(),
        streams=list(zip(stream.east_mps.tolist(), stream.north_mps.tolist(), strict=True)), stream_ends=stream.ends_at,
        forecast_at=case.forecast.at.tolist(), forecast_along=case.forecast.along_m.tolist(),
        forecast=case.forecast.values["all"].tolist(), tide_at=case.tide.at.tolist(), tide_m=case.tide.height_m.tolist(),
        tide_high=case.tide.high.tolist(),
        gates=[(gate.opens_at.tolist(), gate.closes_at.tolist()) for gate in case.gates],
        sun_at=sun_at.tolist(), sun=list(zip(np.sin(np.radians(declination)).tolist(), lead.tolist(), strict=True)),
    )  # fmt: skip


@dataclass(frozen=True)
class Step:
    """What the loop keeps of one step, as the arrays do."""

    entered_at: float
    sog_mps: float
    stream: tuple[float, float]
    weather: list[float]
    sea: float
    steepness: float
    under_keel: float
    sun: float


def one_by_one(data: Lists, leaves: float) -> tuple[float, ...]:
    """One departure by a loop over the steps, in the order of `Figures`."""
    at, steps = leaves, []
    for step, length in enumerate(data.step_m):
        entered, met = at, (0.0, 0.0) if step % 11 == 0 else stream_at(data, at)
        at, sog = end_of_step(data, at, length, math.radians(data.courses[step]), still=step % 11 == 0)
        weather = forecast_at(data, data.along[step], entered)
        high, steep = sea_on(weather[3], weather[4], math.atan2(-weather[5], -weather[6]), met)
        depth = data.charted[step] + tide_at(data, entered) - DRAUGHT_M
        sun = sun_at(data, entered, data.lat[step], data.lon[step])
        steps.append(Step(entered, sog, met, weather, high, steep, depth, sun))
    nodes = [*(step.entered_at for step in steps), at]
    return (
        at,
        worst(max, [math.hypot(step.weather[0], step.weather[1]) for step in steps]),
        worst(max, [step.sea for step in steps]),
        worst(max, [step.steepness for step in steps]),
        worst(min, [step.under_keel for step in steps]),
        sum(step.sun < CIVIL for step in steps),
        BURN_LPH * (at - leaves) / HOUR,
        all(is_inside(gate, nodes[node]) for gate, node in zip(data.gates, GATES, strict=True)),
    )


def worst(extreme: Callable[[list[float]], float], figures: list[float]) -> float:
    """The greatest or least of some figures; not known when one of them is not."""
    return math.nan if any(math.isnan(figure) for figure in figures) else extreme(figures)


def line(low: float, high: float, share: float) -> float:
    """A straight line; a `high` that is missing does not matter where it has no share."""
    return low if share == 0 else low + share * (high - low)


def stream_at(data: Lists, at: float) -> tuple[float, float]:
    """East and north of the stream."""
    piece = bisect_right(data.changes, at) - 1
    return data.streams[piece] if piece >= 0 and at < data.stream_ends else (math.nan, math.nan)


def end_of_step(data: Lists, at: float, length: float, course: float, *, still: bool) -> tuple[float, float]:
    """Time at the end of a step and the slowest speed in it, piece of stream by piece."""
    if still:
        return at + length / SPEED, SPEED
    slowest = math.inf
    while True:
        east, north = stream_at(data, at)
        along = east * math.sin(course) + north * math.cos(course)
        across = east * math.cos(course) - north * math.sin(course)
        made = along + math.sqrt(SPEED**2 - across**2) if abs(across) <= SPEED else 0.0
        slowest = min(slowest, made)
        if math.isnan(made) or made < NO_WAY_MPS:
            return math.nan, slowest
        following = bisect_right(data.changes, at)
        change = data.changes[following] if following < len(data.changes) else data.stream_ends
        if at + length / made <= change:
            return at + length / made, slowest
        length -= made * (change - at)
        at = change


def forecast_at(data: Lists, along: float, at: float) -> list[float]:
    """Every variable by straight lines along the track and in time."""
    if not (data.forecast_at[0] <= at <= data.forecast_at[-1] and 0 <= along <= data.forecast_along[-1]):
        return [math.nan] * len(data.forecast)
    row = min(bisect_right(data.forecast_at, at) - 1, len(data.forecast_at) - 2)
    point = min(bisect_right(data.forecast_along, along) - 1, len(data.forecast_along) - 2)
    late = (at - data.forecast_at[row]) / (data.forecast_at[row + 1] - data.forecast_at[row])
    far = (along - data.forecast_along[point]) / (data.forecast_along[point + 1] - data.forecast_along[point])
    found = []
    for variable in data.forecast:
        before, after = variable[row], variable[row + 1]
        first = line(before[point], before[point + 1], far)
        found.append(line(first, line(after[point], after[point + 1], far), late))
    return found


def sea_on(height: float, period: float, waves_from: float, stream: tuple[float, float]) -> tuple[float, float]:
    """Effective height and steepness on the stream."""
    against = max(stream[0] * math.sin(waves_from) + stream[1] * math.cos(waves_from), 0.0)
    still = GRAVITY_OF_LIMITS * period / (2 * math.pi)
    if 4 * against >= still:
        return GREATEST_GROWTH * height, 1.0
    celerity = still * (1 + math.sqrt(1 - 4 * against / still)) / 2
    growth = min(still / math.sqrt(celerity * (celerity - 2 * against)), GREATEST_GROWTH)
    return growth * height, growth * height * GRAVITY_OF_LIMITS / (2 * math.pi * celerity**2)


def tide_at(data: Lists, at: float) -> float:
    """Height by a cosine between high and low water."""
    event = bisect_right(data.tide_at, at) - 1
    if not 0 <= event < len(data.tide_at) - 1:
        return math.nan
    length, rise = data.tide_at[event + 1] - data.tide_at[event], data.tide_m[event + 1] - data.tide_m[event]
    if length > LONGEST_GAP or (rise > 0) == data.tide_high[event]:
        return math.nan
    return data.tide_m[event] + rise * (1 - math.cos(math.pi * (at - data.tide_at[event]) / length)) / 2


def sun_at(data: Lists, at: float, lat_deg: float, lon_deg: float) -> float:
    """Altitude of the sun from the same table of half hours."""
    row = int((at - data.sun_at[0]) // 1800.0)
    share = (at - data.sun_at[row]) / 1800.0
    (one, lead), (other, later) = data.sun[row], data.sun[row + 1]
    sine = one + share * (other - one)
    angle = math.radians(lead + share * (later - lead) + (at - data.sun_at[0]) / 240.0 + lon_deg)
    lat = math.radians(lat_deg)
    return math.degrees(math.asin(math.sin(lat) * sine + math.cos(lat) * math.sqrt(1 - sine**2) * math.cos(angle)))


def is_inside(gate: tuple[list[float], list[float]], at: float) -> bool:
    """Whether the gate is open."""
    window = bisect_right(gate[0], at) - 1
    return window >= 0 and at < gate[1][window]
