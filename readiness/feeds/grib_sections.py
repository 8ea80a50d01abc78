"""The outside of a GRIB file, read without decoding: messages, sections, fields and what their headers claim.

This runs before any decoder sees the file. It refuses what is broken, too large or too good to be true, and
cuts a message with several fields into messages with one field each, so that no field can be lost on the way.

Source of the format: [wmo306].
"""

import math
import struct
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from vessel.errors import BadInput

MOST_BYTES = 25_000_000
MOST_FIELDS = 6_000
MOST_POINTS = 4_000_000  # one field
MOST_VALUES = 6_000_000  # one file
POINTS_PER_BIT = 10
NOTHING = "Nothing was taken in."
# A bulletin heading or padding may stand between messages; anything else is a damaged message.
FILLING = frozenset(range(0x20, 0x7F)) | {0x00, 0x01, 0x03, 0x09, 0x0A, 0x0D, 0x1E}
LONGEST_HEADING = 128
REGULAR_1 = frozenset({0, 4})  # representation types: latitude/longitude, Gaussian
REGULAR_2 = frozenset({0, 40})  # grid definition templates: the same
FROM_A_REFERENCE = frozenset({0, 2, 3, 40, 41, 42})  # data representation templates: reference and differences
BITMAP, VALUES = 6, 7  # section numbers
FOLLOWERS = {0: {1}, 1: {2, 3}, 2: {3}, 3: {4}, 4: {5}, 5: {6}, 6: {7}, 7: {2, 3, 4}}


@dataclass(frozen=True, slots=True)
class Section:
    """One section of a GRIB2 message: its number and where it lies."""

    number: int
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class RawField:
    """One field: its number in the file, a whole message holding it alone, and the points its header claims."""

    number: int
    edition: int
    message: bytes
    points: int | None  # None: the header leaves it to a table of rows (reduced grid)


def split(data: bytes) -> tuple[RawField, ...]:
    """Every field of a GRIB file, in order. Raises BadInput with one sentence naming the message."""
    if len(data) > MOST_BYTES:
        raise BadInput(f"This file is longer than {MOST_BYTES // 1_000_000} MB. {NOTHING}")
    fields: list[RawField] = []
    values = 0
    for start, end, edition in _messages(data):
        for message, points in (_first_edition if edition == 1 else _second_edition)(data[start:end], start):
            fields.append(RawField(len(fields) + 1, edition, message, points))
            values += points or 0
            if len(fields) > MOST_FIELDS or values > MOST_VALUES:
                raise BadInput(
                    f"This file holds more than {MOST_FIELDS:,} fields or {MOST_VALUES:,} values; "
                    f"ask for a smaller area or fewer times. {NOTHING}"
                )
    if not fields:
        raise BadInput(f"This file holds no GRIB message. {NOTHING}")
    return tuple(fields)


def _messages(data: bytes) -> Iterator[tuple[int, int, int]]:
    """Start, end and edition of each message."""
    at = 0
    while (start := data.find(b"GRIB", at)) >= 0:
        _check_filling(data[at:start], at)
        edition = data[start + 7] if start + 8 <= len(data) else 0
        length = _length(data, start, edition)
        at = start + length
        if length < 16 or at > len(data):
            raise BadInput(
                f"The GRIB message at byte {start} says it is {length:,} bytes long and the file has "
                f"{len(data) - start:,} left: it is cut short or damaged. {NOTHING}"
            )
        if data[at - 4 : at] != b"7777":
            raise BadInput(f"The GRIB message at byte {start} does not end as it should. {NOTHING}")
        yield start, at, edition
    _check_filling(data[at:], at)


def _length(data: bytes, start: int, edition: int) -> int:
    if edition == 1:
        length = int.from_bytes(data[start + 4 : start + 7], "big")
        if length & 0x800000:
            raise BadInput(f"The GRIB message at byte {start} is larger than 8 MB; that is not read. {NOTHING}")
        return length
    if edition == 2:
        return int.from_bytes(data[start + 8 : start + 16], "big")
    raise BadInput(f"The GRIB message at byte {start} is of edition {edition}; 1 and 2 are read. {NOTHING}")


def _check_filling(between: bytes, at: int) -> None:
    heading = between.strip(b"\x00")
    if len(heading) > LONGEST_HEADING or not FILLING.issuperset(heading):
        raise BadInput(f"From byte {at} on there are {len(between):,} bytes that are no GRIB message. {NOTHING}")


def _first_edition(message: bytes, at: int) -> Iterator[tuple[bytes, int | None]]:
    """GRIB1: one field a message. Sections 1 (product), 2 (grid), 3 (bitmap), 4 (values), each with its length."""
    product = 8
    here = product + _three(message, product)
    flags = message[product + 7] if here >= product + 8 else 0
    if not flags & 0x80:
        raise BadInput(f"The GRIB message at byte {at} does not describe its grid. {NOTHING}")
    grid = here
    for present in (True, bool(flags & 0x40), True):
        length = _three(message, here) if present else 0
        values, here = here, here + length
        if (present and length < 6) or here > len(message) - 4:
            raise BadInput(f"The sections of the GRIB message at byte {at} do not fit into it. {NOTHING}")
    if here != len(message) - 4:
        raise BadInput(f"The GRIB message at byte {at} has bytes that belong to no section. {NOTHING}")
    columns, rows = _two(message, grid + 6), _two(message, grid + 8)
    points = columns * rows if message[grid + 5] in REGULAR_1 and columns != 0xFFFF else None
    _check_points(points, len(message), at, constant=message[values + 10 : values + 11] == b"\0")
    yield message, points


def _second_edition(message: bytes, at: int) -> Iterator[tuple[bytes, int | None]]:
    """GRIB2: sections 2 to 7 may repeat; each section 7 completes a field."""
    sections = list(_sections(message, at))
    _check_order(sections, at)
    held: dict[int, bytes] = {}
    bitmap = b""
    for section in sections:
        piece = message[section.start : section.end]
        if section.number == BITMAP:
            piece = bitmap = _own_bitmap(piece, bitmap, at)
        held[section.number] = piece
        if section.number == VALUES:
            yield _alone(message, held), _claimed(held, len(message), at)


def _check_order(sections: list[Section], at: int) -> None:
    for before, after in pairwise([Section(0, 0, 16), *sections]):
        if after.number not in FOLLOWERS[before.number]:
            raise BadInput(f"The GRIB message at byte {at} has its sections in the wrong order. {NOTHING}")
    if not sections or sections[-1].number != VALUES:
        raise BadInput(f"The GRIB message at byte {at} ends before its values. {NOTHING}")


def _sections(message: bytes, at: int) -> Iterator[Section]:
    here, last = 16, len(message) - 4
    while here < last:
        length, number = int.from_bytes(message[here : here + 4], "big"), message[here + 4]
        if not 1 <= number <= 7 or length < 5 or here + length > last:
            raise BadInput(f"The sections of the GRIB message at byte {at} do not fit into it. {NOTHING}")
        yield Section(number, here, here + length)
        here += length


def _own_bitmap(section: bytes, before: bytes, at: int) -> bytes:
    """The bitmap itself where the section only says "the one before" (indicator 254)."""
    if section[5:6] != b"\xfe":
        return section
    if before[5:6] != b"\0":
        raise BadInput(f"The GRIB message at byte {at} refers to a bitmap that is not there. {NOTHING}")
    return before


def _alone(message: bytes, held: dict[int, bytes]) -> bytes:
    body = b"".join(held[number] for number in range(1, 8) if number in held)
    return message[:8] + (16 + len(body) + 4).to_bytes(8, "big") + body + b"7777"


def _claimed(held: dict[int, bytes], size: int, at: int) -> int | None:
    grid, packing = held[3], held[5]
    if len(grid) < 38 or len(packing) < 11:
        raise BadInput(f"The GRIB message at byte {at} does not describe its grid. {NOTHING}")
    stated = int.from_bytes(grid[6:10], "big")
    columns, rows = int.from_bytes(grid[30:34], "big"), int.from_bytes(grid[34:38], "big")
    regular = int.from_bytes(grid[12:14], "big") in REGULAR_2 and columns != 0xFFFFFFFF
    points = columns * rows if regular else None
    if int.from_bytes(packing[9:11], "big") in FROM_A_REFERENCE and not _is_finite(packing[11:15]):
        # a decoder may take it for zero and give the differences as values
        raise BadInput(f"The GRIB message at byte {at} packs its values from no number. {NOTHING}")
    constant = packing[19:20] == b"\0"
    _check_points(stated, size, at, constant=constant)
    _check_points(points, size, at, constant=constant)
    if points not in {None, stated}:
        raise BadInput(
            f"The GRIB message at byte {at} counts {stated:,} points on a grid of {columns:,} by {rows:,}. {NOTHING}"
        )
    return stated


def _check_points(points: int | None, size: int, at: int, *, constant: bool) -> None:
    if points is None:
        return
    if not 0 < points <= MOST_POINTS:
        raise BadInput(
            f"The GRIB message at byte {at} claims {points:,} points; from 1 to {MOST_POINTS:,} are read. {NOTHING}"
        )
    if points > size * 8 * POINTS_PER_BIT and not constant:
        raise BadInput(f"The GRIB message at byte {at} claims {points:,} points in {size:,} bytes. {NOTHING}")


def _is_finite(number: bytes) -> bool:
    """Whether four bytes are an IEEE number."""
    return len(number) == 4 and math.isfinite(struct.unpack(">f", number)[0])


def _two(message: bytes, at: int) -> int:
    return int.from_bytes(message[at : at + 2], "big")


def _three(message: bytes, at: int) -> int:
    return int.from_bytes(message[at : at + 3], "big")
