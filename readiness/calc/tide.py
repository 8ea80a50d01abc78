"""Height of tide: the door to the tide sums. What others use is named here; how it is done stands in `tide_*.py`.

Two kinds of station give heights: constants (`Harmonics`), published or fitted to observations (`tide_fit`), and a
table (`TideTable`), printed or worked out of another one (`tide_secondary`). Anything that can be turned into either,
or into a function of time, needs nothing more: `high_low` makes a table of any height function.
"""

import numpy as np

from readiness.calc.tide_harmonic import Harmonics, harmonic_height, harmonic_rate
from readiness.calc.tide_search import high_low, high_low_of
from readiness.calc.tide_table import (
    LONGEST_DIURNAL_GAP,
    LONGEST_GAP,
    TideTable,
    alternates,
    cosine_height,
    mean_range,
    nearest_high_water,
    twelfths_height,
    within,
)
from vessel.units import Hectopascals, Metres, Ratio

__all__ = [
    "LONGEST_DIURNAL_GAP",
    "LONGEST_GAP",
    "Harmonics",
    "TideTable",
    "alternates",
    "cosine_height",
    "form_number",
    "harmonic_height",
    "harmonic_rate",
    "high_low",
    "high_low_of",
    "longest_gap_of",
    "mean_range",
    "nearest_high_water",
    "pressure_correction",
    "tide_type",
    "twelfths_height",
    "within",
]

STANDARD_PRESSURE = 1013.0  # hPa
METRES_PER_HECTOPASCAL = 0.01
_TYPES = ((0.25, "semidiurnal"), (1.5, "mixed, mainly semidiurnal"), (3.0, "mixed, mainly diurnal"))


def pressure_correction(pressure_hpa: Hectopascals) -> Metres:
    """What high air pressure takes off the height of tide, zero or below; low pressure is not credited.

    The still-water answer only: wind and travelling lows can do ten times as much. NaN where it is not known.

    Source: [practice]
    """
    return np.minimum(0.0, -(np.asarray(pressure_hpa, float) - STANDARD_PRESSURE) * METRES_PER_HECTOPASCAL)[()]


def form_number(harmonics: Harmonics) -> Ratio:
    """Type of tide F = (K1 + O1) / (M2 + S2) by amplitudes; NaN where one of the four is missing.

    Source: [practice]
    """
    size = dict(zip(harmonics.constituents, np.asarray(harmonics.amplitude_m, float).tolist(), strict=True))
    diurnal = size.get("K1", np.nan) + size.get("O1", np.nan)
    semidiurnal = size.get("M2", np.nan) + size.get("S2", np.nan)
    return diurnal / semidiurnal if semidiurnal > 0 else float("nan")


def tide_type(form: float) -> str:
    """The words for a form number: below 0.25, 1.5, 3 and from 3 on; "not known" for NaN.

    Source: [practice]
    """
    if np.isnan(form):
        return "not known"
    return next((words for limit, words in _TYPES if form < limit), "diurnal")


def longest_gap_of(form: float) -> float:
    """The gap between two events to believe in a table, in seconds, from the station's form number.

    From 1.5 on (mainly diurnal) the longer one; below it and where the form is not known the shorter one.

    Source: [own]
    """
    return LONGEST_DIURNAL_GAP if form >= _TYPES[1][0] else LONGEST_GAP
