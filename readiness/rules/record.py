"""What every record of the facts has in common: frozen, strict, SI, and honest about what is not known.

Outside, in JSON, not known is `null`. Inside, a number that is not known is NaN: no comparison with it is true, so
no rule can pass on it by accident. The two doors are `decode` and `encode`.
"""

from datetime import UTC, datetime
from functools import cache
from typing import TYPE_CHECKING, Annotated, Any, get_type_hints

import msgspec
import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    Real = float
    Grid = NDArray[np.float64]
else:
    Real = float | None
    Grid = np.ndarray  # numbers in rows, null where not known


Array = NDArray[np.float64]
NOT_KNOWN = float("nan")
OUT_OF_ALL_BOUNDS = 1e12  # in any unit used here
YEARS = (1800, 3000)  # of any moment: clocks and calendars fail long before year 1 or 9999 ends


def unit(name: str) -> msgspec.Meta:
    """The unit of a field, as it stands in the JSON Schema."""
    return msgspec.Meta(extra_json_schema={"unit": name})


class Record(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, eq=False):
    """A frozen record without defaults: what nobody stated stays not known, and a missing key is refused."""

    def __post_init__(self) -> None:
        for name in reals(type(self)):
            value = getattr(self, name)
            if value is None:
                msgspec.structs.force_setattr(self, name, NOT_KNOWN)
            elif abs(value) > OUT_OF_ALL_BOUNDS:
                raise ValueError(f"{name} {value:.3g} is no measure of anything aboard")
        for name in moments(type(self)):
            held = getattr(self, name)
            for one in held if isinstance(held, tuple) else (held,):
                if one is not None and not YEARS[0] <= one.year <= YEARS[1]:
                    raise ValueError(f"{name} lies in the year {one.year}, which no boat has to do with")


@cache
def reals(record: type[Record]) -> tuple[str, ...]:
    """Names of the number fields of a record that may be not known."""
    hints = get_type_hints(record, include_extras=False)
    return tuple(name for name in record.__struct_fields__ if hints[name] == Real)


@cache
def moments(record: type[Record]) -> tuple[str, ...]:
    """Names of the fields of a record that hold a moment or several."""
    hints = get_type_hints(record, include_extras=False)
    wanted = (datetime, datetime | None, tuple[datetime, ...])
    return tuple(name for name in record.__struct_fields__ if hints[name] in wanted)


def decode_hook(kind: type, value: Any) -> Any:
    """Rows of numbers and nulls to a float64 array. Raises ValueError for anything else."""
    if kind is not Grid:
        raise NotImplementedError(f"no decoder for {kind}")
    return np.array(value, dtype=np.float64)


def encode_hook(value: Any) -> Any:
    """An array to rows of numbers; NaN leaves as null."""
    if isinstance(value, np.ndarray):
        return value.tolist()
    if isinstance(value, np.generic):
        return value.item()
    raise NotImplementedError(f"no encoder for {type(value)}")


def schema_hook(kind: type) -> dict[str, Any]:
    """JSON Schema of a grid of numbers."""
    if kind is not Grid:
        raise NotImplementedError(f"no schema for {kind}")
    numbers: dict[str, Any] = {"type": ["number", "null"]}
    row = {"type": "array", "items": numbers}
    return {"type": "array", "items": {"anyOf": [numbers, row, {"type": "array", "items": row}]}}


def epoch(moment: datetime | None) -> float:
    """UTC seconds since 1970; NaN where the moment is not known."""
    return NOT_KNOWN if moment is None else moment.timestamp()


def epochs(moments: tuple[datetime, ...]) -> Array:
    """UTC seconds since 1970 of several moments."""
    return np.array([moment.timestamp() for moment in moments], dtype=np.float64)


def moment(at: float) -> datetime:
    """The moment of UTC seconds since 1970."""
    return datetime.fromtimestamp(at, UTC)


Moment = Annotated[datetime, msgspec.Meta(tz=True)]
