"""The leg that the two ways of the sweep benchmark run, and what both of them work out."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from readiness.calc.tidal_stream import Stream, stream_pieces
from readiness.calc.tide import TideTable
from readiness.calc.track import Track, cut, rhumb_forward
from readiness.calc.weather import Sampled
from readiness.calc.window import Windows, about_high_water, windows
from vessel.units import DAY, HOUR, KNOT, MINUTE, NAUTICAL_MILE, Array

START = 1_810_000_000.0  # a moment in May 2027
SPEED = 7.0 * KNOT
BURN_LPH = 9.0
DRAUGHT_M = 1.25
FACTORS = {"speed_factor": 1.0, "fair_factor": 1.0, "foul_factor": 1.0, "slip_s": 0.0}
STEPS = 66
GATES = (0, 40, 66)  # nodes
VARIABLES = ("wind_east", "wind_north", "gust", "height", "period", "waves_east", "waves_north")


@dataclass(frozen=True)
class Figures:
    """What both ways work out; `[departure]`."""

    arrives_at: Array
    wind: Array  # greatest
    sea: Array  # greatest
    steepness: Array  # greatest
    under_keel: Array  # least
    dark_steps: Array
    fuel: Array
    gates_open: Array


class Case:
    """A made-up leg with everything it meets."""

    departure_at = START + 15 * MINUTE * np.arange(960.0)

    @cached_property
    def track(self) -> Track:
        end = rhumb_forward(46.5, -15.0, 90.0, 60 * NAUTICAL_MILE)
        lon = np.array([-15.0, float(end[1])])
        return cut(np.full(2, 46.5), lon, np.array([False]), 60 / STEPS * NAUTICAL_MILE * 1.000001)

    @cached_property
    def tide(self) -> TideTable:
        events = np.arange(60)
        return TideTable(
            START - DAY + 6.21 * HOUR * events.astype(float), 2.6 + np.where(events % 2, 1.7, -1.7), events % 2 == 1
        )

    @cached_property
    def stream(self) -> Stream:
        """Hourly rows from 6 h before to 6 h after high water."""
        high = self.tide.at[self.tide.high]
        hours = np.arange(-6.0, 7.0)
        rate = 2.0 * np.abs(np.sin(np.pi * hours / 6.21)) * KNOT
        ranges = np.linspace(2.1, 3.8, high.size)
        return stream_pieces(high, ranges, hours * HOUR, np.where(hours < 0, 270.0, 90.0), rate, 2 * rate, 2.1, 3.8)

    @cached_property
    def stream_of_step(self) -> NDArray[np.int64]:
        return np.where(np.arange(STEPS) % 11 == 0, -1, 0).astype(np.int64)

    @cached_property
    def forecast(self) -> Sampled:
        rng = np.random.default_rng(1)
        at, along = START + 3 * HOUR * np.arange(90.0), np.linspace(0.0, self.track.node_along_m[-1], 12)
        low = np.array([-8.0, -8.0, 5.0, 0.2, 3.5, -1.0, 0.5])[:, None, None]
        high = np.array([8.0, 8.0, 14.0, 2.0, 8.0, 1.0, 1.0])[:, None, None]
        return Sampled(at, along, {"all": rng.uniform(low, high, (len(VARIABLES), at.size, along.size))})

    @cached_property
    def charted(self) -> Array:
        return 3.0 + 2.0 * np.sin(np.arange(STEPS))

    @cached_property
    def gates(self) -> list[Windows]:
        condition = about_high_water(self.tide.at[self.tide.high], 3 * HOUR, 2 * HOUR)
        return [windows(condition, START, START + 11 * DAY, 10 * MINUTE) for _ in GATES]
