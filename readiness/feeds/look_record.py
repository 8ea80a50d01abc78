"""What is said about a file that was looked into."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from vessel.calc.wording import counted
from vessel.units import Array


@dataclass(frozen=True, slots=True)
class Extent:
    """Degrees on WGS 84; `east` runs on past 180 when the area lies across the date line."""

    south: float
    west: float
    north: float
    east: float


@dataclass(frozen=True, slots=True)
class Part:
    """One part of the file: a route, the fields of one name and level, a column."""

    name: str
    count: int
    what: str
    unit: str = ""
    length_m: float = math.nan
    missing: int = 0
    first_at: float = math.nan
    last_at: float = math.nan


@dataclass(frozen=True, slots=True)
class Look:
    """The contents of one file. Times are UTC seconds since 1970, NaN where the file has none.

    `known`: the variables of a forecast of which anything is known; none of them where nothing of it can be used.
    """

    kind: str
    name: str
    size: int
    counts: Mapping[str, int]
    extent: Extent | None = None
    first_at: float = math.nan
    last_at: float = math.nan
    issued_at: float = math.nan
    units: Mapping[str, str] = field(default_factory=dict)
    known: tuple[str, ...] = ()
    parts: tuple[Part, ...] = ()
    warnings: tuple[str, ...] = ()
    ignored: tuple[str, ...] = ()


def how_many(count: int, what: str) -> str:
    """A count under its name as people say it: "1 field", "2 fields", "1 value known"."""
    noun, *rest = what.split(" ", 1) if what.startswith("values ") else [what]
    return " ".join([counted(count, noun.removesuffix("s"), noun), *rest])


def extent_of(lat: Array, lon: Array) -> Extent | None:
    """The smallest area around points; None without points. Across the date line `east` is above 180."""
    if not lat.size:
        return None
    west = np.unique(np.round((lon + 180) % 360 - 180, 9))
    gaps = np.diff(np.append(west, west[0] + 360))
    widest = int(np.argmax(gaps))
    start = float(west[(widest + 1) % len(west)])
    end = float(west[widest])
    return Extent(float(lat.min()), start, float(lat.max()), end if end >= start else end + 360)
