"""Double high and double low waters: two of a kind in one tide, with a shallow dip or hump between."""

import numpy as np
from numpy.typing import NDArray

from readiness.calc.tide_table import TideTable
from vessel.units import HOUR, Flags

APART_AT_MOST = 6 * HOUR  # two high waters of different tides are further apart than this
DIP_AT_MOST = 0.25  # of the range between the highest and the lowest of the table


def double(table: TideTable) -> Flags:
    """For each event: whether it is one of the two of a double high, or low, water: `[event]`.

    Two of a kind at most six hours apart, the event between them no deeper than a quarter of the table's range. In a
    tide of one high water a day, the small second tide about its change may be called so too. False where a height is
    not known, and at the ends of the table where the other one is not in it.

    Source: [own]
    """
    found: NDArray[np.bool_] = np.zeros(table.at.shape, bool)
    known = table.height_m[np.isfinite(table.height_m)]
    if table.at.size < 3 or known.size == 0:
        return found
    dip = np.abs(np.diff(table.height_m))
    shallow = np.maximum(dip[:-1], dip[1:]) <= DIP_AT_MOST * np.ptp(known)
    alike = (table.high[:-2] == table.high[2:]) & (table.high[:-2] != table.high[1:-1])
    pair = np.flatnonzero(shallow & alike & (table.at[2:] - table.at[:-2] <= APART_AT_MOST))
    found[pair] = found[pair + 2] = True
    return found
