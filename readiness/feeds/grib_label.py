"""What the decoder's own process says about a GRIB file: labels as JSON, numbers as bytes after them.

Layout: 8 bytes with the length of the JSON, the JSON (`Answer`), then for each grid its latitudes and longitudes
as float64, then for each field its values as float32; all little-endian. NaN is "not known".
"""

import msgspec

LENGTH_BYTES = 8
LAT_LON_TYPE = "<f8"
VALUE_TYPE = "<f4"
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
    """The whole answer; `refused` holds the reason when the file cannot be read."""

    refused: str = ""
    grids: tuple[GridLabel, ...] = ()
    fields: tuple[FieldLabel, ...] = ()
