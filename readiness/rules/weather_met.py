"""The weather the passage meets: the worst of each thing on each step, from the forecast sampled along the track."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from readiness.calc.sea_state import wave_on_stream
from readiness.calc.sweep import Run
from readiness.calc.tidal_stream import Stream, stream_most_against
from readiness.calc.track import Track
from readiness.calc.weather import Sampled, Worst, at_place, speed_and_from, worst_between
from readiness.rules.facts_water import Forecast
from readiness.rules.passage import Weather
from readiness.rules.record import Array, epochs
from vessel.units import Flags

WORST_IS_LEAST = ("wave_period_s", "visibility_m", "sea_c")
GRIDS = ("gust_mps", "wave_height_m", "wave_period_s", "visibility_m", "pressure_hpa", "sea_c", "air_c")


def sampled(forecast: Forecast | None) -> Sampled | None:
    """The forecast as the sums want it; None where there is none or its grids do not fit its times and points."""
    if forecast is None or not forecast.at or forecast.along_m.ndim != 1:
        return None
    at, shape = epochs(forecast.at), (len(forecast.at), forecast.along_m.size)
    grids = {name: getattr(forecast, name) for name in (*GRIDS, *_VECTORS)}
    whole = all(grid.shape == shape for grid in grids.values()) and forecast.along_m.size > 0
    if not whole or not (np.diff(at) > 0).all() or not (np.diff(forecast.along_m) > 0).all():
        return None
    grids["wind_mps"] = np.hypot(grids["wind_east_mps"], grids["wind_north_mps"])
    return Sampled(at, forecast.along_m, grids)


def weather_met(
    forecast: Sampled | None, track: Track, streams: Sequence[Stream | None], entering: Run, leaving: Run
) -> Weather:
    """The worst from entering each step by one run to leaving it by the other, [departure, step].

    `streams[segment]`, None where not known. The effective sea takes the highest forecast sea and the shortest period
    of that time with the stream that then runs hardest against the waves: on the safe side where the three do not
    come together.
    """
    start, end = entering.node_at[:, :-1], leaving.node_at[:, 1:]
    if forecast is None:
        return _not_known(start)
    along = track.step_along_m

    def worst(name: str) -> Array:
        least: Worst = "min" if name in WORST_IS_LEAST else "max"
        return worst_between(forecast, forecast.values[name], along, start, end, least)

    parts = [at_place(forecast, forecast.values[name], along, start) for name in _WAVE_FROM]
    wave_from = speed_and_from(-parts[0], -parts[1])[1]
    height, period = worst("wave_height_m"), worst("wave_period_s")
    against = stream_most_against(streams, track.segment, wave_from, start, end)
    sea = wave_on_stream(height, period, wave_from, *against)
    blocked = np.asarray(sea.blocked, np.bool_)
    return Weather(
        wind_mps=worst("wind_mps"),
        gust_mps=worst("gust_mps"),
        wave_height_m=height,
        sea_m=sea.hs_eff_m,
        steepness=np.where(blocked, np.inf, sea.steepness),
        blocked=blocked,
        wave_from_deg=wave_from,
        visibility_m=worst("visibility_m"),
        pressure_hpa=worst("pressure_hpa"),
        sea_c=worst("sea_c"),
        air_c=worst("air_c"),
        reached=_reached(forecast, start, end),
    )


def _reached(forecast: Sampled, start: Array, end: Array) -> Flags:
    """Times the forecast reaches; a time that is not known is not called out of reach."""
    return np.asarray(~((start < forecast.at[0]) | (end > forecast.at[-1])))


def _not_known(like: Array) -> Weather:
    nothing, never = np.full(like.shape, np.nan), np.zeros(like.shape, bool)
    names = Weather.__dataclass_fields__
    weather = Weather(**dict.fromkeys(names, nothing))
    return replace(weather, blocked=never, reached=never)


_WAVE_FROM = ("wave_from_east", "wave_from_north")
_VECTORS = ("wind_east_mps", "wind_north_mps", *_WAVE_FROM)
