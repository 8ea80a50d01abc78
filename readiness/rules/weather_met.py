"""The weather the passage meets: the worst of each thing on each step, from the forecast sampled along the track."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from readiness.calc.sea_state import wave_on_stream
from readiness.calc.sweep import Run
from readiness.calc.track import Track
from readiness.calc.weather import Sampled, at_place, speed_and_from, worst_between
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


def weather_met(forecast: Sampled | None, track: Track, entering: Run, leaving: Run) -> Weather:
    """The worst from entering each step by one run to leaving it by the other, [departure, step].

    The effective sea takes the highest forecast sea and the shortest period of that time with the stream of
    either run: a little on the safe side where height, period and stream do not come together.
    """
    start, end = entering.node_at[:, :-1], leaving.node_at[:, 1:]
    if forecast is None:
        return _not_known(start)
    along = track.step_along_m

    def worst(name: str) -> Array:
        least = "min" if name in WORST_IS_LEAST else "max"
        return worst_between(forecast, forecast.values[name], along, start, end, least)  # type: ignore[arg-type]

    def waves_from(at: Array) -> Array:
        parts = [at_place(forecast, forecast.values[name], along, at) for name in _WAVE_FROM]
        return speed_and_from(-parts[0], -parts[1])[1]

    return _met(worst, waves_from, entering, leaving, _reached(forecast, start, end))


def _met(
    worst: Callable[[str], Array], waves_from: Callable[[Array], Array], entering: Run, leaving: Run, reached: Flags
) -> Weather:
    height, period = worst("wave_height_m"), worst("wave_period_s")
    first = waves_from(entering.node_at[:, :-1])
    seas = [
        wave_on_stream(height, period, wave_from, run.stream_east_mps, run.stream_north_mps)
        for run, wave_from in ((entering, first), (leaving, waves_from(leaving.node_at[:, :-1])))
    ]
    blocked = [np.asarray(sea.blocked, bool) for sea in seas]
    steep = [np.where(shut, np.inf, sea.steepness) for sea, shut in zip(seas, blocked, strict=True)]
    return Weather(
        wind_mps=worst("wind_mps"),
        gust_mps=worst("gust_mps"),
        wave_height_m=height,
        sea_m=np.maximum(seas[0].hs_eff_m, seas[1].hs_eff_m),
        steepness=np.maximum(*steep),
        blocked=blocked[0] | blocked[1],
        wave_from_deg=first,
        visibility_m=worst("visibility_m"),
        pressure_hpa=worst("pressure_hpa"),
        sea_c=worst("sea_c"),
        air_c=worst("air_c"),
        reached=reached,
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
