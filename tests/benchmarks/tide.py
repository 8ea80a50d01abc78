"""How fast the tide is summed, against UTide and against copying the result; all in one run on one machine.

UTide is timed on five days and scaled to the year, as the whole year would take it most of a minute; its time grows
straight with the number of heights. Its constants are fitted to our tide, so that both sum the same one.
"""

from dataclasses import replace

import numpy as np
import utide

from readiness.calc.tide import Harmonics, harmonic_height, high_low_of
from readiness.calc.tide_constituent import phases, terms
from tests.benchmarks.row import Row, quickest
from tests.factories.tide import epoch, even, height_at, published_harmonics
from vessel.units import DAY, HOUR, MINUTE, Array

YEAR = even(epoch("2026-01-01T00:00Z"), 365 * 1440, MINUTE)
SCALED_FROM = 5 * 1440
NAMES_THERE = {"RHO": "RHO1", "LAM2": "LDA2", "M1": "NO1", "2MK3": "MO3"}
LATITUDE = 37.8
DAYS_TO_1970 = 719163.0


def station() -> Harmonics:
    """San Francisco with none of its 37 constituents at zero, so that none can be left out."""
    published = published_harmonics("san_francisco")
    return replace(published, amplitude_m=np.maximum(published.amplitude_m, 0.001))


def seconds_of_utide(harmonics: Harmonics) -> float:
    """Seconds UTide would take for the year."""
    hourly = even(YEAR[0], 365 * 24, HOUR)
    names = [NAMES_THERE.get(name, name) for name in harmonics.constituents]
    fitted = utide.solve(
        hourly / DAY + DAYS_TO_1970,
        height_at(harmonics, hourly),
        lat=LATITUDE,
        constit=names,
        method="ols",
        conf_int="none",
        trend=False,
        verbose=False,
        epoch="python",
    )
    at = YEAR[:SCALED_FROM] / DAY + DAYS_TO_1970
    seconds = quickest(lambda: utide.reconstruct(at, fitted, min_SNR=0, verbose=False, epoch="python"), 3)
    return seconds * YEAR.size / SCALED_FROM


def largest_error_m(harmonics: Harmonics) -> float:
    """Metres between the quick sum and one with node factors taken anew for each moment, every seventh minute."""
    these = terms(harmonics.constituents, harmonics.speed_deg_per_h)
    quick, apart = height_at(harmonics, YEAR), 0.0
    for i in range(0, YEAR.size, 7 * 8192):
        part = slice(i, i + 7 * 8192, 7)
        phase, log_factor = phases(these, YEAR[part])
        size = harmonics.amplitude_m * np.exp(log_factor)
        exact = (size * np.cos(np.radians(phase - harmonics.phase_utc_deg))).sum(axis=-1) + harmonics.mean_level_m
        apart = max(apart, float(np.abs(exact - quick[part]).max()))
    return apart


def run() -> list[Row]:
    harmonics = station()
    result: Array = height_at(harmonics, YEAR)
    ours = quickest(lambda: harmonic_height(harmonics, YEAR), 100)
    copy = quickest(result.copy, 100)
    ratio = seconds_of_utide(harmonics) / ours
    error_mm = 1000 * largest_error_m(harmonics)
    search_ms = 1000 * quickest(lambda: high_low_of(harmonics, float(YEAR[0]), float(YEAR[-1])), 20)
    year = f"tide of {len(harmonics.constituents)} constituents, a year of minutes"
    return [
        Row(f"{year} (UTide scaled from 5 days)", ratio, "x utide.reconstruct", ">= 3,000", ratio >= 3000),
        Row(year, ours / copy, "x copying the result", "<= 4", ours <= 4 * copy),
        Row(f"{year}, against node factors of each moment", error_mm, "mm", "<= 0.1", error_mm <= 0.1),
        Row("high and low waters of a year", search_ms, "ms", "<= 30", search_ms <= 30),
    ]


if __name__ == "__main__":
    for row in run():
        print(row)
