"""The weather of the demo: a blow this evening, moderate tomorrow, quiet the day after, then a gale and a wind shift.

A made-up forecast on a grid over the invented coast, counted from the planned departure so that each day shows
something a skipper would nod at.
"""

import numpy as np

from readiness.feeds.forecast import ForecastFile
from readiness.feeds.warning import WarningsRead
from readiness.management.demo.moment import DemoMoment
from readiness.rules.facts_water import WeatherWarning
from readiness.rules.words_of_trade import WarningKind
from vessel.units import HOUR, KNOT, NAUTICAL_MILE, Array

SOURCE = "made-up forecast of the demo"
LAT_DEG = np.arange(45.5, 47.6, 0.5)
LON_DEG = np.arange(-16.0, -12.4, 0.5)
FRESHER_WEST = 0.01  # share more wind for each degree west

# Hours after the planned departure: wind and gust in knots, where it blows from, waves in m and s, visibility in nmi,
# pressure, air, sea.
COLUMNS = ("wind", "gust", "from", "height", "period", "visibility", "pressure", "air", "sea")
KNOTS_IN_TIME = np.array([
    (-48.0, 14.0, 19.0, 230.0, 0.8, 4.5, 10.0, 1012.0, 16.0, 15.5),
    (-20.0, 18.0, 25.0, 240.0, 1.0, 5.0, 9.0, 1007.0, 16.0, 15.5),
    (-16.0, 26.0, 36.0, 250.0, 1.6, 6.0, 7.0, 1003.0, 15.0, 15.5),
    (-13.0, 31.0, 43.0, 260.0, 2.2, 6.5, 5.0, 1001.0, 14.0, 15.5),
    (-6.5, 31.0, 43.0, 270.0, 2.4, 6.5, 5.0, 1004.0, 13.0, 15.5),
    (-4.5, 22.0, 31.0, 280.0, 1.7, 6.0, 8.0, 1008.0, 13.0, 15.5),
    (-2.5, 14.0, 19.0, 272.0, 1.1, 5.0, 10.0, 1011.0, 13.0, 15.5),
    (-1.0, 12.0, 17.0, 270.0, 0.9, 4.5, 10.0, 1012.0, 14.0, 15.5),
    (10.0, 12.0, 17.0, 270.0, 0.9, 4.5, 10.0, 1015.0, 17.0, 15.5),
    (16.0, 10.0, 14.0, 270.0, 0.7, 4.5, 10.0, 1017.0, 15.0, 15.5),
    (22.0, 8.0, 11.0, 265.0, 0.5, 4.5, 10.0, 1018.0, 15.0, 15.5),
    (36.0, 8.0, 11.0, 250.0, 0.5, 4.5, 10.0, 1016.0, 17.0, 15.5),
    (44.0, 14.0, 20.0, 230.0, 0.8, 5.0, 8.0, 1010.0, 15.0, 15.5),
    (50.0, 23.0, 31.0, 230.0, 1.2, 5.5, 6.0, 1004.0, 15.0, 15.5),
    (58.0, 25.0, 34.0, 240.0, 1.6, 6.0, 5.0, 1000.0, 15.0, 15.5),
    (68.0, 34.0, 47.0, 260.0, 2.6, 7.0, 4.0, 996.0, 14.0, 15.5),
    (80.0, 36.0, 48.0, 280.0, 3.0, 7.0, 5.0, 999.0, 13.0, 15.5),
    (92.0, 22.0, 31.0, 300.0, 2.0, 7.0, 9.0, 1008.0, 13.0, 15.5),
    (102.0, 14.0, 20.0, 310.0, 1.1, 6.0, 10.0, 1014.0, 14.0, 15.5),
    (120.0, 9.0, 13.0, 320.0, 0.7, 6.0, 10.0, 1019.0, 15.0, 15.5),
    (144.0, 7.0, 10.0, 340.0, 0.5, 6.0, 3.0, 1021.0, 15.0, 15.5),
    (158.0, 10.0, 14.0, 50.0, 0.6, 4.0, 10.0, 1019.0, 15.0, 15.5),
    (180.0, 17.0, 23.0, 70.0, 1.0, 4.5, 10.0, 1014.0, 15.0, 15.5),
    (210.0, 20.0, 27.0, 60.0, 1.3, 5.0, 9.0, 1009.0, 14.0, 15.5),
    (300.0, 15.0, 21.0, 60.0, 1.0, 5.0, 9.0, 1012.0, 14.0, 15.5),
])  # fmt: skip


def demo_forecast(moment: DemoMoment) -> ForecastFile:
    """Ten days from the time of issue: every hour for three days, then every three."""
    issued = moment.issued.timestamp()
    at = issued + np.concatenate([np.arange(0, 72), np.arange(72, 241, 3)]) * HOUR
    series = _series((at - moment.planned.timestamp()) / HOUR)
    east, north = _toward(series["from"] + 180.0, series["wind"] * KNOT)
    from_east, from_north = _toward(series["from"], np.ones_like(at))
    fresher = 1 + FRESHER_WEST * (LON_DEG[0] + 1.0 - LON_DEG)[None, None, :]
    plain = {
        "wind_east_mps": east * fresher,
        "wind_north_mps": north * fresher,
        "gust_mps": series["gust"] * KNOT * fresher,
        "wave_height_m": series["height"],
        "wave_period_s": series["period"],
        "wave_from_east": from_east,
        "wave_from_north": from_north,
        "visibility_m": series["visibility"] * NAUTICAL_MILE,
        "pressure_hpa": series["pressure"],
        "air_c": series["air"],
        "sea_c": series["sea"],
    }
    shape = (at.size, LAT_DEG.size, LON_DEG.size)
    return ForecastFile(
        kind="grib",
        layout="grid",
        source=SOURCE,
        issued_at=issued,
        at=at,
        lat_deg=LAT_DEG,
        lon_deg=LON_DEG,
        variables={name: np.round(np.broadcast_to(values, shape), 4) for name, values in plain.items()},
    )


def demo_warnings(moment: DemoMoment) -> WarningsRead:
    """The gale of this evening, and nothing else until well after the arrival."""
    gale = WeatherWarning(
        kind=WarningKind.GALE,
        area="Ostrel coast",
        start=moment.after_departure(hours=-15),
        end=moment.after_departure(hours=-4.5),
        text="westerly gale 8 in gusts, easing in the night",
    )
    return WarningsRead(
        items=(gale,),
        source="made-up bulletin of the demo",
        looked_at=moment.issued,
        good_to=moment.after_departure(hours=18),
    )


def _series(hours: Array) -> dict[str, Array]:
    """Every quantity at hours after the planned departure, [time, 1, 1]."""
    known = KNOTS_IN_TIME[:, 0]
    return {
        name: np.interp(hours, known, KNOTS_IN_TIME[:, column])[:, None, None]
        for column, name in enumerate(COLUMNS, start=1)
    }


def _toward(direction_deg: Array, length: Array) -> tuple[Array, Array]:
    angle = np.radians(direction_deg)
    return np.sin(angle) * length.reshape(angle.shape), np.cos(angle) * length.reshape(angle.shape)
