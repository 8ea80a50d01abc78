"""Constants of the tide fitted to a series of observed heights, gaps and all."""

from dataclasses import dataclass
from importlib import import_module
from typing import Any

import numpy as np

from readiness.calc.tide_constituent import phases, table_speed, terms
from readiness.calc.tide_harmonic import Harmonics, harmonic_height
from vessel.units import DAY, Array, Degrees, Epoch, Metres

DAYS_TO_1970 = 719163.0  # the library counts days from the year 1
LATITUDE = 45.0  # it asks for one and uses it only for node factors of its own, which are off
OUR_NAMES = {"RHO1": "RHO", "LDA2": "LAM2", "NO1": "M1", "2MK3": "2MK3"}
INFERRED = {"P1": ("K1", 0.331), "K2": ("S2", 0.272), "T2": ("S2", 0.059), "NU2": ("N2", 0.194)}
"""Constituents too near another to be told apart in a short series: which one, and their share of its amplitude, by
the coefficients of the tide-raising force; their lag is taken to be the same."""
_ROWS = 16384  # times summed at once: bounds the memory


@dataclass(frozen=True, slots=True, eq=False)
class Fit:
    """Fitted constants with the mean level, how sure each is (95 %, `[constituent]`), and what the fit left over.

    `inferred`: constituents taken from a neighbour in the ratio of the tide-raising force; their doubt is NaN.
    """

    harmonics: Harmonics
    amplitude_doubt_m: Array
    phase_doubt_deg: Degrees
    inferred: tuple[str, ...]
    at: Array  # [time], the observations that counted
    residual_m: Array  # [time], observed less fitted


def fitted(at: Epoch, height_m: Metres) -> Fit:
    """Constants from heights `[time]` at times `[time]` in any order of spacing; a height of NaN is a gap.

    Which constituents the length of the series tells apart (Rayleigh's criterion) and how sure each is (from the
    spectrum of what is left over) comes from [utide]; amplitudes and lags are then the least squares fit with node
    factors of each moment, so that they go with the sums that predict. Weather is left over, or taken for tide where
    it comes at a tidal period, as the sea level of a season does. Needs some weeks; a month gives no seasons.

    Source: [utide], [schureman]
    """
    known = np.isfinite(at) & np.isfinite(height_m)
    times, heights = np.asarray(at, float)[known], np.asarray(height_m, float)[known]
    names, speed, amplitude_doubt, phase_doubt = _told_apart(times, heights)
    inferred = tuple(name for name, (main, _) in INFERRED.items() if name not in names and main in names)
    every = (*names, *inferred)
    speeds = np.concatenate([speed, np.full(len(inferred), np.nan)])
    share = _shares(every, len(names))
    answer = _least_squares(terms(every, speeds), share, times, heights)
    wave = share @ (answer[1 : len(names) + 1] - 1j * answer[len(names) + 1 :])
    lag = np.degrees(np.angle(np.conj(wave))) % 360.0
    harmonics = Harmonics(every, np.abs(wave), lag, speeds, float(answer[0]))
    unknown = np.full(len(inferred), np.nan)
    return Fit(
        harmonics=harmonics,
        amplitude_doubt_m=np.concatenate([amplitude_doubt, unknown]),
        phase_doubt_deg=np.concatenate([phase_doubt, unknown]),
        inferred=inferred,
        at=times,
        residual_m=heights - np.asarray(harmonic_height(harmonics, times)),
    )


def _told_apart(times: Array, heights: Array) -> tuple[tuple[str, ...], Array, Array, Array]:
    """Names, speeds (NaN: that of the tables) and doubts of the constituents the series tells apart."""
    utide: Any = import_module("utide")  # not above: it takes longer to load than all of ours, and few ever fit a tide
    found: Any = utide.solve(
        times / DAY + DAYS_TO_1970, heights, lat=LATITUDE, nodal=False, trend=False, method="ols", conf_int="linear",
        Rayleigh_min=1.0, epoch="python", verbose=False,
    )  # fmt: skip
    names = tuple(OUR_NAMES.get(name, name) for name in found.name)
    ours = np.array([table_speed(name) for name in names], float)
    theirs = 360.0 * np.asarray(found.aux.frq, float)
    speed = np.where(np.isnan(ours), theirs, np.nan)
    return names, speed, np.asarray(found.A_ci, float), np.asarray(found.g_ci, float)


def _shares(names: tuple[str, ...], told_apart: int) -> Array:
    """What of each told-apart constituent goes into each one, `[constituent, told apart]`: itself and its followers."""
    share = np.eye(len(names), told_apart)
    for row, name in enumerate(names[told_apart:], told_apart):
        main, part = INFERRED[name]
        share[row, names.index(main)] = part
    return share


def _least_squares(these: Any, share: Array, times: Array, heights: Array) -> Array:
    """Mean level, then the cosine and the sine parts of the told-apart constituents, by the normal equations."""
    count = 2 * share.shape[1] + 1
    square, right = np.zeros((count, count)), np.zeros(count)
    for i in range(0, times.size, _ROWS):
        part = slice(i, i + _ROWS)
        phase, log_factor = phases(these, times[part])
        turn = np.asarray(np.exp(log_factor + 1j * np.radians(phase)) @ share, np.complex128)
        rows = np.hstack([np.ones((turn.shape[0], 1)), turn.real, turn.imag])
        square += rows.T @ rows
        right += rows.T @ heights[part]
    return np.asarray(np.linalg.solve(square, right))
