"""Coast, tide, streams, leg and forecast of the worked example: all invented.

The tide is a made-up pair of waves; its high and low waters are found here by brute force, so that they check the
program's own search.
"""

from datetime import UTC, datetime, timedelta

import numpy as np

from readiness.rules.facts_water import (
    ALWAYS,
    Forecast,
    Gate,
    Help,
    Leg,
    Level,
    Place,
    Point,
    Sector,
    Segment,
    Station,
    Stream,
    Warnings,
    Water,
)
from readiness.rules.record import Array
from readiness.rules.words_of_trade import Confidence, GateKind, LandOnWay, StationKind, StreamBy, TrackKind
from vessel.units import HOUR, KNOT, NAUTICAL_MILE

NAN = float("nan")
LATITUDE = 46.5
WEST_END = -15.0
NAMES = (
    "Ostrel Haven",
    "Brannowmouth, off",
    "Skarn Narrows, in",
    "Hallorn Pool, off",
    "Thole Bight, off",
    "Morrowick lock",
)
MILES = (0.0, 14.0, 23.0, 29.0, 40.0, 48.0)
ALL_ROUND = (Sector(from_deg=0.0, to_deg=360.0),)


def longitude(mile: float) -> float:
    """Degrees east of a mile counted east along the parallel, on WGS 84."""
    phi = np.radians(LATITUDE)
    radius = 6378137.0 / np.sqrt(1 - 0.00669437999014 * np.sin(phi) ** 2) * np.cos(phi)
    return WEST_END + float(np.degrees(mile * NAUTICAL_MILE / radius))


def tide_m(hours: Array) -> Array:
    """Height above chart datum, hours after 2027-04-22T06:30Z."""
    wave = 1.45 * np.cos(2 * np.pi * hours / 12.4206) + 0.50 * np.cos(2 * np.pi * hours / 12.0)
    return np.asarray(2.60 + wave)


def tide_station() -> Station:
    """High and low waters from 12 to 27 May 2027, printed as tables are: to the minute and the centimetre."""
    origin = datetime(2027, 4, 22, 6, 30, tzinfo=UTC)
    hours = np.arange(20 * 24.0, 35 * 24.0, 10 / 3600)
    height = tide_m(hours)
    turn = np.flatnonzero(np.diff(np.sign(np.diff(height)))) + 1
    return Station(
        key="ostrel", name="Ostrel Haven", kind=StationKind.TABLE, datum="chart datum", unit="m",
        source="made-up table", differences_applied=True, mean_level_m=NAN,
        levels=(Level(name="mean high water springs", height_m=4.5),), valid_from=ALWAYS[0], valid_to=ALWAYS[1], constituents=(),
        amplitude_m=np.array([]), phase_utc_deg=np.array([]), speed_deg_per_h=np.array([]),
        event_at=tuple(origin + timedelta(minutes=round(float(hours[i]) * 60)) for i in turn),
        event_m=np.round(height[turn], 2), event_high=tuple(bool(height[i] > height[i - 1]) for i in turn),
    )  # fmt: skip


def steady(key: str, knots: float) -> Stream:
    """A stream that never turns: toward the east where positive."""
    return Stream(
        key=key, name=key, lat_deg=NAN, lon_deg=NAN, steady=True, station=None, from_high_water_s=np.array([0.0]),
        set_deg=np.array([90.0 if knots >= 0 else 270.0]), rate_neaps_mps=np.array([abs(knots) * KNOT]),
        rate_springs_mps=np.array([abs(knots) * KNOT]), neaps_range_m=NAN, springs_range_m=NAN, rates_held_beyond=True,
    )  # fmt: skip


NARROWS = Stream(
    key="skarn", name="Skarn Narrows", lat_deg=NAN, lon_deg=NAN, steady=False, station="ostrel",
    from_high_water_s=np.array([-6.5, -5.0, -0.5]) * HOUR, set_deg=np.array([90.0, 270.0, 90.0]),
    rate_neaps_mps=np.full(3, 1.5 * KNOT), rate_springs_mps=np.full(3, 4.0 * KNOT),
    neaps_range_m=2.1, springs_range_m=3.8, rates_held_beyond=True,
)  # fmt: skip


def place(key: str, name: str, mile: float, charted_m: float, *gates: str, familiar: bool, lit: bool,
          shelter: tuple[Sector, ...] = ALL_ROUND, off_deg: float = 0.0) -> Place:  # fmt: skip
    """A place of the coast; `off_deg` south of the parallel."""
    return Place(
        key=key, name=name, zone="Europe/Lisbon", lat_deg=LATITUDE - off_deg, lon_deg=longitude(mile),
        charted_m=charted_m, station="ostrel", gates=gates, shelter=shelter, familiar=familiar, lit=lit,
        night_price=NAN,
    )  # fmt: skip


PLACES = (
    place("ostrel", "Ostrel Haven", 0, 2.2, familiar=True, lit=True),
    place("brannowmouth", "Brannowmouth", 14, 1.8, "brannow-bar", familiar=True, lit=True),
    place("hallorn", "Hallorn Pool", 29, 2.5, "hallorn-sill", familiar=True, lit=False),
    place("thole", "Thole Bight", 40, 3.0, familiar=False, lit=False, shelter=(Sector(from_deg=0.0, to_deg=90.0),)),
    place("morrowick", "Morrowick Basin", 48, 2.8, "morrowick-lock", familiar=True, lit=True),
    place("vessary", "Vessary Roads", 48, 4.0, familiar=False, lit=False,
          shelter=(Sector(from_deg=225.0, to_deg=360.0),), off_deg=2 / 60),
)  # fmt: skip


def gate(key: str, name: str, kind: GateKind, where: str, *, before_h: float = NAN, after_h: float = NAN,
         level_m: float = NAN, most_sea_m: float = NAN,
         hands: int = 0, last_entry_s: float = 0.0, wait: str | None = None) -> Gate:  # fmt: skip
    """A gate of the coast on the one tide station."""
    return Gate(
        key=key, name=name, kind=kind, place=where, zone=None, station="ostrel", free_flow_before_s=NAN,
        free_flow_after_s=NAN, fixed=None, most_sea_m=most_sea_m, stream=None, most_rate_mps=NAN, before_s=before_h * HOUR,
        after_s=after_h * HOUR, level_m=level_m,
        zero=None if np.isnan(level_m) else "chart datum", keeps_hours=False, opens_local_s=NAN,
        closes_local_s=NAN, last_entry_s=last_entry_s, hands=hands,
        help=Help(confirmed=None, name="", at=None), wait_place=wait,
    )  # fmt: skip


GATES = (
    gate("brannow-bar", "Brannow bar", GateKind.BAR, "brannowmouth", level_m=-0.6, most_sea_m=2.0),
    gate("hallorn-sill", "Hallorn sill", GateKind.SILL, "hallorn", level_m=1.6),
    gate("morrowick-lock", "Morrowick lock", GateKind.LOCK, "morrowick", before_h=3.0, after_h=2.0, hands=2,
         last_entry_s=900.0, wait="vessary"),
)  # fmt: skip


def point(index: int, charted_m: float, gate_key: str | None = None) -> Point:
    """One of the leg's points."""
    return Point(
        name=NAMES[index], lat_deg=LATITUDE, lon_deg=longitude(MILES[index]), charted_m=charted_m,
        depth_matters=True, station="ostrel", gate=gate_key,
    )  # fmt: skip


LEG = Leg(
    key="ostrel-morrowick", name="Ostrel Haven to Morrowick Basin",
    planned_at=datetime(2027, 5, 15, 6, 30, tzinfo=UTC), departure_place="ostrel", arrival_place="morrowick",
    harbour_move=False,
    points=(point(0, 2.2), point(1, 9.0), point(2, 14.0), point(3, 10.0), point(4, 8.0),
            point(5, 2.8, "morrowick-lock")),
    segments=tuple(
        Segment(name=f"{NAMES[i]} to {NAMES[i + 1]}", kind=TrackKind.RHUMB, exposed=True, crosses_bar=False,
                stream_by=StreamBy.NAMED, stream=key, shore_m=4 * NAUTICAL_MILE, shore_to_deg=0.0,
                land=LandOnWay.CLEAR)
        for i, key in enumerate(("first", "second", "skarn", "fourth", "fifth"))
    ),
    refuges=("brannowmouth", "hallorn", "thole", "vessary"), speed_mps=7.0 * KNOT, running_on_s=0.0,
    watch_plan_counts_autopilot=False,
)  # fmt: skip


def forecast(hours: int = 48) -> Forecast:
    """Issued 03:00 on the day; a westerly of 12 kn, sea 0.9 m and 4.5 s from the west, the same everywhere."""
    start = datetime(2027, 5, 15, 3, 0, tzinfo=UTC)
    shape = (hours + 1, 2)
    values = {
        "wind_east_mps": 12 * KNOT, "wind_north_mps": 0.0, "gust_mps": 17 * KNOT, "wave_height_m": 0.9,
        "wave_period_s": 4.5, "wave_from_east": -1.0, "wave_from_north": 0.0,
        "visibility_m": 10 * NAUTICAL_MILE, "pressure_hpa": 1013.0, "air_c": 18.0, "sea_c": 15.5,
    }  # fmt: skip
    return Forecast(
        source="made-up forecast", issued_at=start, confidence=Confidence.NORMAL,
        at=tuple(start + timedelta(hours=hour) for hour in range(hours + 1)),
        along_m=np.array([0.0, 48 * NAUTICAL_MILE]),
        **{name: np.full(shape, value) for name, value in values.items()},
        members=None,
    )  # fmt: skip


WATER = Water(
    places=PLACES, gates=GATES, stations=(tide_station(),),
    streams=(steady("first", 0.6), steady("second", -0.4), NARROWS, steady("fourth", 0.5), steady("fifth", 0.2)),
    forecast=forecast(),
    warnings=Warnings(
        source="made-up forecast", looked_at=datetime(2027, 5, 15, 3, 0, tzinfo=UTC),
        good_to=datetime(2027, 5, 17, 3, 0, tzinfo=UTC), items=(),
    ),
)  # fmt: skip
