"""The weather the passage meets: the worst of each thing on each step, from the forecast sampled along the track."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from readiness.calc.sea_state import wave_on_stream
from readiness.calc.sweep import Run
from readiness.calc.tidal_stream import Stream, stream_most_against
from readiness.calc.track import Track
from readiness.calc.weather import Sampled, at_place, speed_and_from, worst_between
from readiness.rules.facts import Facts
from readiness.rules.facts_water import Forecast
from readiness.rules.passage import Weather
from readiness.rules.record import Array, epochs
from readiness.rules.words_of_trade import Confidence
from vessel.units import Counts, Flags

MOST_IS_WORST = ("wind_mps", "gust_mps", "wave_height_m", "pressure_hpa", "air_c")
LEAST_IS_WORST = ("wave_period_s", "visibility_m", "sea_c")
WIND, WAVE_FROM = ("wind_east_mps", "wind_north_mps"), ("wave_from_east", "wave_from_north")
SEA = ("wave_height_m", "wave_period_s", *WAVE_FROM)
GRIDS = (*MOST_IS_WORST[1:], *LEAST_IS_WORST)  # the wind is worked out from its two parts
LOW_CONFIDENCE = 0.8  # limits shrink to this when the forecast is unsure of itself, or does not say [own]


@dataclass(frozen=True)
class SeaMet:
    """A sea on the stream, [..., departure, step]."""

    height_m: Array
    steepness: Array  # infinite where blocked
    blocked: Flags
    from_deg: Array


def confidence_factor(facts: Facts) -> float:
    """What the limits of wind and sea are multiplied by."""
    forecast = facts.water.forecast
    sure = forecast is not None and forecast.confidence == Confidence.NORMAL
    return 1.0 if sure else LOW_CONFIDENCE


def sampled(forecast: Forecast | None) -> Sampled | None:
    """The forecast as the sums want it; None where there is none or its grids do not fit its times and points.

    Worked out once for the same forecast.
    """
    return _sampled(forecast)


@lru_cache(maxsize=4)
def _sampled(forecast: Forecast | None) -> Sampled | None:
    if forecast is None or not forecast.at or forecast.along_m.ndim != 1:
        return None
    at, shape = epochs(forecast.at), (len(forecast.at), forecast.along_m.size)
    grids = {name: getattr(forecast, name) for name in (*GRIDS, *WIND, *WAVE_FROM)}
    whole = all(grid.shape == shape for grid in grids.values()) and forecast.along_m.size > 0
    if not whole or not (np.diff(at) > 0).all() or not (np.diff(forecast.along_m) > 0).all():
        return None
    grids["wind_mps"] = np.hypot(grids["wind_east_mps"], grids["wind_north_mps"])
    return Sampled(at, forecast.along_m, grids)


def weather_met(
    forecast: Sampled | None,
    track: Track,
    streams: Sequence[Stream | None],
    stream_of_step: Counts,
    entering: Run,
    leaving: Run,
) -> Weather:
    """The worst from entering each step by one run to leaving it by the other, [departure, step].

    `streams[stream_of_step[step]]`, None where not known. The effective sea takes the highest forecast sea and the
    shortest period of that time with the stream that then runs hardest against the waves: on the safe side where the
    three do not come together.
    """
    start, end = entering.node_at[:, :-1], leaving.node_at[:, 1:]
    if forecast is None:
        return _not_known(start)
    along = track.step_along_m
    worst = _worst(forecast, along, start, end)
    sea = sea_met(forecast, worst["wave_height_m"], worst["wave_period_s"], along, streams, stream_of_step, start, end)
    return Weather(
        wind_mps=worst["wind_mps"],
        gust_mps=worst["gust_mps"],
        wave_height_m=worst["wave_height_m"],
        sea_m=sea.height_m,
        steepness=sea.steepness,
        blocked=sea.blocked,
        wave_from_deg=sea.from_deg,
        visibility_m=worst["visibility_m"],
        pressure_hpa=worst["pressure_hpa"],
        sea_c=worst["sea_c"],
        air_c=worst["air_c"],
        reached=_reached(forecast, start, end),
    )


def sea_met(
    forecast: Sampled,
    height_m: Array,
    period_s: Array,
    along_m: Array,
    streams: Sequence[Stream | None],
    stream_of_step: Counts,
    start: Array,
    end: Array,
) -> SeaMet:
    """A sea of a height and a period on the stream that runs hardest against it from `start` to `end`.

    Its direction is that at `start`. All [..., departure, step], leading axes as the forecast has them.
    """
    parts = at_place(forecast, stacked(forecast, WAVE_FROM), along_m, start)
    wave_from = speed_and_from(-parts[0], -parts[1])[1]
    against = stream_most_against(streams, stream_of_step, wave_from, start, end)
    sea = wave_on_stream(height_m, period_s, wave_from, *against)
    blocked = np.asarray(sea.blocked, np.bool_)
    return SeaMet(sea.hs_eff_m, np.where(blocked, np.inf, sea.steepness), blocked, wave_from)


def _worst(forecast: Sampled, along: Array, start: Array, end: Array) -> dict[str, Array]:
    """The worst of every grid that has one, each [departure, step]; the least is the most of the contrary."""
    names = (*MOST_IS_WORST, *LEAST_IS_WORST)
    sign = np.where(np.isin(names, LEAST_IS_WORST), -1.0, 1.0)
    values = worst_between(forecast, stacked(forecast, names) * sign[:, None, None], along, start, end)
    return {name: one if way > 0 else -one for name, one, way in zip(names, values, sign, strict=True)}


def stacked(forecast: Sampled, names: tuple[str, ...]) -> Array:
    """Several grids as one, [name, ...]."""
    return np.stack([forecast.values[name] for name in names])


def _reached(forecast: Sampled, start: Array, end: Array) -> Flags:
    """Times the forecast reaches; a time that is not known is not called out of reach."""
    return np.asarray(~((start < forecast.at[0]) | (end > forecast.at[-1])))


def _not_known(like: Array) -> Weather:
    nothing, never = np.full(like.shape, np.nan), np.zeros(like.shape, bool)
    names = Weather.__dataclass_fields__
    weather = Weather(**dict.fromkeys(names, nothing))
    return replace(weather, blocked=never, reached=never)
