"""Chances: the share of an ensemble that passes a limit, or without one, of an error that grows with lead time.

A member with anything missing counts as passing: what is not known never makes a chance look better.
"""

import math
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from vessel.units import HOUR, Array, Floats, Seconds

AsGiven = Annotated[Floats, "unit as given"]
Share = Annotated[Floats, "share"]

# Standard deviation of a forecast for one place by how far ahead it looks, growing along straight lines [own]: an
# estimate until a season of forecasts and logs of this boat is there to replace it. Beyond ten days it stays as it is.
ERROR_TABLE = np.array(
    # lead h, wind m/s, gust m/s, sea m
    [
        (0, 1.2, 1.8, 0.15),
        (24, 1.8, 2.6, 0.25),
        (48, 2.3, 3.3, 0.35),
        (72, 2.8, 4.0, 0.45),
        (120, 4.0, 5.6, 0.70),
        (168, 5.0, 7.0, 0.90),
        (240, 6.0, 8.4, 1.10),
    ]
)
ERROR_OF = {"wind": 1, "gust": 2, "sea": 3}  # columns of the table


def members_past(worst: AsGiven, limit: float) -> NDArray[np.int64]:
    """How many members, on the first axis of `worst[member, ...]`, reach the limit; one that is not known does.

    Source: [practice]
    """
    held = np.asarray(worst, float)
    return np.asarray((~(held < limit)).sum(axis=0), np.int64)


def forecast_error(what: str, lead_s: Seconds) -> AsGiven:
    """Standard deviation of a forecast `lead_s` ahead: of "wind" and "gust" in m/s, of "sea" in m.

    NaN for a lead that is not known or before the time of issue.

    Source: [own]
    """
    lead = np.asarray(lead_s, float) / HOUR
    found = np.interp(lead, ERROR_TABLE[:, 0], ERROR_TABLE[:, ERROR_OF[what]])
    return np.where(lead >= 0, found, np.nan)


def chance_past(value: AsGiven, limit: float, error: AsGiven) -> Share:
    """How likely the true value reaches the limit, of a forecast value with a normal error.

    NaN where anything is not known or the error is not above 0.

    Source: [practice]
    """
    spread = np.asarray(error, float)
    away = (limit - np.asarray(value, float)) / np.where(spread > 0, spread, np.nan)
    return _upper_tail(away)


def _upper_tail(away: Array) -> Array:
    """Share of a normal distribution beyond so many standard deviations."""
    tail = np.vectorize(lambda x: math.erfc(x / math.sqrt(2)) / 2, otypes=[float])
    return np.asarray(tail(away))
