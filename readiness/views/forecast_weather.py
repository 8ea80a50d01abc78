"""A stored forecast at one harbour, as its picture wants it."""

import numpy as np

from readiness.calc.daylight import sun_altitude
from readiness.calc.weather import speed_and_from
from readiness.feeds.forecast import ForecastFile, sample
from readiness.models import Harbour
from readiness.views.picture.weather_rows import WeatherAt, axis_of
from vessel.units import MINUTE, Array

SUN_EVERY_S = 15 * MINUTE


def weather_at(forecast: ForecastFile, place: Harbour, now: float) -> WeatherAt:
    """The control of a forecast at a harbour; outside its waters everything is not known."""
    held = {name: _column(values, forecast) for name, values in _sampled(forecast, place).items()}
    nothing = np.full(len(forecast.at), np.nan)
    east, north = (held.get(f"wind_{part}_mps", nothing) for part in ("east", "north"))
    speed, from_deg = speed_and_from(east, north)
    days = axis_of(forecast.at.tolist(), now, place.zone)
    sun_at = np.arange(days[0].start, days[-1].end + 1, SUN_EVERY_S)
    return WeatherAt(
        zone=place.zone,
        now=now,
        at=forecast.at.tolist(),
        wind_mps=speed.tolist(),
        wind_from_deg=from_deg.tolist(),
        gust_mps=held.get("gust_mps", nothing).tolist(),
        sea_m=held.get("wave_height_m", nothing).tolist(),
        pressure_hpa=held.get("pressure_hpa", nothing).tolist(),
        visibility_m=held.get("visibility_m", nothing).tolist(),
        sun_at=sun_at.tolist(),
        sun_altitude_deg=np.asarray(sun_altitude(sun_at, place.lat_deg, place.lon_deg)).tolist(),
    )


def _sampled(forecast: ForecastFile, place: Harbour) -> dict[str, Array]:
    return sample(forecast, np.array([place.lat_deg]), np.array([place.lon_deg]))


def _column(values: Array, forecast: ForecastFile) -> Array:
    """[time] at the one place, of the first member."""
    return np.asarray((values[0] if forecast.members else values)[:, 0])
