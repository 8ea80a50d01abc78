"""The tide as a sum of constituents: height, rate and curvature at any time."""

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from readiness.calc.tide_constituent import Factors, Terms, arguments, node_terms, phases, terms
from readiness.calc.tide_orbit import FIRST_YEAR_ALLOWED, LAST_YEAR_ALLOWED
from vessel.units import DAY, HOUR, Array, Epoch, Floats, Metres, MetresPerSecond

BLOCK = 6 * HOUR  # on a grid node factors are held for six hours (UTC 00, 06, 12, 18) at their value in the middle
_FIRST, _LAST = FIRST_YEAR_ALLOWED + 14 * DAY, LAST_YEAR_ALLOWED - 14 * DAY
_LOOK = 32768  # steps compared at once: they stay in the cache
_CHUNK = 8192  # times summed at once where they do not form a grid: bounds the memory


@dataclass(frozen=True, slots=True, eq=False)
class Harmonics:
    """The constants of a tide station; heights come out above the level from which `mean_level_m` is counted.

    `speed_deg_per_h` counts only for names that are not in the tables (NaN = from the table); such a constituent
    gets no node factor and V = speed x hours since 1970-01-01T00:00Z.
    """

    constituents: tuple[str, ...]
    amplitude_m: Array  # [constituent]
    phase_utc_deg: Array  # [constituent], lag on UTC
    speed_deg_per_h: Array  # [constituent]
    mean_level_m: float


def harmonic_height(harmonics: Harmonics, at: Epoch, factors: Factors = "day") -> Metres:
    """Height of tide, same shape as `at`, above the zero of the station's mean level.

    Node factors of the day, or of the middle of the calendar year where the constants are to give what an agency
    printed. An even one-dimensional grid whose step divides six hours goes by one matrix product, which holds the
    factors for six hours and so differs by under 0.05 mm. NaN for a time, an amplitude, a phase or a level that is
    not known, and outside the years 1800 to 2199; weather is left out.

    Source: [schureman]
    """
    times = np.asarray(at, float)
    if _is_grid(times):
        return _on_grid(harmonics, times, factors, order=0, level_m=harmonics.mean_level_m)
    flat = _one_by_one(harmonics, times.ravel(), factors, orders=(0,))[0]
    return _shaped(flat + harmonics.mean_level_m, times)


def harmonic_rate(harmonics: Harmonics, at: Epoch, factors: Factors = "day") -> MetresPerSecond:
    """Rate of rise in m/s, same shape as `at`; NaN as for the height.

    Source: [schureman]
    """
    times = np.asarray(at, float)
    if _is_grid(times):
        return _on_grid(harmonics, times, factors, order=1, level_m=0.0)
    return _shaped(_one_by_one(harmonics, times.ravel(), factors, orders=(1,))[0], times)


def height_rate_curvature(harmonics: Harmonics, at: Epoch, factors: Factors = "day") -> Array:
    """Height without the mean level (m), rate (m/s) and curvature (m/s2) at once, `[3, time]`.

    Source: [schureman]
    """
    return _one_by_one(harmonics, np.asarray(at, float).ravel(), factors, orders=(0, 1, 2))


def _used(harmonics: Harmonics) -> tuple[Terms, Array, Array]:
    """Terms, amplitudes and phases of the constituents that have an amplitude; the others add nothing."""
    used = np.flatnonzero(harmonics.amplitude_m != 0)
    names = [harmonics.constituents[i] for i in used]
    return terms(names, harmonics.speed_deg_per_h[used]), harmonics.amplitude_m[used], harmonics.phase_utc_deg[used]


def _is_grid(times: Array) -> bool:
    """One dimension, even steps that divide a block, all well within the years allowed."""
    if times.ndim != 1 or times.size < 32:
        return False
    step = times[1] - times[0]
    if not (step > 0 and BLOCK % step == 0 and times[0] >= _FIRST and times[-1] < _LAST):
        return False
    gaps = np.empty(min(_LOOK, times.size - 1))
    for i in range(0, times.size - 1, _LOOK):
        part = gaps[: times.size - 1 - i]
        np.subtract(times[i + 1 : i + 1 + part.size], times[i : i + part.size], out=part)
        if (part != step).any():
            return False
    return True


def _on_grid(harmonics: Harmonics, times: Array, factors: Factors, order: int, level_m: float) -> Array:
    """Blocks by a product [block, constituent] x [constituent, time within the block], then cut to `times`.

    Where a block has many times, the product gives only as many as settle the smooth curve through it, and a second
    one fills in the rest. The level rides along as one more column, which saves a pass over the result.
    """
    step, phase = float(times[1] - times[0]), float(times[0] % (times[1] - times[0]))
    first, last = int(times[0] // BLOCK), int(times[-1] // BLOCK)
    these, amplitude_m, lag = _used(harmonics)
    speed = np.radians(these.speed) / HOUR
    block = _blocks(these, amplitude_m, lag, (first, last), factors)
    within, fill = _within_block(step, phase, float(np.max(speed, initial=0.0)))
    turn = np.exp(1j * np.multiply.outer(speed, within)) * (1j * speed[:, None]) ** order
    left = np.empty((block.shape[0], 2 * speed.size + 1))
    left[:, : speed.size], left[:, speed.size : -1], left[:, -1] = block.real, -block.imag, level_m
    heights: Array = left @ np.vstack([turn.real, turn.imag, np.ones((1, within.size))])
    if fill is not None:
        heights = heights @ fill
    skip = round((times[0] - first * BLOCK - phase) / step)
    return heights.reshape(-1)[skip : skip + times.size]


@lru_cache(maxsize=64)
def _within_block(step: float, phase: float, fastest: float) -> tuple[Array, Array | None]:
    """Times from the middle of a block at which to sum, and the matrix that goes from there to all times wanted.

    The sum is taken at Chebyshev's points: with 8 more than 1.3 x the radians the fastest constituent turns in half
    a block, the polynomial through them is true to a fifty-thousandth of its amplitude.
    """
    wanted = np.arange(0, BLOCK, step) + phase - BLOCK / 2
    if not math.isfinite(fastest) or wanted.size <= (points := math.ceil(1.3 * fastest * BLOCK / 2) + 8):
        return wanted, None
    angle = np.pi * (np.arange(points) + 0.5) / points
    number = np.arange(points)
    weight = np.where(number == 0, 1.0, 2.0) / points
    at_wanted = np.cos(np.multiply.outer(number, np.arccos(np.clip(2 * wanted / BLOCK, -1.0, 1.0))))
    return np.cos(angle) * BLOCK / 2, (np.cos(np.multiply.outer(angle, number)) * weight) @ at_wanted


def _blocks(
    these: Terms, amplitude_m: Array, lag: Array, blocks: tuple[int, int], factors: Factors
) -> NDArray[np.complex128]:
    """Complex amplitudes at the middle of the blocks from the first to the last, `[block, constituent]`.

    Sines are costly, so they are taken once a week and turned by hours from there; node factors go straight from
    week to week. Those of a year change at midnight: then they are taken once a day and held through it.
    """
    span = 28 if factors == "day" else 4
    first = blocks[0] // span
    middle: Array = (np.arange(first - 1, blocks[1] // span + 2, dtype=float) + 0.5) * span * BLOCK
    lead, log_factor = node_terms(these, middle, factors)
    node = np.exp(log_factor + 1j * np.radians(lead))
    quick = amplitude_m * np.exp(1j * np.radians(arguments(these, middle[1:-1]) - lag))
    offset = (np.arange(span) - (span - 1) / 2)[:, None]
    turn = np.exp(1j * np.radians(these.speed) * offset * BLOCK / HOUR)
    at_middle = np.asarray(quick * node[1:-1], np.complex128)
    out = np.repeat(at_middle[:, None], span, axis=1)
    if factors == "day":
        half, share = span // 2, np.abs(offset) / span
        out[:, :half] += share[:half] * (quick * (node[:-2] - node[1:-1]))[:, None]
        out[:, half:] += share[half:] * (quick * (node[2:] - node[1:-1]))[:, None]
    out *= turn
    return out.reshape(-1, lag.size)[blocks[0] - first * span : blocks[1] + 1 - first * span]


def _one_by_one(harmonics: Harmonics, times: Array, factors: Factors, orders: tuple[int, ...]) -> Array:
    """Each time for itself, `[order, time]`."""
    out = np.full((len(orders), times.size), np.nan)
    these, amplitude_m, lag = _used(harmonics)
    speed = np.radians(these.speed) / HOUR
    good = np.flatnonzero(np.isfinite(times))
    for i in range(0, good.size, _CHUNK):
        part = good[i : i + _CHUNK]
        phase, log_factor = phases(these, times[part], factors)
        angle, size = np.radians(phase - lag), np.exp(log_factor) * amplitude_m
        along, across = size * np.cos(angle), size * np.sin(angle)
        for row, order in enumerate(orders):
            out[row, part] = (along, -across, -along)[order] @ speed**order
    return out


def _shaped(flat: Array, like: Array) -> Floats:
    """In the shape of `like`; a plain number for a single time."""
    return flat.reshape(like.shape) if like.ndim else float(flat[0])
