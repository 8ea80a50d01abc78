"""What a forecast file holds: GRIB, a table or the text of a bulletin."""

import numpy as np

from readiness.feeds.forecast import QUANTITIES, ForecastFile, known_in
from readiness.feeds.forecast_csv import read_forecast
from readiness.feeds.forecast_text import read_bulletin
from readiness.feeds.grib import GribField, GribFile, read_grib
from readiness.feeds.grib_forecast import to_forecast
from readiness.feeds.look_record import Extent, Look, Part, extent_of
from vessel.errors import BadInput


def look_at_grib(data: bytes, name: str) -> Look:
    """Every field labelled, used or not. Raises BadInput when the file cannot be read at all."""
    return look_at_fields(read_grib(data), name=name, size=len(data))


def look_at_fields(file: GribFile, *, name: str, size: int) -> Look:
    """What the fields of a GRIB file of so many bytes come to."""
    try:
        forecast = to_forecast(file, source=name)
    except BadInput as refusal:
        return _grib(file, name, size, warnings=(str(refusal),))
    return _grib(file, name, size, warnings=forecast.warnings, forecast=forecast)


def _grib(
    file: GribFile, name: str, size: int, *, warnings: tuple[str, ...], forecast: ForecastFile | None = None
) -> Look:
    labels = [each.label for each in file.fields]
    members = len({label.member for label in labels if label.member is not None})
    counts = {"fields": len(labels), "times": len({label.valid_time for label in labels})}
    return Look(
        kind="GRIB",
        name=name,
        size=size,
        counts={**counts, **({"ensemble members": members} if members else {})},
        extent=_area(file.fields[0]) if forecast is None else _grid_area(forecast),
        first_at=min(label.valid_time for label in labels),
        last_at=max(label.valid_time for label in labels),
        issued_at=min(label.data_time for label in labels),
        units=_units(forecast) if forecast else {},
        known=known_in(forecast) if forecast else (),
        parts=_parts(file),
        warnings=warnings,
        ignored=forecast.ignored if forecast else (),
    )


def _units(forecast: ForecastFile) -> dict[str, str]:
    return {variable: QUANTITIES[variable].unit for variable in forecast.variables}


def _parts(file: GribFile) -> tuple[Part, ...]:
    """Fields of one name, level and grid together."""
    together: dict[str, list[GribField]] = {}
    for each in file.fields:
        label = each.label
        words = f"{label.short_name} ({label.name}), {label.level_type} {label.level:g}, {_grid_words(each)}"
        together.setdefault(words, []).append(each)
    return tuple(
        Part(
            name=words,
            count=len(fields),
            what="fields",
            unit=fields[0].label.units,
            missing=sum(int(np.isnan(each.values).sum()) for each in fields),
            first_at=min(each.label.valid_time for each in fields),
            last_at=max(each.label.valid_time for each in fields),
        )
        for words, fields in together.items()
    )


def _grid_words(field: GribField) -> str:
    size = f"{field.grid.columns} by {field.grid.rows}" if field.regular else f"{field.values.size:,} points, not used"
    return f"{field.grid.grid_type} {size}"


def _area(field: GribField) -> Extent | None:
    if not field.regular:
        return extent_of(field.lat_deg, field.lon_deg)
    return _box(field.lat_deg, field.lon_deg)


def _grid_area(forecast: ForecastFile) -> Extent | None:
    if forecast.layout == "grid":
        return _box(forecast.lat_deg, forecast.lon_deg)
    return extent_of(forecast.lat_deg, forecast.lon_deg)


def _box(lat: np.ndarray, lon: np.ndarray) -> Extent:
    return Extent(float(lat[0]), float(lon[0]), float(lat[-1]), float(lon[-1]))


def look_at_forecast_table(data: bytes, name: str) -> Look:
    """A forecast as CSV. Raises BadInput."""
    return _written(read_forecast(data, source=name), "forecast table", name, len(data))


def look_at_bulletin(data: bytes, name: str) -> Look:
    """A forecast typed down from a bulletin. Raises BadInput."""
    return _written(read_bulletin(data), "bulletin", name, len(data))


def _written(forecast: ForecastFile, kind: str, name: str, size: int) -> Look:
    nothing = np.zeros((len(forecast.at), 1), bool)  # a wind without its direction may have been all there was
    known = np.concatenate(
        [nothing, *(~np.isnan(values).reshape(len(forecast.at), -1) for values in forecast.variables.values())], 1
    )
    return Look(
        kind=kind,
        name=name,
        size=size,
        counts={
            "times": int(known.any(axis=1).sum()),
            "places": int(np.prod([len(forecast.lat_deg), len(forecast.lon_deg)]))
            if forecast.layout == "grid"
            else len(forecast.lat_deg),
        },
        extent=_grid_area(forecast),
        first_at=float(forecast.at[0]),
        last_at=float(forecast.at[-1]),
        issued_at=forecast.issued_at,
        units=_units(forecast),
        known=known_in(forecast),
        parts=tuple(
            Part(QUANTITIES[variable].words, int((~np.isnan(values)).sum()), "values known", QUANTITIES[variable].unit)
            for variable, values in forecast.variables.items()
        ),
        warnings=forecast.warnings,
        ignored=forecast.ignored,
    )
