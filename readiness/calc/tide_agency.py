"""How much of a node factor's swing an agency lets into its constants, where that is not all of it.

In a shallow sea friction takes more from a strong tide than from a weak one, so over the 18.6 years the tide swings
less than the moon's orbit alone would have it. An agency that analyses with weakened factors must be predicted with
the same.
"""

from collections.abc import Sequence

import numpy as np

from vessel.units import Array

# From memory, checked on the agency's own series [rws-vlissingen]: 1.1 cm at most with these, 2.3 cm without.
_RIJKSWATERSTAAT = {
    "MU2": 0.0,
    "N2": 0.0,
    "NU2": 0.80,
    "M2": 0.53,
    "2MN2": 0.20,
    "M4": 0.70,
    "MS4": 0.0,
    "M6": 0.75,
    "2MS6": 0.70,
    "M8": 0.70,
    "3MS8": 0.60,
}
SHARES = {"rijkswaterstaat": _RIJKSWATERSTAAT}


def agency_of(source: str | None) -> str | None:
    """The agency with shares of its own that the source of the constants names; None where there is none."""
    return next((agency for agency in SHARES if source and agency in source.lower()), None)


def shares_of(source: str | None, names: Sequence[str]) -> Array | None:
    """Share of the swing for each constituent by the agency of the source, 0 to 1, `[constituent]`; None: all of it.

    Source: [rws-vlissingen]
    """
    agency = agency_of(source)
    return None if agency is None else np.array([SHARES[agency].get(name, 1.0) for name in names])
