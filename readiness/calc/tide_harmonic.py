"""The tide as a sum of constituents: height, rate and curvature at any time."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from readiness.calc.tide_constituent import Factors, Terms, arguments_of, node_families, phases, terms, weakened
from readiness.calc.tide_orbit import FIRST_YEAR_ALLOWED, LAST_YEAR_ALLOWED, mean_longitudes
from vessel.units import DAY, HOUR, Array, Epoch, Floats, Metres, MetresPerSecond

BLOCK = 6 * HOUR
_WEEK, _DAY = 28, 4  # blocks: node factors of the day run straight for a week; those of a year change at midnight
MOST_BETWEEN = 1e-5  # m; what the curve within a block may miss
_MOST_POINTS = 60
_FIRST, _LAST = FIRST_YEAR_ALLOWED + 14 * DAY, LAST_YEAR_ALLOWED - 14 * DAY
_LOOK = 65536  # steps compared at once: they stay in the cache
_CHUNK = 8192  # times summed at once where they do not form a grid: bounds the memory


@dataclass(frozen=True, slots=True, eq=False)
class Harmonics:
    """The constants of a tide station; heights come out above the level from which `mean_level_m` is counted.

    `speed_deg_per_h` counts only for names that are not in the tables (NaN = from the table); such a constituent
    gets no node factor and V = speed x hours since 1970-01-01T00:00Z. `node_share`: how much of the swing of each
    node factor about 1 counts, where the agency that made the constants says so; None: all of it.
    """

    constituents: tuple[str, ...]
    amplitude_m: Array  # [constituent]
    phase_utc_deg: Array  # [constituent], lag on UTC
    speed_deg_per_h: Array  # [constituent]
    mean_level_m: float
    node_share: Array | None = None  # [constituent]


def harmonic_height(harmonics: Harmonics, at: Epoch, factors: Factors = "day") -> Metres:
    """Height of tide, same shape as `at`, above the zero of the station's mean level.

    Node factors of the day, or of the middle of the calendar year where the constants are to give what an agency
    printed. An even one-dimensional grid whose step divides six hours goes by one matrix product, in which the factors
    change along a straight line for a week; that differs by under 0.02 mm. NaN for a time, an amplitude, a phase or a
    level that is not known, and outside the years 1800 to 2199; weather is left out.

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
class _Used:
    """The constituents that have an amplitude; the others add nothing."""

    terms: Terms
    amplitude_m: Array
    lag: Array  # degrees
    share: Array | float
    speed: Array  # rad/s


def _used(harmonics: Harmonics) -> _Used:
    used = np.flatnonzero(harmonics.amplitude_m != 0)
    names = [harmonics.constituents[i] for i in used]
    these = terms(names, harmonics.speed_deg_per_h[used])
    share = 1.0 if harmonics.node_share is None else harmonics.node_share[used]
    speed = np.radians(these.speed) / HOUR
    return _Used(these, harmonics.amplitude_m[used], harmonics.phase_utc_deg[used], share, speed)


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
    """Spans of a week: Re sum (a + b x) exp(i w x), x counted from the middle of the span, as one matrix product.

    `a` is the complex amplitude at the middle and `b` its slow change with the node factors. The sum is taken only at
    as many points of each block of six hours as settle the smooth curve through it; a second product fills in the
    rest. The level rides along as one more column, which saves a pass over the result.
    """
    step, phase = float(times[1] - times[0]), float(times[0] % (times[1] - times[0]))
    first, last = int(times[0] // BLOCK), int(times[-1] // BLOCK)
    span = _WEEK if factors == "day" else _DAY
    used = _used(harmonics)
    within, fill = _within_block(step, phase, _points(used.speed, used.amplitude_m))
    middle, change = _at_middle(used, span, (first // span, last // span + 1), factors)
    left = np.hstack([middle.real, -middle.imag, change.real, -change.imag, np.full((middle.shape[0], 1), level_m)])
    right = _turns(used.speed.tobytes(), span, within.tobytes(), order)
    heights: Array = (left @ right).reshape(-1, within.size)[first % span :][: last - first + 1]
    if fill is not None:
        heights = heights @ fill
    skip = round((times[0] - first * BLOCK - phase) / step)
    return heights.reshape(-1)[skip : skip + times.size]


def _points(speed: Array, amplitude_m: Array) -> int | None:
    """How many of Chebyshev's points settle the height within a block to MOST_BETWEEN; None where that is not known.

    The polynomial through n points misses a cosine that turns by 2 r within half a block by at most 2 r^n / n!.
    """
    half = speed * BLOCK / 4
    missed = 2 * 2.0 * np.abs(amplitude_m) * half  # node factors are below 2
    for number in range(2, _MOST_POINTS):
        missed = missed * half / number
        if missed.sum() <= MOST_BETWEEN:
            return number
    return None


@lru_cache(maxsize=64)
def _within_block(step: float, phase: float, points: int | None) -> tuple[Array, Array | None]:
    """Times from the middle of a block at which to sum, and the matrix that goes from there to all times wanted."""
    wanted = np.arange(0, BLOCK, step) + phase - BLOCK / 2
    if points is None or wanted.size <= points:
        return wanted, None
    angle = np.pi * (np.arange(points) + 0.5) / points
    number = np.arange(points)
    weight = np.where(number == 0, 1.0, 2.0) / points
    at_wanted = np.cos(np.multiply.outer(number, np.arccos(np.clip(2 * wanted / BLOCK, -1.0, 1.0))))
    return np.cos(angle) * BLOCK / 2, (np.cos(np.multiply.outer(angle, number)) * weight) @ at_wanted


@lru_cache(maxsize=16)
def _turns(speed: bytes, span: int, within: bytes, order: int) -> Array:
    """exp(i w x) at the points of every block of a span, x counted from its middle: `[2 + 2 constituents + 1, point]`.

    Real and imaginary parts, both times x, and a row of ones. Kept, as stations with the same constituents share it;
    sines are costly, so they are taken for the blocks and for the points within one, and multiplied.
    """
    rate, points, blocks = np.frombuffer(speed), np.frombuffer(within), (np.arange(span) - (span - 1) / 2) * BLOCK
    coarse, fine = (np.exp(1j * np.multiply.outer(rate, x)) for x in (blocks, points))
    since = np.add.outer(blocks, points).ravel()
    turn = (coarse[:, :, None] * fine[:, None, :]).reshape(rate.size, -1) * (1j * rate[:, None]) ** order
    return np.vstack([turn.real, turn.imag, turn.real * since, turn.imag * since, np.ones((1, since.size))])


def _at_middle(
    used: _Used, span: int, spans: tuple[int, int], factors: Factors
) -> tuple[NDArray[np.complex128], NDArray[np.complex128]]:
    """Complex amplitudes at the middle of each span and their change per second, `[span, constituent]`.

    The change is half that from the span before to the one after, both turned to this middle first.
    """
    length, these = span * BLOCK, used.terms
    longitudes, lead, log_factor = _moon(*spans, span, factors)
    middle = (np.arange(spans[0] - 1, spans[1] + 1, dtype=float) + 0.5) * length
    angle = np.radians(arguments_of(these, longitudes, middle) + lead @ these.leads - used.lag)
    size = used.amplitude_m * weakened(log_factor @ these.factors, used.share)
    wave = np.empty(angle.shape, np.complex128)
    wave.real, wave.imag = size * np.cos(angle), size * np.sin(angle)
    if factors != "day":
        return wave[1:-1], np.zeros_like(wave[1:-1])
    turn = np.exp(1j * used.speed * length)
    return wave[1:-1], (wave[2:] * np.conj(turn) - wave[:-2] * turn) / (2 * length)


@lru_cache(maxsize=16)
def _moon(first: int, last: int, span: int, factors: Factors) -> tuple[Array, Array, Array]:
    """Longitudes and node factors at the middle of each span and of one more either side; the same for all stations."""
    middle: Array = (np.arange(first - 1, last + 1, dtype=float) + 0.5) * span * BLOCK
    lead, log_factor = node_families(middle, factors)
    return np.asarray(mean_longitudes(middle)), np.asarray(lead), np.asarray(log_factor)


def _one_by_one(harmonics: Harmonics, times: Array, factors: Factors, orders: tuple[int, ...]) -> Array:
    """Each time for itself, `[order, time]`."""
    out = np.full((len(orders), times.size), np.nan)
    used = _used(harmonics)
    good = np.flatnonzero(np.isfinite(times))
    for i in range(0, good.size, _CHUNK):
        part = good[i : i + _CHUNK]
        phase, log_factor = phases(used.terms, times[part], factors)
        angle, size = np.radians(phase - used.lag), weakened(log_factor, used.share) * used.amplitude_m
        along, across = size * np.cos(angle), size * np.sin(angle)
        for row, order in enumerate(orders):
            out[row, part] = (along, -across, -along)[order] @ used.speed**order
    return out


def _shaped(flat: Array, like: Array) -> Floats:
    """In the shape of `like`; a plain number for a single time."""
    return flat.reshape(like.shape) if like.ndim else float(flat[0])
