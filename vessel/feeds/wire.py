"""What goes between us and the limited process: an order as JSON with the file behind it, a record in MessagePack.

Nothing in it can run: arrays are a type, a shape and bytes, and every record is checked against its class.
"""

from typing import Any, TypeVar, get_args, get_origin

import msgspec
import numpy as np
from numpy.typing import NDArray

LENGTH_BYTES = 8
REFUSED, TOO_LARGE = 3, 4  # how the process ends when it refuses the file, and when memory ran out
TYPES = frozenset({"<f8", "<f4", "<i8", "|b1"})
Record = TypeVar("Record")


class Order(msgspec.Struct, frozen=True):
    """Which function reads the file, with which keywords, within what."""

    path: str
    keywords: dict[str, Any]
    memory_bytes: int
    work_s: int


def encode(record: object) -> bytes:
    """A record of plain values, records and arrays."""
    return msgspec.msgpack.encode(record, enc_hook=_plain)


def decode(data: bytes, kind: type[Record]) -> Record:
    """The record again. Raises msgspec's errors, ValueError or TypeError where it is not of that kind."""
    return msgspec.msgpack.decode(data, type=kind, dec_hook=_array)


def _plain(value: Any) -> Any:
    if isinstance(value, np.ndarray):
        sent = _smallest(value)
        return sent.dtype.str, value.shape, sent.data if sent.flags.c_contiguous else sent.tobytes()
    if isinstance(value, np.generic):
        return value.item()
    raise NotImplementedError(type(value))


def _array(kind: Any, value: Any) -> Any:
    if (get_origin(kind) or kind) is not np.ndarray:
        raise NotImplementedError(kind)
    name, shape, data = value
    if name not in TYPES:
        raise ValueError(f"no array of {name}")
    wanted = next((each for each in get_args(kind) if get_origin(each) is np.dtype), None)
    array = np.frombuffer(data, name).reshape(shape)
    return array.astype(get_args(wanted)[0]) if wanted else array.copy()


def _smallest(array: NDArray[Any]) -> NDArray[Any]:
    """Numbers in half the room where nothing is lost by it."""
    if array.dtype != np.float64:
        return array
    with np.errstate(over="ignore"):
        short = array.astype(np.float32)
    return short if np.array_equal(short, array, equal_nan=True) else array
