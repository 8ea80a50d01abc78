"""One forecast taken in from a file: the record every reader makes, its sampling and its storage.

Missing is NaN and stays NaN. A value outside what the sea can do is missing too, and is said; it is never clipped.
"""

import io
import json
import zipfile
import zlib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Annotated, Any, Literal

import numpy as np
from numpy.typing import NDArray

from readiness.calc.grid import bilinear, nearest
from vessel.calc.wording import counted
from vessel.errors import BadInput
from vessel.units import NAUTICAL_MILE, Array, Degrees

Variables = dict[str, Array]

REACH_M = 20 * NAUTICAL_MILE  # own default: how far a forecast for one place is believed
ROUNDING = 0.01  # packed values may fall a hair outside their range
LARGEST_PACK = 512_000_000
FORMAT = 1


@dataclass(frozen=True, slots=True)
class Quantity:
    """What a variable is called, its unit, and the range beyond which a value is not believed."""

    words: str
    unit: str
    least: float
    most: float


# Own limits: wider than anything observed at sea level, so only damage and wrong units fall outside.
QUANTITIES: Mapping[str, Quantity] = {
    "wind_east_mps": Quantity("wind from the west", "m/s", -75, 75),
    "wind_north_mps": Quantity("wind from the south", "m/s", -75, 75),
    "gust_mps": Quantity("gust", "m/s", 0, 100),
    "wave_height_m": Quantity("wave height", "m", 0, 30),
    "wave_period_s": Quantity("wave period", "s", 0, 30),
    "wave_from_east": Quantity("wave direction", "1", -1, 1),
    "wave_from_north": Quantity("wave direction", "1", -1, 1),
    "visibility_m": Quantity("visibility", "m", 0, 200_000),
    "pressure_hpa": Quantity("pressure", "hPa", 850, 1100),
    "air_c": Quantity("air temperature", "degC", -90, 60),
    "sea_c": Quantity("sea temperature", "degC", -5, 45),
}
# A vector with one part missing is no vector.
PAIRS = (("wind_east_mps", "wind_north_mps"), ("wave_from_east", "wave_from_north"))
STRONGEST_WIND_MPS = 75.0


@dataclass(frozen=True, slots=True)
class ForecastFile:
    """A forecast in SI. Arrays are [time, y, x] on a grid and [time, place] for places; with an ensemble there
    is one axis more in front, [member, ...], as long as `members`.

    `at` rises; on a grid `lat_deg` and `lon_deg` rise too, longitude running on past 180 where the grid does.
    `wave_from_east`, `wave_from_north`: unit vector pointing to where the waves come FROM. Wind: where the air
    moves to. `issued_at` is NaN when the file does not say: such a forecast has no age and must not pass for fresh.
    """

    kind: Literal["grib", "csv", "text"]
    layout: Literal["grid", "places"]
    source: str
    issued_at: float
    at: Array
    lat_deg: Array
    lon_deg: Array
    variables: Variables
    members: tuple[int, ...] = ()
    warnings: tuple[str, ...] = ()
    ignored: tuple[str, ...] = field(default=())


def sample(forecast: ForecastFile, lat: Degrees, lon: Degrees) -> dict[str, Annotated[Array, "SI"]]:
    """Every variable at points [point]: name -> [time, point], with an ensemble [member, time, point].

    Bilinear on a grid; for places the nearest one within REACH_M. NaN outside, and where a corner that counts is
    missing. Vectors are taken part by part, so a mean wave direction comes out shorter than one.
    """
    lats, lons = np.atleast_1d(np.asarray(lat, float)), np.atleast_1d(np.asarray(lon, float))
    if forecast.layout == "grid":
        return {
            name: np.asarray(bilinear(values, forecast.lat_deg, forecast.lon_deg, lats, lons))
            for name, values in forecast.variables.items()
        }
    return {
        name: np.asarray(nearest(values, forecast.lat_deg, forecast.lon_deg, lats, lons, REACH_M))
        for name, values in forecast.variables.items()
    }


def believed(forecast: ForecastFile) -> ForecastFile:
    """The same forecast with every unbelievable value missing, and a warning for each quantity that had one.

    It is done in the arrays given: a copy of a large forecast would take the room it is read in.
    """
    variables = forecast.variables
    warnings = []
    for name, values in variables.items():
        quantity = QUANTITIES[name]
        with np.errstate(invalid="ignore"):
            wild = ~np.isnan(values) & ~((values >= quantity.least - ROUNDING) & (values <= quantity.most + ROUNDING))
        values[wild] = np.nan
        if wild.any():
            warnings.append(_disbelief(int(wild.sum()), quantity))
    warnings += _whole_vectors(variables)
    return replace(forecast, warnings=(*forecast.warnings, *warnings))


def known_in(forecast: ForecastFile) -> tuple[str, ...]:
    """The variables of which anything is known."""
    return tuple(name for name, values in forecast.variables.items() if not np.isnan(values).all())


def _disbelief(count: int, quantity: Quantity) -> str:
    return (
        f"Outside {quantity.least:g} to {quantity.most:g} {quantity.unit}, so not known: "
        f"{counted(count, 'value')} of {quantity.words}."
    )


def _whole_vectors(variables: Variables) -> list[str]:
    warnings = []
    for first, second in PAIRS:
        if first not in variables or second not in variables:
            continue
        half = np.isnan(variables[first]) | np.isnan(variables[second])
        variables[first][half] = variables[second][half] = np.nan
        if first == "wind_east_mps":
            wild = np.hypot(variables[first], variables[second]) > STRONGEST_WIND_MPS + ROUNDING
            variables[first][wild] = variables[second][wild] = np.nan
            if wild.any():
                warnings.append(
                    f"Above {STRONGEST_WIND_MPS:g} m/s, so not known: {counted(int(wild.sum()), 'value')} of wind."
                )
    return warnings


def pack(forecast: ForecastFile) -> bytes:
    """The forecast as bytes to keep (npz); the same forecast gives the same bytes."""
    names = sorted(forecast.variables)
    header = {
        "format": FORMAT,
        "kind": forecast.kind,
        "layout": forecast.layout,
        "source": forecast.source,
        "members": forecast.members,
        "warnings": forecast.warnings,
        "ignored": forecast.ignored,
        "variables": names,
    }
    arrays: dict[str, NDArray[Any]] = {
        "header": np.frombuffer(json.dumps(header).encode(), np.uint8),
        "issued_at": np.array(forecast.issued_at, float),
        "at": forecast.at,
        "lat_deg": forecast.lat_deg,
        "lon_deg": forecast.lon_deg,
        **{name: _smallest(forecast.variables[name]) for name in names},
    }
    kept = io.BytesIO()
    np.savez_compressed(kept, allow_pickle=False, **arrays)
    return kept.getvalue()


def _smallest(values: Array) -> NDArray[Any]:
    short = values.astype(np.float32)
    return short if np.array_equal(short, values, equal_nan=True) else values


def unpack(data: bytes) -> ForecastFile:
    """The forecast that `pack` kept. Raises BadInput when the bytes are damaged."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            if sum(member.file_size for member in archive.infolist()) > LARGEST_PACK:
                raise ValueError("too large")
        with np.load(io.BytesIO(data), allow_pickle=False) as kept:
            forecast = _unpacked(json.loads(kept["header"].tobytes()), kept)
        _check_shapes(forecast)
    except (ValueError, KeyError, TypeError, EOFError, MemoryError, NotImplementedError, OSError) as error:
        raise BadInput("The stored forecast is damaged and is not used; take it in again.") from error
    except (zipfile.BadZipFile, zlib.error, RuntimeError) as error:
        raise BadInput("The stored forecast is damaged and is not used; take it in again.") from error
    return forecast


def _unpacked(header: dict[str, Any], kept: Mapping[str, NDArray[Any]]) -> ForecastFile:
    if header["format"] != FORMAT:
        raise ValueError("another format")
    return ForecastFile(
        kind=header["kind"],
        layout=header["layout"],
        source=header["source"],
        issued_at=float(kept["issued_at"]),
        at=kept["at"].astype(float),
        lat_deg=kept["lat_deg"].astype(float),
        lon_deg=kept["lon_deg"].astype(float),
        variables={name: kept[name].astype(float) for name in header["variables"]},
        members=tuple(header["members"]),
        warnings=tuple(header["warnings"]),
        ignored=tuple(header["ignored"]),
    )


def _check_shapes(forecast: ForecastFile) -> None:
    places = (len(forecast.lat_deg), len(forecast.lon_deg))
    shape = (len(forecast.at), *(places if forecast.layout == "grid" else places[:1]))
    expected = (len(forecast.members), *shape) if forecast.members else shape
    if any(values.shape != expected for values in forecast.variables.values()):
        raise ValueError("shapes differ")
    if not set(forecast.variables) <= set(QUANTITIES):
        raise ValueError("unknown variable")
