"""The tide as a sum of constituents: height, rate and curvature at any time."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from readiness.calc.tide_constituent import Factors, phases, terms
from readiness.calc.tide_orbit import FIRST_YEAR_ALLOWED, LAST_YEAR_ALLOWED
from vessel.units import HOUR, Array, Epoch, Floats, Metres, MetresPerSecond

BLOCK = 6 * HOUR  # node factors are held for six hours (UTC 00, 06, 12, 18) at their value in the middle
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
    printed. An even one-dimensional grid whose step divides six hours goes by one matrix product. NaN for a time,
    an amplitude, a phase or a level that is not known, and outside the years 1800 to 2199; weather is left out.

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


@dataclass(frozen=True, slots=True, eq=False)
class _Block:
    """Complex amplitudes at the middle of each block `[block, constituent]`, and speeds in rad/s."""

    amplitude: NDArray[np.complex128]
    speed: Array


def _blocks(harmonics: Harmonics, number: Array, factors: Factors) -> _Block:
    """`number`: how many blocks since 1970. A constituent of no amplitude is left out, whatever its phase."""
    used = np.flatnonzero(harmonics.amplitude_m != 0)
    these = terms([harmonics.constituents[i] for i in used], harmonics.speed_deg_per_h[used])
    phase, log_factor = phases(these, (number + 0.5) * BLOCK, factors)
    size = np.exp(log_factor) * harmonics.amplitude_m[used]
    angle = np.radians(phase - harmonics.phase_utc_deg[used])
    amplitude = np.empty(angle.shape, np.complex128)
    amplitude.real, amplitude.imag = size * np.cos(angle), size * np.sin(angle)
    return _Block(amplitude, np.radians(these.speed) / HOUR)


def _is_grid(times: Array) -> bool:
    """One dimension, even steps that divide a block, all within the years allowed."""
    if times.ndim != 1 or times.size < 32:
        return False
    step = times[1] - times[0]
    if not (step > 0 and BLOCK % step == 0 and times[0] >= FIRST_YEAR_ALLOWED and times[-1] < LAST_YEAR_ALLOWED):
        return False
    return all(bool((np.diff(times[i : i + _CHUNK + 1]) == step).all()) for i in range(0, times.size - 1, _CHUNK))


def _on_grid(harmonics: Harmonics, times: Array, factors: Factors, order: int, level_m: float) -> Array:
    """Whole blocks by a product [block, constituent] x [constituent, time within the block], then cut to `times`.

    The level rides along as one more column, which saves a pass over the result.
    """
    step = times[1] - times[0]
    first, last = np.floor(times[0] / BLOCK), np.floor(times[-1] / BLOCK)
    block = _blocks(harmonics, np.arange(first, last + 1), factors)
    within = np.arange(0, BLOCK, step) + times[0] % step - BLOCK / 2
    turn = np.exp(1j * np.multiply.outer(block.speed, within)) * (1j * block.speed[:, None]) ** order
    level = np.full((block.amplitude.shape[0], 1), level_m)
    left = np.hstack([block.amplitude.real, -block.amplitude.imag, level])
    heights: Array = left @ np.vstack([turn.real, turn.imag, np.ones((1, within.size))])
    skip = round((times[0] - first * BLOCK - times[0] % step) / step)
    return heights.reshape(-1)[skip : skip + times.size]


def _one_by_one(harmonics: Harmonics, times: Array, factors: Factors, orders: tuple[int, ...]) -> Array:
    """Each time for itself, `[order, time]`; the same blocks as on a grid, so the two agree to rounding."""
    out = np.full((len(orders), times.size), np.nan)
    good = np.flatnonzero(np.isfinite(times))
    for i in range(0, good.size, _CHUNK):
        part = good[i : i + _CHUNK]
        number, where = np.unique(np.floor(times[part] / BLOCK), return_inverse=True)
        block = _blocks(harmonics, number, factors)
        within = times[part] - (number[where] + 0.5) * BLOCK
        wave = block.amplitude[where] * np.exp(1j * np.multiply.outer(within, block.speed))
        for row, order in enumerate(orders):
            out[row, part] = (wave @ (1j * block.speed) ** order).real
    return out


def _shaped(flat: Array, like: Array) -> Floats:
    """In the shape of `like`; a plain number for a single time."""
    return flat.reshape(like.shape) if like.ndim else float(flat[0])
