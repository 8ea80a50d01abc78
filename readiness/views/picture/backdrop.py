"""What lies behind a row: night and twilight, faint tide, and the line where water and gates allow."""

import math
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from readiness.views.picture.axis import Day
from readiness.views.picture.runs import step_of
from vessel.units import DAY, MINUTE

SUN_ON_HORIZON_DEG = -0.833  # upper limb on the horizon, with mean refraction
CIVIL_DUSK_DEG = -6.0
BAND_STEP = 15 * MINUTE
CURVE_STEP = 30 * MINUTE
CURVE_WIDTH, CURVE_HEIGHT = 1000, 100


@dataclass(frozen=True, slots=True)
class Band:
    """A stretch of a row, with the class it is drawn in."""

    x: str
    width: str
    kind: str


def value_at(moment: float, at: Sequence[float], values: Sequence[float]) -> float:
    """The value of the step a moment falls in; NaN outside."""
    index = bisect_right(at, moment) - 1
    within = 0 <= index < len(at) and moment < at[index] + step_of(at)
    return float(values[index]) if within else math.nan


def light_bands(day: Day, at: Sequence[float], sun_altitude_deg: Sequence[float]) -> tuple[Band, ...]:
    """Night ("shade") and twilight ("dusk") of a day. Before the first and after the last step the sun is taken
    from the same clock time of the nearest day with one: it moves a minute or two a day. Not known: no band.
    """
    count = round((day.end - day.start) / BAND_STEP)
    moments = [day.start + index * BAND_STEP for index in range(count)]
    kinds = [_light(value_at(_within(moment, at), at, sun_altitude_deg)) for moment in moments]
    bands = []
    for kind, group in groupby(range(count), key=lambda index: kinds[index]):
        indices = list(group)
        start, end = moments[indices[0]], moments[indices[-1]] + BAND_STEP
        if kind:
            bands.append(Band(day.x(start), day.width(start, end), kind))
    return tuple(bands)


def open_bands(day: Day, at: Sequence[float], gate_open: Sequence[bool]) -> tuple[Band, ...]:
    """Where water and gates allow a departure."""
    inside = [index for index, moment in enumerate(at) if day.holds(moment)]
    bands = []
    for is_open, group in groupby(inside, key=lambda index: bool(gate_open[index])):
        indices = list(group)
        if is_open:
            start, end = at[indices[0]], at[indices[-1]] + step_of(at)
            bands.append(Band(day.x(start), day.width(start, end), "open"))
    return tuple(bands)


def curve(day: Day, at: Sequence[float], height_m: Sequence[float], low: float, high: float) -> str:
    """The path of the tide over a day in a box of 1000 by 100, broken where the height is not known."""
    spread = (high - low) or 1.0
    parts, pen_down = [], False
    for index in range(round((day.end - day.start) / CURVE_STEP) + 1):
        moment = day.start + index * CURVE_STEP
        height = value_at(moment, at, height_m)
        if math.isfinite(height):
            x = CURVE_WIDTH * day.share(moment) / 100
            y = CURVE_HEIGHT * (1 - (height - low) / spread)
            parts.append(f"{'L' if pen_down else 'M'}{x:.0f} {y:.0f}")
        pen_down = math.isfinite(height)
    return "".join(parts)


def extent(values: Sequence[float]) -> tuple[float, float]:
    """Lowest and highest of the known values; nought and one when none is known."""
    known = [float(value) for value in values if math.isfinite(value)]
    return (min(known), max(known)) if known else (0.0, 1.0)


def _within(moment: float, at: Sequence[float]) -> float:
    """A moment carried by whole days into the time the steps cover."""
    if moment < at[0]:
        return moment + DAY * math.ceil((at[0] - moment) / DAY)
    if moment >= (end := at[-1] + step_of(at)):
        return moment - DAY * (math.floor((moment - end) / DAY) + 1)
    return moment


def _light(altitude_deg: float) -> str:
    if not math.isfinite(altitude_deg) or altitude_deg >= SUN_ON_HORIZON_DEG:
        return ""
    return "shade" if altitude_deg < CIVIL_DUSK_DEG else "dusk"
