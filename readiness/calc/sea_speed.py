"""What a sea takes off her speed, by a table she was measured with."""

from dataclasses import dataclass

import numpy as np

from vessel.units import Array, Degrees, Metres, Ratio


@dataclass(frozen=True)
class SeaTable:
    """Shares of her speed that she keeps; the heights in any order."""

    height_m: Array  # [row]
    share: Array  # [row, 3] sea taken ahead, abeam, astern


def share_kept(table: SeaTable, sea_m: Metres, off_bow_deg: Degrees) -> Ratio:
    """Share of her speed kept in an effective height, `off_bow_deg` from where it comes, 0 ahead to 180 astern.

    Straight lines in height, from the whole speed in no sea to the first row and from row to row, and in the angle
    from ahead to abeam to astern; a higher sea never keeps more. The least of the table beyond its highest row and
    where the height is not known; the least of a height where the angle is not known. NaN where anything of the table
    is not known, a height in it is not above 0 or a share not within 0 and 1.

    Source: [own]
    """
    sea, angle = np.broadcast_arrays(np.asarray(sea_m, float), np.asarray(off_bow_deg, float))
    order = np.argsort(table.height_m)
    heights, shares = table.height_m[order], np.minimum.accumulate(table.share[order], axis=0)
    if not ((heights > 0).all() and ((shares >= 0) & (shares <= 1)).all()):
        return np.full(sea.shape, np.nan)
    worst = float(shares.min(initial=1.0))
    ahead, abeam, astern = (np.interp(sea, [0.0, *heights], [1.0, *column], right=worst) for column in shares.T)
    turned = np.clip(angle, 0.0, 180.0) / 90.0
    between = np.where(turned <= 1, ahead + (abeam - ahead) * turned, abeam + (astern - abeam) * (turned - 1))
    least = np.minimum(np.minimum(ahead, abeam), astern)
    return np.where(np.isnan(sea), worst, np.where(np.isnan(angle), least, between))
