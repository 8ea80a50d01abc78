"""What the decoder's own process says about a GRIB file: labels, axes and values. NaN is "not known"."""

import msgspec
import numpy as np
from numpy.typing import NDArray

from vessel.units import Array

Singles = NDArray[np.float32]
REGULAR = frozenset({"regular_ll", "regular_gg"})


class GridLabel(msgspec.Struct, frozen=True):
    """A grid several fields share. Regular: rows of latitude times columns of longitude, both rising, longitude
    running on past 180. Otherwise rows and columns are 0 and each of the `latitudes` points has its own pair."""

    grid_type: str
    latitudes: int
    longitudes: int
    rows: int = 0
    columns: int = 0


class FieldLabel(msgspec.Struct, frozen=True):
    """One field. Times in UTC seconds since 1970; `from_time` is before `valid_time` for a maximum or mean over
    an interval. `member` is None outside an ensemble. `template`: product definition template of GRIB2."""

    number: int
    edition: int
    short_name: str
    name: str
    units: str
    level_type: str
    level: float
    data_time: float
    valid_time: float
    from_time: float
    step_type: str
    data_type: str
    member: int | None
    template: int
    grid: int
    count: int


class Answer(msgspec.Struct, frozen=True):
    """The whole file: its grids with latitudes and longitudes, its fields with their values in scanning order
    south to north and west to east."""

    grids: tuple[GridLabel, ...]
    axes: tuple[tuple[Array, Array], ...]
    fields: tuple[FieldLabel, ...]
    values: tuple[Singles, ...]
