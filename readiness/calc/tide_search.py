"""When is it high and low water? A search on the rate of change of any height, and a faster one for constituents."""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from readiness.calc.tide_constituent import Factors
from readiness.calc.tide_harmonic import Harmonics, harmonic_rate, height_rate_curvature
from readiness.calc.tide_table import TideTable, within
from vessel.units import MINUTE, Array, Epoch, Metres

STEP = 6 * MINUTE  # a rise and fall that both fit into this are under a millimetre high even at 5 m of range
_CLOSE_ENOUGH = 0.01  # s; a hundredth of what is promised
_HALF_STEP = 30.0  # s, either side, for a rate by difference

Rate = Callable[[Array], Array]


def high_low(height: Callable[[Epoch], Metres], start: float, end: float) -> TideTable:
    """High and low waters of any height function from `start` to `end` inclusive, to 1 s where the curve is smooth.

    The rate is taken by difference over a minute and looked at every six; double high waters and tides of one high
    water a day come out as they are. No event where the height is not known. On a stand that is level throughout,
    the time is one within the stand.

    Source: [practice]
    """

    def rate(at: Array) -> Array:
        after, before = np.asarray(height(at + _HALF_STEP), float), np.asarray(height(at - _HALF_STEP), float)
        return np.asarray(after - before)

    early, late, high, _ = _brackets(rate, start, end)
    at = _halve(rate, early, late, high)
    return within(TideTable(at, np.asarray(height(at), float), high), start, end)


def high_low_of(harmonics: Harmonics, start: float, end: float, factors: Factors = "day") -> TideTable:
    """High and low waters of a station with constants from `start` to `end` inclusive, to 1 s.

    As `high_low`, with rate and curvature taken from the constituents themselves.

    Source: [schureman]
    """
    early, late, high, about = _brackets(lambda at: np.asarray(harmonic_rate(harmonics, at, factors)), start, end)
    at, height = _newton(harmonics, factors, early, late, high, about)
    return within(TideTable(at, height + harmonics.mean_level_m, high), start, end)


def _brackets(rate: Rate, start: float, end: float) -> tuple[Array, Array, NDArray[np.bool_], Array]:
    """Pairs of times between which the rate changes its sign, whether the turn is a high water, and about when it is.

    Times where the rate is exactly zero are stepped over, so that a turn on one is found once. "About when" is where a
    straight line between the two rates crosses zero.
    """
    at = np.arange(np.floor(start / STEP) - 1, np.ceil(end / STEP) + 2) * STEP
    rates = rate(at)
    turning = np.flatnonzero(rates != 0)  # NaN stays, so that nothing is found across a hole
    at, rates = at[turning], rates[turning]
    turn = np.flatnonzero(np.sign(rates[:-1]) * np.sign(rates[1:]) < 0)
    early, late, before, after = at[turn], at[turn + 1], rates[turn], rates[turn + 1]
    return early, late, before > 0, early + (late - early) * before / (before - after)


def _halve(rate: Rate, early: Array, late: Array, high: NDArray[np.bool_]) -> Array:
    """Bisection of all brackets at once: sure even where the rate has corners."""
    while early.size and float(np.max(late - early)) > _CLOSE_ENOUGH:
        middle = (early + late) / 2
        before = (rate(middle) > 0) == high
        early, late = np.where(before, middle, early), np.where(before, late, middle)
    return (early + late) / 2


def _newton(
    harmonics: Harmonics,
    factors: Factors,
    early: Array,
    late: Array,
    high: NDArray[np.bool_],
    about: Array,
) -> tuple[Array, Array]:
    """Newton's steps from about when, kept inside the bracket, halving it where a step would leave; times and heights."""
    at = about.copy()
    height = np.full(at.shape, np.nan)
    open_ = np.arange(at.size)
    while open_.size:
        now = at[open_]
        height[open_], rate, curvature = height_rate_curvature(harmonics, now, factors)
        before = (rate > 0) == high[open_]
        early[open_] = np.where(before, now, early[open_])
        late[open_] = np.where(before, late[open_], now)
        with np.errstate(divide="ignore", invalid="ignore"):
            step = now - rate / curvature
        stays = (step >= early[open_]) & (step <= late[open_])
        at[open_] = np.where(stays, step, (early[open_] + late[open_]) / 2)
        open_ = open_[np.abs(at[open_] - now) > _CLOSE_ENOUGH]
    return at, height
