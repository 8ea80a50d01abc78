"""Where she could run to, and until when she can still turn back."""

import numpy as np

from readiness.calc.track import Track, distance_m
from vessel.units import Degrees, Epoch, Flags, Metres, MetresPerSecond


def distances_to(track: Track, lat_deg: Degrees, lon_deg: Degrees) -> Metres:
    """Straight distance from every node to each place, `[place, node]`; NaN for a place not known.

    Over land or not is for the one who chose the places.

    Source: [andoyer]
    """
    lat, lon = (np.atleast_1d(np.asarray(degrees, float))[:, None] for degrees in (lat_deg, lon_deg))
    return distance_m(track.node_lat_deg, track.node_lon_deg, lat, lon)


def to_nearest(distance_m: Metres, usable: Flags) -> Metres:
    """Distance to the nearest usable place, `[..., place, node]` by flags that broadcast to it: `[..., node]`.

    Infinite where none is usable; NaN where the distance of a usable place is not known.

    Source: [practice]
    """
    return np.asarray(np.where(usable, distance_m, np.inf).min(axis=-2, initial=np.inf))


def turn_back(
    departure_at: Epoch, close_at: Epoch, sog_out_mps: MetresPerSecond, sog_back_mps: MetresPerSecond
) -> tuple[Epoch, Metres]:
    """Last moment to turn back and be home before the gate shuts, and the distance run out by then.

    NaN when the gate is shut before she leaves or a speed is not above 0. The speeds stay as they are: where the
    stream turns meanwhile, work it by the sweep.

    Source: [practice]
    """
    out, back = np.asarray(sog_out_mps, float), np.asarray(sog_back_mps, float)
    open_for = np.subtract(close_at, departure_at)
    possible = (out > 0) & (back > 0) & (open_for >= 0)
    with np.errstate(invalid="ignore", divide="ignore"):
        away = np.where(possible, open_for * back / (out + back), np.nan)
    return departure_at + away, out * away
