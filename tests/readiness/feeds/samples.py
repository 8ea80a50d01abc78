"""GRIB samples made at test time, and the folder of real files where it is present."""

import json
import os
import subprocess
import sys
from collections.abc import Callable, Sequence
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

from vessel.errors import BadInput

HERE = Path(__file__).resolve().parent
PARAMETERS = {
    "10u": [
        ["discipline", 0],
        ["parameterCategory", 2],
        ["parameterNumber", 2],
        *(
            above := [
                ["typeOfFirstFixedSurface", 103],
                ["scaleFactorOfFirstFixedSurface", 0],
                ["scaledValueOfFirstFixedSurface", 10],
            ]
        ),
    ],
    "10v": [["discipline", 0], ["parameterCategory", 2], ["parameterNumber", 3], *above],
    "gust": [["discipline", 0], ["parameterCategory", 2], ["parameterNumber", 22], ["typeOfFirstFixedSurface", 1]],
    "swh": [["discipline", 10], ["parameterCategory", 0], ["parameterNumber", 3], ["typeOfFirstFixedSurface", 1]],
    "mwp": [["discipline", 10], ["parameterCategory", 0], ["parameterNumber", 15], ["typeOfFirstFixedSurface", 1]],
    "pp1d": [["discipline", 10], ["parameterCategory", 0], ["parameterNumber", 34], ["typeOfFirstFixedSurface", 1]],
    "mwd": [["discipline", 10], ["parameterCategory", 0], ["parameterNumber", 14], ["typeOfFirstFixedSurface", 1]],
    "vis": [["discipline", 0], ["parameterCategory", 19], ["parameterNumber", 0], ["typeOfFirstFixedSurface", 1]],
    "prmsl": [["discipline", 0], ["parameterCategory", 3], ["parameterNumber", 1], ["typeOfFirstFixedSurface", 101]],
    "sst": [["discipline", 10], ["parameterCategory", 3], ["parameterNumber", 0], ["typeOfFirstFixedSurface", 1]],
    "rh": [["discipline", 0], ["parameterCategory", 1], ["parameterNumber", 1], ["typeOfFirstFixedSurface", 1]],
}
FIRST_PARAMETERS = {"10u": 165, "10v": 166, "2t": 167}
Value = float | None
Result = TypeVar("Result")
Field = Callable[[float, float], Value]


OUTSIDE = Path(os.environ.get("LEGWORTHY_REFDATA") or HERE.parents[2].parent / "shared" / "refdata") / "inputs"


def tried(read: Callable[[bytes], Result], data: bytes) -> tuple[Result | None, str]:
    """What came of reading: the result, or the sentence of the refusal. Anything else that is raised is a fault."""
    try:
        return read(data), ""
    except BadInput as refusal:
        return None, str(refusal)


def message(
    name: str,
    value: Field | Sequence[Value],
    *,
    step_h: int = 0,
    lat: tuple[float, float, float] = (50.0, 51.0, 0.5),
    lon: tuple[float, float, float] = (-5.0, -4.0, 0.5),
    scan: Sequence[int] = (0, 0, 0, 0),
    edition: int = 2,
    more: Sequence[Sequence[Any]] = (),
    before: Sequence[Sequence[Any]] = (),
) -> dict[str, Any]:
    """One message. `scan`: i negatively, j positively, j consecutive, alternative rows.

    `value` is a function of latitude and longitude, laid out here in the scanning order by our own loop.
    """
    rows, columns = _in_order(lat, lon, scan)
    values = [value(*place) for place in _places(rows, columns, scan)] if callable(value) else list(value)
    return {
        "sample": f"regular_ll_sfc_grib{edition}",
        "keys": [
            *before,
            *_what(name, edition),
            *_grid(rows, columns, scan, edition),
            ["iDirectionIncrementInDegrees", lon[2]],
            ["jDirectionIncrementInDegrees", lat[2]],
            ["dataDate", 20270514],
            ["dataTime", 1200],
            ["stepUnits", 1],
            ["step", step_h],
            ["bitsPerValue", 24],
            *more,
        ],
        "values": values,
    }


Ends = tuple[float, float, float]


def _in_order(lat: Ends, lon: Ends, scan: Sequence[int]) -> tuple[list[float], list[float]]:
    i_negative, j_positive, _, _ = scan
    lats, lons = _axis(lat), _axis(lon)
    return lats if j_positive else lats[::-1], lons[::-1] if i_negative else lons


def _places(rows: list[float], columns: list[float], scan: Sequence[int]) -> list[tuple[float, float]]:
    """Latitude and longitude of each value, one after another as the scanning order has them."""
    _, _, by_column, alternate = scan
    outer, inner = (columns, rows) if by_column else (rows, columns)
    places = []
    for number, far in enumerate(outer):
        run = inner[::-1] if alternate and number % 2 else inner
        places += [(near, far) if by_column else (far, near) for near in run]
    return places


def _grid(rows: list[float], columns: list[float], scan: Sequence[int], edition: int) -> list[list[Any]]:
    names = ["iScansNegatively", "jScansPositively", "jPointsAreConsecutive", "alternativeRowScanning"]
    return [
        ["Ni", len(columns)],
        ["Nj", len(rows)],
        *([name, flag] for name, flag in zip(names[: edition + 2], scan, strict=False)),
        ["latitudeOfFirstGridPointInDegrees", rows[0]],
        ["latitudeOfLastGridPointInDegrees", rows[-1]],
        ["longitudeOfFirstGridPointInDegrees", columns[0] % 360],
        ["longitudeOfLastGridPointInDegrees", columns[-1] % 360],
    ]


def _what(name: str, edition: int) -> list[list[Any]]:
    return PARAMETERS[name] if edition == 2 else [["paramId", FIRST_PARAMETERS[name]]]


def _axis(ends: tuple[float, float, float]) -> list[float]:
    first, last, step = ends
    return [first + step * number for number in range(round((last - first) / step) + 1)]


def grib(*messages: dict[str, Any]) -> bytes:
    """The messages as a GRIB file."""
    return _made(json.dumps(messages))


@cache
def _made(spec: str) -> bytes:
    done = subprocess.run(  # noqa: S603  our own script
        [sys.executable, HERE / "make_grib.py"], input=spec.encode(), capture_output=True, check=False
    )
    assert done.returncode == 0, done.stderr.decode()
    return done.stdout


def joined(first: bytes, second: bytes) -> bytes:
    """Two GRIB2 messages of one grid as one message with two fields: sections 4 to 7 of the second follow."""
    here, length = 16, 0
    while second[here + 4] < 4:
        length = int.from_bytes(second[here : here + 4], "big")
        here += length
    body = first[16:-4] + second[here:-4]
    return first[:8] + (16 + len(body) + 4).to_bytes(8, "big") + body + b"7777"
