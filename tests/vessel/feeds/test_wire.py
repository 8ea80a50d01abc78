"""Records on their way out of the limited process: whole, as small as may be, and checked against their class."""

from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any

import msgspec
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from vessel.feeds.wire import decode, encode


@dataclass(frozen=True, slots=True, eq=False)
class Held:
    """A record with an array of each kind."""

    doubles: NDArray[np.float64]
    singles: NDArray[np.float32] = field(default_factory=lambda: np.zeros(1, np.float32))
    flags: NDArray[np.bool_] = field(default_factory=lambda: np.array([True, False]))
    counts: NDArray[np.int64] = field(default_factory=lambda: np.array([1, -2]))
    number: float = 0.0
    at: datetime | None = None


def test_every_kind_of_array_comes_back_with_its_kind_shape_and_values() -> None:
    held = Held(np.array([[0.1, np.nan, np.inf]]), number=np.float64(2.5), at=datetime(2027, 5, 14, tzinfo=UTC))

    back = decode(encode(held), Held)

    for name in ("doubles", "singles", "flags", "counts"):
        was, now = getattr(held, name), getattr(back, name)
        np.testing.assert_array_equal(now, was)
        assert (now.dtype, now.shape) == (was.dtype, was.shape)
    assert (back.number, back.at) == (2.5, held.at)


@given(st.lists(st.floats(width=64), max_size=20))
def test_no_double_loses_a_bit(values: list[float]) -> None:
    array = np.array(values, np.float64)

    back = decode(encode(Held(array)), Held).doubles

    np.testing.assert_array_equal(back, array)
    assert back.dtype == np.float64


def test_numbers_that_fit_travel_in_half_the_room_and_come_back_doubles() -> None:
    short, long = encode(Held(np.full(1000, 0.5))), encode(Held(np.full(1000, 0.1)))

    assert len(long) - len(short) == pytest.approx(4000, abs=10)
    assert decode(short, Held).doubles.dtype == np.float64


def test_rows_that_do_not_lie_one_behind_another_come_back_too() -> None:
    turned = np.arange(12.0).reshape(3, 4).T[::-1]

    np.testing.assert_array_equal(decode(encode(Held(turned)), Held).doubles, turned)


@pytest.mark.parametrize(
    "array",
    [("|O", (1,), b"12345678"), ("<f8", (2,), b"12345678"), ("<f8", (-1, 3), b"12345678"), "no array", ("<f8", (1,))],
)
def test_what_is_no_array_is_refused(array: Any) -> None:
    with pytest.raises((ValueError, TypeError, msgspec.ValidationError)):
        decode(msgspec.msgpack.encode({"doubles": array}), Held)


def test_a_record_of_another_class_is_refused() -> None:
    with pytest.raises(msgspec.ValidationError):
        decode(encode({"doubles": None, "number": "much"}), Held)


def test_what_no_record_may_hold_does_not_leave() -> None:
    with pytest.raises(NotImplementedError):
        encode({"code": compile("0", "", "eval")})
