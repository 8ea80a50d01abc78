"""What wind and stream make of the sea: named forces, named seas, deep-water waves and waves on a stream."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from readiness.calc.tidal_stream import along_and_across
from vessel.units import GRAVITY, KNOT, Array, Degrees, Flags, Floats, Metres, MetresPerSecond, Seconds

# Lower limit of forces 1 to 12 [wmo-sea]: the printed classes are whole knots and tenths of a metre per second.
FORCE_FROM_KN = np.array([1, 4, 7, 11, 17, 22, 28, 34, 41, 48, 56, 64], float)
FORCE_FROM_MPS = np.array([0.3, 1.6, 3.4, 5.5, 8.0, 10.8, 13.9, 17.2, 20.8, 24.5, 28.5, 32.7])
PROBABLE_HEIGHT_M = np.array([0.0, 0.1, 0.2, 0.6, 1.0, 2.0, 3.0, 4.0, 5.5, 7.0, 9.0, 11.5, 14.0])  # memory
GREATEST_HEIGHT_M = np.array([0.0, 0.1, 0.3, 1.0, 1.5, 2.5, 4.0, 5.5, 7.5, 10.0, 12.5, 16.0, np.nan])  # memory
SEA_UP_TO_M = np.array([0.0, 0.1, 0.5, 1.25, 2.5, 4.0, 6.0, 9.0, 14.0])  # codes 0 to 8; higher is 9
# Greatest force and significant height a design category stands for [rcd2013]; A ends below storm, its height open.
DESIGN_CATEGORY = {"A": (9.0, np.nan), "B": (8.0, 4.0), "C": (6.0, 2.0), "D": (4.0, 0.3)}
GREATEST_GROWTH = 2.0  # no wave on a stream is counted more than twice as high [own]
BREAKS_AT = 0.5  # k a, wave number times amplitude [comet]
HALVINGS = 40  # of an interval of a few metres per second: to a billionth
GRAVITY_OF_LIMITS = 9.81  # m/s2: the value with which the limits of steepness were set [own]


@dataclass(frozen=True)
class SeaOnStream:
    """A sea that meets a stream; all `[...]` as the inputs broadcast, NaN where not known."""

    k: Array  # height on the stream to height in still water, at most 2
    hs_eff_m: Array
    celerity_mps: Array  # through the water; NaN where blocked
    length_m: Array  # NaN where blocked
    steepness: Array  # hs_eff / length; NaN where blocked
    blocked: Flags  # the waves cannot get through; False where not known
    against_mps: Array  # the stream against the waves, 0 where it runs with them


def wave_on_stream(
    hs_m: Metres,
    period_s: Seconds,
    wave_from_deg: Degrees,
    stream_east_mps: MetresPerSecond,
    stream_north_mps: MetresPerSecond,
    *,
    gravity_mps2: float = GRAVITY_OF_LIMITS,
) -> SeaOnStream:
    """Height, length and steepness of a sea on the stream, deep water, energy flux kept.

    U is the stream toward where the waves come from; with U <= 0 the sea is left as it is. With c0 the celerity
    in still water: c = c0 (1 + sqrt(1 - 4 U / c0)) / 2, K = c0 / sqrt(c (c - 2 U)), at most 2; blocked at
    4 U >= c0. Without a stream K is 1 even where the period or the direction is not known, and a height of 0 stays 0
    whatever is not known. Waves that a stream bends aside, breaks or reflects are not in it.

    Source: [lhs1961]
    """
    toward_sea, _ = along_and_across(stream_east_mps, stream_north_mps, wave_from_deg)
    slack = (np.asarray(stream_east_mps) == 0) & (np.asarray(stream_north_mps) == 0)
    against = np.where(slack, 0.0, np.maximum(toward_sea, 0.0))
    period = np.asarray(period_s, float)
    still = gravity_mps2 * np.where(period > 0, period, np.nan) / (2 * np.pi)
    blocked = 4 * against >= still
    with np.errstate(invalid="ignore", divide="ignore"):
        celerity = still * (1 + np.sqrt(1 - 4 * against / still)) / 2
        growth = still / np.sqrt(celerity * (celerity - 2 * against))
    k = np.where(blocked, GREATEST_GROWTH, np.minimum(growth, GREATEST_GROWTH))
    k = np.where(against == 0, 1.0, k)
    celerity = np.where(blocked, np.nan, celerity)
    length = 2 * np.pi * celerity**2 / gravity_mps2
    calm = np.asarray(hs_m) == 0  # comes from nowhere, and no stream makes a sea of it
    height, steepness = np.where(calm, 0.0, hs_m * k), np.where(calm, 0.0, hs_m * k / length)
    return SeaOnStream(k, height, celerity, length, steepness, blocked, against)


def deep_water(period_s: Seconds) -> tuple[Metres, MetresPerSecond]:
    """Length and celerity of a wave in water deeper than half its length.

    Source: [spm]
    """
    period = np.asarray(period_s, float)
    return GRAVITY * period**2 / (2 * np.pi), GRAVITY * period / (2 * np.pi)


def blocking_stream(period_s: Seconds) -> MetresPerSecond:
    """The opposing stream through which waves of a period cannot pass, deep water.

    Source: [usace-tr0222]
    """
    return np.asarray(deep_water(period_s)[1]) / 4


def breaking_steepness() -> Floats:
    """Height over length, a ratio, at which a wave breaks by the teaching criterion k a = 0.5.

    Source: [comet]
    """
    return float(BREAKS_AT / np.pi)


def stream_to_steepness(hs_m: Metres, period_s: Seconds, steepness_ratio: Floats) -> MetresPerSecond:
    """The opposing stream at which a sea reaches a steepness or is blocked, whichever comes first.

    0 where it is as steep without a stream; NaN where anything is not known. Height and steepness as in
    `wave_on_stream`.

    Source: [lhs1961]
    """
    hs, period, wanted = (np.asarray(value, float) for value in (hs_m, period_s, steepness_ratio))
    low = np.zeros(np.broadcast_shapes(hs.shape, period.shape, wanted.shape))
    high = low + GRAVITY_OF_LIMITS * np.where(period > 0, period, np.nan) / (8 * np.pi)
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        steep = wave_on_stream(hs, period, 0.0, 0.0, middle).steepness >= wanted
        low, high = np.where(steep, low, middle), np.where(steep, middle, high)
    at_rest = wave_on_stream(hs, period, 0.0, 0.0, 0.0).steepness >= wanted
    return np.where(np.isnan(hs + wanted), np.nan, np.where(at_rest, 0.0, high))


def beaufort(wind_mps: MetresPerSecond) -> Floats:
    """Beaufort force 0 to 12 of a mean wind, by the limits in m/s; NaN where not known or below 0.

    Source: [wmo-sea]
    """
    return _class_of(wind_mps, FORCE_FROM_MPS)


def beaufort_of_knots(wind_kn: Floats) -> Floats:
    """Beaufort force 0 to 12 of a mean wind told in knots, by the limits in knots.

    The two printed rows do not meet at the same speeds: 15.6 kn is force 4, the same 8.0 m/s is force 5.

    Source: [wmo-sea]
    """
    return _class_of(wind_kn, FORCE_FROM_KN)


def wind_of_beaufort(force: Floats) -> tuple[MetresPerSecond, MetresPerSecond]:
    """Lowest wind of a force and lowest wind of the next, by the limits in knots; force 12 has no upper end.

    NaN for anything but a whole force from 0 to 12.

    Source: [wmo-sea]
    """
    bounds = np.concatenate([[0.0], FORCE_FROM_KN, [np.inf]]) * KNOT
    return _looked_up(force, bounds[:-1]), _looked_up(force, bounds[1:])


def middle_of_beaufort(force: Floats) -> MetresPerSecond:
    """The wind in the middle of a force, 0.836 force^1.5.

    Source: [wmo-sea]
    """
    return 0.836 * np.asarray(force, float) ** 1.5


def sea_of_beaufort(force: Floats) -> tuple[Metres, Metres]:
    """Probable and greatest height of waves in the open sea, well away from land, for a force.

    Source: [wmo-sea]
    """
    return _looked_up(force, PROBABLE_HEIGHT_M), _looked_up(force, GREATEST_HEIGHT_M)


def sea_state_code(hs_m: Metres) -> Floats:
    """Code 0 to 9 of the state of the sea; a height on the limit of two codes has the lower one.

    Source: [wmo-sea]
    """
    height = np.asarray(hs_m, float)
    return np.where(height >= 0, np.searchsorted(SEA_UP_TO_M, height, side="left"), np.nan)


def category_limits(category: Literal["A", "B", "C", "D"]) -> tuple[Floats, Metres]:
    """Greatest wind force and significant height that a design category stands for; NaN where none is printed.

    Category D allows for an occasional wave of 0.5 m besides.

    Source: [rcd2013]
    """
    return DESIGN_CATEGORY[category]


def _class_of(value: Floats, lowest: Array) -> Array:
    held = np.asarray(value, float)
    return np.where(held >= 0, np.searchsorted(lowest, held, side="right"), np.nan)


def _looked_up(force: Floats, column: Array) -> Array:
    held = np.asarray(force, float)
    whole = (held >= 0) & (held < column.size) & (held == np.floor(held))
    return np.where(whole, column[np.where(whole, held, 0).astype(int)], np.nan)
