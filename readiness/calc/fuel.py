"""Fuel by what it was really: her table against her runs, and checks of a burn by power, speed and size."""

from dataclasses import dataclass
from typing import Annotated

import numpy as np

from vessel.units import HOUR, Floats, Litres, LitresPerHour, MetresPerSecond, Ratio

KilogramsPerJoule = Annotated[Floats, "kg/J"]
KilogramsPerLitre = Annotated[Floats, "kg/l"]
Watts = Annotated[Floats, "W"]
Tonnes = Annotated[Floats, "t"]

LEAST_RUNS = 3  # fewer tell nothing of a table [own]


@dataclass(frozen=True)
class Fit:
    """What she used over what her table expects, over some runs; NaN where a run is not known or there are too few."""

    factor: float  # median
    low: float  # a quarter of the runs used less
    high: float  # a quarter used more
    runs: int


def fitted(used_l: Litres, expected_l: Litres) -> Fit:
    """The median share of the table that was used on `[run]`, and the middle half: one odd run does not move it.

    Source: [own]
    """
    shares = np.atleast_1d(np.asarray(used_l, float)) / np.atleast_1d(np.asarray(expected_l, float))
    if shares.size < LEAST_RUNS:
        return Fit(np.nan, np.nan, np.nan, shares.size)
    low, middle, high = np.quantile(shares, [0.25, 0.5, 0.75])
    return Fit(float(middle), float(low), float(high), shares.size)


def burn_of_power(power_w: Watts, consumption: KilogramsPerJoule, density: KilogramsPerLitre) -> LitresPerHour:
    """Litres an hour an engine burns at a shaft power, by its consumption of fuel for work.

    Source: [sfc-rule]
    """
    return np.asarray(np.asarray(power_w) * consumption / density * HOUR)


def burn_at_other_speed(
    burn_lph: LitresPerHour, speed_mps: MetresPerSecond, other_speed_mps: MetresPerSecond, more: Ratio = 0.0
) -> LitresPerHour:
    """The burn at another speed by the cube of it, `more` the share by which the engine then burns more for its work.

    For displacement speeds only: near the speed of her own wave the need grows faster.

    Source: [cube-law]
    """
    share = np.asarray(other_speed_mps, float) / speed_mps
    return np.asarray(burn_lph * share**3 * (1 + np.asarray(more)))


def admiralty_coefficient(displacement: Tonnes, speed_kn: Floats, power_w: Watts) -> Ratio:
    """Displacement^(2/3) [t] × speed^3 [kn] ÷ power [kW]: about the same for one hull at like speeds.

    Source: [admiralty]
    """
    return np.asarray(np.asarray(displacement) ** (2 / 3) * np.asarray(speed_kn) ** 3 / (np.asarray(power_w) / 1000.0))
