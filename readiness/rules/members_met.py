"""What each member of an ensemble would bring the passage: the worst of it, all members and departures at once."""

from dataclasses import dataclass

import numpy as np

from readiness.calc.weather import Sampled, worst_between
from readiness.rules.facts_water import Forecast, Members
from readiness.rules.passage import Passage
from readiness.rules.record import Array, epochs
from readiness.rules.weather_met import WAVE_FROM, WIND, sea_met, stacked
from readiness.rules.wind_against_stream import COUNTS_FROM_M
from vessel.units import Counts, Flags

GRIDS = ("gust_mps", "wave_height_m", "wave_period_s", *WIND, *WAVE_FROM)
ROOM = 250_000  # values of one thing held at once: members are taken in as many at a time as fit


@dataclass(frozen=True)
class MembersWorst:
    """The worst on the steps that count, [member, departure]; NaN where a member does not say it all."""

    wind_mps: Array
    gust_mps: Array
    sea_m: Array
    steepness: Array  # infinite where blocked, 0 where the sea is too low to count


def members_worst(forecast: Forecast, passage: Passage, steps: Flags, departures: Counts) -> MembersWorst | None:
    """The worst of every member for some departures, given by number; None where there are no members that fit.

    Each member is met as the forecast itself is: from entering a step by plan to leaving it late.
    """
    members = forecast.members
    if members is None or not _fit(forecast, members) or not steps.any():
        return None
    count = len(members.gust_mps)
    size = max(1, ROOM // max(1, departures.size * int(steps.sum())))
    parts = [
        _some(_sampled(forecast, members, first, first + size), passage, steps, departures)
        for first in range(0, count, size)
    ]
    return MembersWorst(*(np.concatenate(columns) for columns in zip(*parts, strict=True)))


def _fit(forecast: Forecast, members: Members) -> bool:
    """Whether every grid has the members, times and points of the forecast."""
    shape = (len(members.gust_mps), len(forecast.at), forecast.along_m.size)
    grids = [getattr(members, name).shape == shape for name in GRIDS]
    rising = bool((np.diff(epochs(forecast.at)) > 0).all() and (np.diff(forecast.along_m) > 0).all())
    return all(grids) and min(shape) > 0 and rising


def _sampled(forecast: Forecast, members: Members, first: int, end: int) -> Sampled:
    """Some of the members as the sums want them."""
    grids = {name: getattr(members, name)[first:end] for name in GRIDS}
    grids["wind_mps"] = np.hypot(grids["wind_east_mps"], grids["wind_north_mps"])
    return Sampled(epochs(forecast.at), forecast.along_m, grids)


def _some(held: Sampled, passage: Passage, steps: Flags, departures: Counts) -> tuple[Array, ...]:
    """Wind, gust, sea and steepness, each [member, departure]."""
    start, end = passage.plan.node_at[departures, :-1][:, steps], passage.late.node_at[departures, 1:][:, steps]
    along = passage.track.step_along_m[steps]
    wind, gust, height = worst_between(
        held, stacked(held, ("wind_mps", "gust_mps", "wave_height_m")), along, start, end
    )
    period = worst_between(held, held.values["wave_period_s"], along, start, end, "min")
    sea = sea_met(held, height, period, along, passage.streams, passage.stream_of_step[steps], start, end)
    steep = np.where(sea.height_m < COUNTS_FROM_M, 0.0, sea.steepness)
    return tuple(values.max(axis=-1) for values in (wind, gust, sea.height_m, steep))
