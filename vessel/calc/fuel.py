"""Fuel: what she burns at a speed, what is surely in the tank, and how long and far that takes her."""

from typing import Literal

import numpy as np

from vessel.units import HOUR, Litres, LitresPerHour, Metres, MetresPerSecond, Seconds

HowRead = Literal["dip", "sight", "gauge"]

ROUNDING = 0.001  # m/s; a speed this little off the end of the table was meant to be at it
ERROR_OF_CAPACITY = {"dip": 0.03, "sight": 0.03, "gauge": 0.10}  # share of the tank a reading may be out by [own]


def burn_at(
    speed_mps: MetresPerSecond, table_speed_mps: MetresPerSecond, table_burn_lph: LitresPerHour
) -> LitresPerHour:
    """Litres an hour at a speed through the water, straight lines between the `[row]` of her speed table.

    The rows may come in any order. NaN slower than the first or faster than the last of them.

    Source: [practice]
    """
    speeds, burns = np.asarray(table_speed_mps, float), np.asarray(table_burn_lph, float)
    order = np.argsort(speeds)
    speed = np.asarray(speed_mps, float)
    meant = np.clip(speed, speeds.min(), speeds.max())
    burn = np.interp(meant, speeds[order], burns[order])
    return np.where(np.abs(meant - speed) <= ROUNDING, burn, np.nan)


def surely_aboard(reading_l: Litres, unusable_l: Litres, capacity_l: Litres, how: HowRead) -> Litres:
    """Litres that can be counted on: the reading less what cannot be drawn and what the reading may be out by.

    Never below 0. NaN when a figure is not known.

    Source: [own]
    """
    sure = np.asarray(reading_l, float) - unusable_l - ERROR_OF_CAPACITY[how] * np.asarray(capacity_l)
    return np.maximum(sure, 0.0)


def burnt(burn_lph: LitresPerHour, under_way_s: Seconds) -> Litres:
    """Litres burnt in a time.

    Source: [practice]
    """
    return np.asarray(burn_lph * (np.asarray(under_way_s, float) / HOUR))


def endurance(sure_l: Litres, burn_lph: LitresPerHour) -> Seconds:
    """Time until nothing sure is left; NaN where the burn is not above 0.

    Source: [practice]
    """
    burn = np.asarray(burn_lph, float)
    return np.asarray(sure_l / np.where(burn > 0, burn, np.nan) * HOUR)


def cruising_range(sure_l: Litres, burn_lph: LitresPerHour, speed_mps: MetresPerSecond) -> Metres:
    """Distance through the water until nothing sure is left.

    Source: [practice]
    """
    return np.asarray(endurance(sure_l, burn_lph) * speed_mps)
