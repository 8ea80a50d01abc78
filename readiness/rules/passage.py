"""The passage: everything the leg meets, for every departure at once, ready for the rules.

Arrays are [departure], [departure, node] or [departure, step]; node = step + 1. Three figures are kept of the way
(plan, early, late). Weather is held twice: `weather` is the worst from entering a step by plan to leaving it late,
`weather_at_plan` from entering to leaving by plan. NaN means not known and is never taken for good.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import IntEnum
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from readiness.calc.refuge import Looks
from readiness.calc.sweep import Run
from readiness.calc.tidal_stream import Stream
from readiness.calc.tide import TideTable
from readiness.calc.track import Track
from readiness.calc.window import Windows
from readiness.rules.record import Array
from vessel.units import Epoch, Flags, Metres


@dataclass(frozen=True)
class Weather:
    """The worst of each thing on each step, [departure, step], NaN where the forecast does not say."""

    wind_mps: Array
    gust_mps: Array
    wave_height_m: Array  # as forecast
    sea_m: Array  # effective height: forecast times the effect of the stream
    steepness: Array  # infinite where the stream blocks the waves
    blocked: Flags
    wave_from_deg: Array  # on entering by plan
    visibility_m: Array  # the least
    pressure_hpa: Array  # the highest
    sea_c: Array  # the coldest
    air_c: Array  # the warmest
    reached: Flags  # the forecast reaches these times


@dataclass(frozen=True)
class Tide:
    """One station: heights at any time and its high and low waters over the departures and a day either side."""

    height: Callable[[Epoch], Metres]
    events: TideTable


class Standing(IntEnum):
    """Whether a refuge would take her, by how much of it is known."""

    NONE = 0  # shut, too shallow or open to the wind
    AT_BEST = 1  # if all that is not known came out well
    IF_SHELTERED = 2  # open and deep enough; what the wind does there is not known
    USABLE = 3


@dataclass(frozen=True)
class Refuges:
    """The refuges of the leg at every look, `[place, departure, look]`, for the moment she would be there."""

    places: tuple[str, ...]  # keys
    looks: Looks
    away_m: Array
    to_go_s: Array  # by her late speed through the water
    standing: NDArray[np.int8]  # Standing


@dataclass(frozen=True, eq=False)  # told apart by identity, so that what is worked out from it once can be kept
class Passage:
    """One leg for all departures."""

    departure_at: Array  # [departure]
    track: Track
    point_node: NDArray[np.int64]  # [point] node of each point of the leg
    plan: Run
    early: Run
    late: Run
    weather: Weather
    weather_at_plan: Weather
    sun_plan_deg: Array  # [departure, node] altitude of the sun at the boat, by plan
    sun_late_deg: Array  # [departure, node]
    dark_s: Array  # [departure] time below -6 degrees by plan
    refuge_m: Array  # [departure] greatest distance on the track to the nearest usable refuge; NaN where not known
    refuge_s: Array  # [departure] longest from departure to lying in a refuge, whenever she turns off for it by plan
    refuges: Refuges
    sea_share: Array  # [departure, step] share of her speed that the sea leaves her by plan
    streams: Sequence[Stream | None]  # None where not known
    stream_of_step: NDArray[np.int64]  # [step] index into the streams
    tides: Mapping[str, Tide]  # by station
    windows: Mapping[str, Windows]  # by gate; missing where none can be worked out
    exposed: Flags  # [step]

    @property
    def departures(self) -> int:
        """How many departures are judged at once."""
        return len(self.departure_at)

    @cached_property
    def least_sea_share(self) -> Array:
        """The least share of her speed that the sea leaves her on the way, [departure]."""
        return np.asarray(self.sea_share.min(axis=-1))

    @cached_property
    def duration_s(self) -> Array:
        """Under way by plan, [departure]."""
        return self.plan.node_at[:, -1] - self.departure_at

    @cached_property
    def duration_late_s(self) -> Array:
        """Late arrival after the planned departure, slip included, [departure]."""
        return self.late.node_at[:, -1] - self.departure_at

    @cached_property
    def lowest_sun_deg(self) -> Array:
        """Lowest altitude of the sun at the boat from departure to late arrival, [departure]."""
        return np.asarray(np.minimum(self.sun_plan_deg.min(axis=-1), self.sun_late_deg.min(axis=-1)))

    def at_point(self, run: Run, point: int) -> Array:
        """When a run passes a point of the leg, [departure]."""
        return run.node_at[:, self.point_node[point]]
