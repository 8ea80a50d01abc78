"""Heights and high waters out of a tide file, whichever of the two kinds it is."""

from dataclasses import replace

import numpy as np

from readiness.calc.tide import TideTable, cosine_height, harmonic_height, high_low_of
from readiness.calc.tide_constituent import Factors
from readiness.feeds.tide_table import HighLowFile, StationFile
from vessel.units import Array, Epoch, Metres

TideFile = StationFile | HighLowFile


def heights(file: TideFile, at: Epoch, factors: Factors = "day") -> Metres:
    """Height at each time above the datum of the file, or above its mean level where no file gives that level."""
    if isinstance(file, StationFile):
        return harmonic_height(_with_a_level(file).harmonics, at, factors)
    return cosine_height(file.table, at, file.longest_gap_s)


def high_and_low(file: TideFile, start: float, end: float, factors: Factors = "day") -> TideTable:
    """High and low waters from `start` to `end` inclusive: searched for, or as printed."""
    if isinstance(file, StationFile):
        return high_low_of(_with_a_level(file).harmonics, start, end, factors)
    wanted = (file.table.at >= start) & (file.table.at <= end)
    return TideTable(file.table.at[wanted], file.table.height_m[wanted], file.table.high[wanted])


def datum_words(file: TideFile) -> str:
    """What the heights are above, in words; a level that no file gives leaves only the mean level itself."""
    if isinstance(file, StationFile) and np.isnan(file.harmonics.mean_level_m):
        return "the mean level (the height of this above a datum is not known)"
    return file.datum or "a datum that is not stated"


def covers(file: TideFile) -> tuple[float, float]:
    """First and last time the file can answer for; constants answer for any."""
    if isinstance(file, StationFile):
        return -np.inf, np.inf
    at: Array = file.table.at
    return float(at[0]), float(at[-1])


def _with_a_level(file: StationFile) -> StationFile:
    if np.isnan(file.harmonics.mean_level_m):
        return replace(file, harmonics=replace(file.harmonics, mean_level_m=0.0))
    return file
