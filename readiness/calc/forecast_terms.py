"""The set words of bulletins for shipping and what each stands for: a band from lowest to highest, and back."""

from collections.abc import Mapping
from typing import Annotated, NamedTuple

import numpy as np

from readiness.calc.sea_state import wind_of_beaufort
from vessel.calc.wording import POINTS
from vessel.units import HOUR, KNOT, NAUTICAL_MILE, Metres


class Band(NamedTuple):
    """From `low` to `high`, SI; an open end is infinite."""

    low: float
    high: float


# Hours after the time of issue within which a change comes [forecast-terms].
TIMINGS_S: Mapping[str, Band] = {
    "imminent": Band(0.0, 6 * HOUR),
    "soon": Band(6 * HOUR, 12 * HOUR),
    "later": Band(12 * HOUR, np.inf),
}
GOOD_M, MODERATE_M, POOR_M = 5 * NAUTICAL_MILE, 2 * NAUTICAL_MILE, 1000.0
VISIBILITIES: Mapping[str, Band] = {
    "good": Band(GOOD_M, np.inf),
    "moderate": Band(MODERATE_M, GOOD_M),
    "poor": Band(POOR_M, MODERATE_M),
    "very poor": Band(0.0, POOR_M),
    "fog": Band(0.0, POOR_M),
}
POINT_DEG = 22.5


def wind_band(force: int) -> Annotated[Band, "m/s"]:
    """Mean wind of a Beaufort force by the printed whole knots: force 5 is 17 to 21 kn; force 12 is open above.

    NaN for what is no force.

    Source: [wmo-sea]
    """
    lowest, following = wind_of_beaufort(float(force))
    return Band(float(lowest), max(float(following) - KNOT, 0.0))


def visibility_word(range_m: Metres) -> str:
    """The word for a visibility: good from 5 nmi on, moderate from 2 nmi, poor from 1,000 m, else very poor; "" where
    not known.

    Source: [forecast-terms]
    """
    held = float(range_m)
    return next((word for word, band in VISIBILITIES.items() if held >= band.low), "")


def direction_deg(word: str) -> float | None:
    """Degrees from true north of a compass point in letters or words ("WSW", "north-easterly"); None for no point.

    Source: [practice]
    """
    name = word.lower().replace("-", "").replace(" ", "")
    return DIRECTIONS.get(name) if name in DIRECTIONS else DIRECTIONS.get(name.removesuffix("ly").removesuffix("er"))


def _directions() -> dict[str, float]:
    letters = {"n": "north", "e": "east", "s": "south", "w": "west"}
    points = {name: POINT_DEG * number for number, name in enumerate(map(str.lower, POINTS))}
    spelt = {"".join(letters[letter] for letter in name): deg for name, deg in points.items()}
    return points | spelt


DIRECTIONS: Mapping[str, float] = _directions()


def middle_of(first_deg: float, last_deg: float) -> float:
    """The direction in the middle of the shorter arc between two, in degrees; NaN where they lie more than a quarter
    apart and a middle would say nothing.

    Source: [own]
    """
    apart = (last_deg - first_deg + 180) % 360 - 180
    return (first_deg + apart / 2) % 360 if abs(apart) <= 90 else float("nan")


def combined_height(sea_m: Metres, swell_m: Metres) -> Metres:
    """Significant height of wind sea and swell together in metres: their energies add. NaN where one is not known.

    Source: [practice]
    """
    return np.hypot(sea_m, swell_m)
