"""The only place where eccodes is loaded: read here by a limited process of its own for each file.

A damaged GRIB file can kill the decoder. Here it kills nothing else.
"""

from datetime import UTC, datetime
from typing import Any

import eccodes
import numpy as np

from readiness.feeds.forecast import ForecastFile
from readiness.feeds.grib import whole
from readiness.feeds.grib_forecast import to_forecast
from readiness.feeds.grib_label import REGULAR, Answer, FieldLabel, GridLabel, Singles
from readiness.feeds.grib_sections import MOST_POINTS, NOTHING, RawField, split
from readiness.feeds.look_forecast import look_at_fields
from readiness.feeds.look_record import Look
from vessel.errors import BadInput
from vessel.units import Array

SAME_DEG = 0.002  # GRIB1 counts in thousandths of a degree
PARAMETER_KEYS = (
    *("edition", "centre", "discipline", "parameterCategory", "parameterNumber"),
    *("table2Version", "indicatorOfParameter", "productDefinitionTemplateNumber", "localTablesVersion"),
)
ENSEMBLE_TEMPLATES = frozenset({1, 11})
ENSEMBLE_TYPES = frozenset({"pf", "cf"})

Axes = tuple[GridLabel, Array, Array]


class UnreadableError(Exception):
    """The field does not hang together; the text says why."""


class Decoder:
    """Decodes field after field, keeping each grid once."""

    def __init__(self) -> None:
        self.grids: dict[str, int] = {}
        self.words: dict[tuple[Any, ...], tuple[str, str]] = {}
        self.axes: list[Axes] = []
        self.labels: list[FieldLabel] = []
        self.values: list[Singles] = []

    def take(self, raw: RawField) -> None:
        """Decode one field. Raises UnreadableError or an error of eccodes."""
        handle = eccodes.codes_new_from_message(raw.message)
        if handle is None:
            raise UnreadableError("it is not a GRIB message")
        try:
            grid = self._grid(handle)
            values = _values(handle, raw, self.axes[grid][0])
            self.values.append(values)
            self.labels.append(self._label(handle, raw, grid, values.size))
        finally:
            eccodes.codes_release(handle)

    def _grid(self, handle: int) -> int:
        key = str(eccodes.codes_get(handle, "md5GridSection"))
        if key not in self.grids:
            if not 0 < eccodes.codes_get(handle, "numberOfDataPoints") <= MOST_POINTS:
                raise UnreadableError("it has too many points")
            grid_type = eccodes.codes_get(handle, "gridType")
            self.axes.append(_regular(handle, grid_type) if grid_type in REGULAR else _others(handle, grid_type))
            self.grids[key] = len(self.axes) - 1
        return self.grids[key]

    def _label(self, handle: int, raw: RawField, grid: int, count: int) -> FieldLabel:
        valid = _moment(handle, "validityDate", "validityTime")
        eccodes.codes_set(handle, "stepUnits", "m")
        minutes = _minutes(handle, "endStep") - _minutes(handle, "startStep")
        short_name = _get(handle, "shortName", str, "unknown")
        name, units = self._words(handle, short_name)
        return FieldLabel(
            number=raw.number,
            edition=raw.edition,
            short_name=short_name,
            name=name,
            units=units,
            level_type=_get(handle, "typeOfLevel", str, "unknown"),
            level=_get(handle, "level", float, 0.0),
            data_time=_moment(handle, "dataDate", "dataTime"),
            valid_time=valid,
            from_time=valid - 60.0 * max(minutes, 0),
            step_type=_get(handle, "stepType", str, "unknown"),
            data_type=_get(handle, "dataType", str, "unknown"),
            member=_member(handle),
            template=_get(handle, "productDefinitionTemplateNumber", int, 0) if raw.edition == 2 else 0,
            grid=grid,
            count=count,
        )

    def _words(self, handle: int, short_name: str) -> tuple[str, str]:
        """Name and unit; they take eccodes longest to find, and fields of one parameter share them."""
        key = (short_name, *(_get(handle, each, int, -1) for each in PARAMETER_KEYS))
        if key not in self.words:
            self.words[key] = (_get(handle, "name", str, "unknown"), _get(handle, "units", str, "unknown"))
        return self.words[key]

    def answer(self) -> Answer:
        """Everything taken so far."""
        return Answer(
            grids=tuple(grid for grid, _, _ in self.axes),
            axes=tuple((lat, lon) for _, lat, lon in self.axes),
            fields=tuple(self.labels),
            values=tuple(self.values),
        )


def _regular(handle: int, grid_type: str) -> Axes:
    columns, rows = (int(eccodes.codes_get(handle, key)) for key in ("Ni", "Nj"))
    lat = _gaussian(handle, rows) if grid_type == "regular_gg" else _latitudes(handle, rows)
    lon = _longitudes(handle, columns)
    return GridLabel(grid_type, rows, columns, rows, columns), lat, lon


def _latitudes(handle: int, rows: int) -> Array:
    first, last = _ends(handle, "latitude")
    if max(abs(first), abs(last)) > 90 + SAME_DEG or (rows > 1 and (last > first) != _flag(handle, "jScansPositively")):
        raise UnreadableError("its latitudes do not fit its scanning order")
    _check_increment(handle, "jDirectionIncrementInDegrees", abs(last - first), rows)
    return np.linspace(min(first, last), max(first, last), rows)


def _gaussian(handle: int, rows: int) -> Array:
    lat = np.sort(np.asarray(eccodes.codes_get_array(handle, "distinctLatitudes"), float))
    if len(lat) != rows:
        raise UnreadableError("its Gaussian latitudes do not fit its rows")
    return lat


def _longitudes(handle: int, columns: int) -> Array:
    first, last = _ends(handle, "longitude")
    west, east = (last, first) if _flag(handle, "iScansNegatively") else (first, last)
    if columns > 1 and east <= west:
        east += 360
    if not 0 <= east - west <= 360 + SAME_DEG or abs(first) > 360 or abs(last) > 360:
        raise UnreadableError("its longitudes do not fit together")
    _check_increment(handle, "iDirectionIncrementInDegrees", east - west, columns)
    start = (west + 180) % 360 - 180
    return np.linspace(start, start + east - west, columns)


def _ends(handle: int, axis: str) -> tuple[float, float]:
    return (
        eccodes.codes_get_double(handle, f"{axis}OfFirstGridPointInDegrees"),
        eccodes.codes_get_double(handle, f"{axis}OfLastGridPointInDegrees"),
    )


def _check_increment(handle: int, key: str, span: float, count: int) -> None:
    """Where the step is given it must lead from the first point to the last."""
    step = _get(handle, key, float, -1.0)
    if step > 0 and count > 1 and abs(step - span / (count - 1)) > SAME_DEG:
        raise UnreadableError("its spacing does not lead from its first point to its last")


def _others(handle: int, grid_type: str) -> Axes:
    """Latitude and longitude of every point, or none where they cannot be worked out."""
    try:
        lat, lon = (np.asarray(eccodes.codes_get_array(handle, key)) for key in ("latitudes", "longitudes"))
    except eccodes.CodesInternalError:
        lat = lon = np.empty(0)
    return GridLabel(str(grid_type), lat.size, lon.size), lat, lon


def _values(handle: int, raw: RawField, grid: GridLabel) -> Singles:
    # without this a missing point decodes to 9999
    eccodes.codes_set(handle, "missingValue", np.nan)
    values = np.asarray(eccodes.codes_get_values(handle))
    expected = grid.rows * grid.columns or raw.points or values.size
    if values.size != expected or (raw.points is not None and values.size != raw.points):
        raise UnreadableError(f"it gives {values.size:,} values for {expected:,} points")
    if grid.rows:
        values = _upright(handle, values, grid.rows, grid.columns)
    with np.errstate(over="ignore"):
        return np.ascontiguousarray(values, np.float32)


def _upright(handle: int, values: Array, rows: int, columns: int) -> Array:
    """Values as [y, x] from south to north and west to east, whatever the scanning order."""
    by_column = _flag(handle, "jPointsAreConsecutive")
    field = values.reshape((columns, rows) if by_column else (rows, columns))
    if _flag(handle, "alternativeRowScanning"):
        field[1::2] = field[1::2, ::-1].copy()
    if by_column:
        field = field.T
    if not _flag(handle, "jScansPositively"):
        field = field[::-1]
    return field[:, ::-1] if _flag(handle, "iScansNegatively") else field


def _minutes(handle: int, key: str) -> int:
    # edition 1 gives "180", edition 2 "180m"
    return int(str(eccodes.codes_get(handle, key)).removesuffix("m"))


def _member(handle: int) -> int | None:
    template = _get(handle, "productDefinitionTemplateNumber", int, 0)
    of_ensemble = template in ENSEMBLE_TEMPLATES or _get(handle, "dataType", str, "") in ENSEMBLE_TYPES
    return _get(handle, "perturbationNumber", int, 0) if of_ensemble else None


def _moment(handle: int, date_key: str, time_key: str) -> float:
    date, time = int(eccodes.codes_get(handle, date_key)), int(eccodes.codes_get(handle, time_key))
    try:
        moment = datetime(date // 10000, date // 100 % 100, date % 100, time // 100, time % 100, tzinfo=UTC)
    except ValueError as error:
        raise UnreadableError(f"{date} {time:04d} is no date") from error
    return moment.timestamp()


def _flag(handle: int, key: str) -> bool:
    return bool(_get(handle, key, int, 0))


def _get(handle: int, key: str, kind: type[Any], default: Any) -> Any:
    try:
        return eccodes.codes_get(handle, key, kind)
    except eccodes.CodesInternalError:
        return default


def decode(data: bytes) -> Answer:
    """Every field of a file. Raises BadInput naming the field; MemoryError where it is too large."""
    return _decoded(split(data))


def _decoded(raw: tuple[RawField, ...]) -> Answer:
    decoder = Decoder()
    for each in raw:
        try:
            decoder.take(each)
        except (UnreadableError, eccodes.CodesInternalError, ValueError, OverflowError) as error:
            raise BadInput(f"Field {each.number} of this GRIB file cannot be read: {error}. {NOTHING}") from error
    return decoder.answer()


def read_forecast(data: bytes, *, source: str = "") -> ForecastFile:
    """The forecast a GRIB file holds. Raises BadInput."""
    raw = split(data)
    return to_forecast(whole(_decoded(raw), raw), source=source)


def look_at(data: bytes, *, name: str) -> Look:
    """What a GRIB file holds, used or not. Raises BadInput."""
    raw = split(data)
    return look_at_fields(whole(_decoded(raw), raw), name=name, size=len(data))
