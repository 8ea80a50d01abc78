"""Bytes damaged in the ways files get damaged and strangers damage them; the same seed gives the same damage."""

import random
import re
from collections.abc import Callable, Sequence

MOST_BYTES = 200_000
MOST_CHANGES = 4
NUMBERS = (
    *(b"0", b"-0", b"-1", b"1", b"90", b"90.000001", b"91", b"180", b"-180.1", b"360", b"9999", b"65535", b"65536"),
    *(b"4294967295", b"2147483648", b"1e308", b"1e999", b"-1e-999", b"1e", b"0x7f", b"1_000", b"NaN", b"nan", b"inf"),
    *(b"1,5", b"1.5.2", b"1,234", b"999999999999999999999", b"0.1e400", b".", b"-", b"+", b"", b"\xd9\xa1\xd9\xa2"),
)
PIECES = (
    *(b"\0", b"\xff", b"\xfe\xff", b"\xef\xbb\xbf", b"\r", b"\n", b"\r\n", b"\x1a", b"\x85", b"\xe2\x80\xa8", b"\xc3"),
    *(b'"', b"'", b";", b",", b"\t", b"#", b"<", b">", b"&", b"]]>", b"<!--", b"<![CDATA[", b"<!DOCTYPE x>", b"&#0;"),
    *(b"&lol;", b"{", b"}", b"[", b"]", b"null", b"true", b"\\u0000", b"\\ud800", b"GRIB", b"7777", b"PK\x03\x04"),
    *(b"=1+1", b"../", b"%s", b"9999-12-31T23:59Z", b"03/04/2027 12:00", b"2027-02-30T24:60Z", b" to ", b" or "),
    *(b"later", b"occasionally ", b"variable", b" kn", b" m", b"\xc2\xa0", b"\xe2\x88\x92", b"\xef\xbc\x91"),
)
ENCODINGS = ("utf-16", "utf-16-be", "utf-8-sig", "utf-32", "latin-1", "utf-7", "cp037")
_NUMBER = re.compile(rb"[-+]?\d+(?:[.,]\d+)?(?:[eE][-+]?\d+)?")
Change = Callable[[bytearray, random.Random, Sequence[bytes]], bytearray]


def mutated(seeds: Sequence[bytes], seed: int) -> bytes:
    """One of the seeds, changed one to four times."""
    chance = random.Random(seed)
    data = bytearray(chance.choice(seeds))
    for _ in range(chance.randint(1, MOST_CHANGES)):
        data = chance.choice(CHANGES)(data, chance, seeds)[:MOST_BYTES]
    return bytes(data)


def _flip(data: bytearray, chance: random.Random, _: Sequence[bytes]) -> bytearray:
    for _each in range(chance.randint(1, 8)):
        if data:
            data[chance.randrange(len(data))] ^= 1 << chance.randrange(8)
    return data


def _set(data: bytearray, chance: random.Random, _: Sequence[bytes]) -> bytearray:
    if data:
        data[chance.randrange(len(data))] = chance.choice((0, 1, 0x7F, 0x80, 0xFE, 0xFF, chance.randrange(256)))
    return data


def _big(data: bytearray, chance: random.Random, _: Sequence[bytes]) -> bytearray:
    """A whole number of two, four or eight bytes at its edge: lengths, counts, offsets."""
    width = chance.choice((2, 4, 8))
    place = chance.randrange(max(len(data) - width, 1))
    number = chance.choice((0, 1, 0x7FFF, 0xFFFF, 0x7FFFFFFF, 0xFFFFFFFF, (1 << 8 * width) - 1)) & (
        (1 << 8 * width) - 1
    )
    data[place : place + width] = number.to_bytes(width, chance.choice(("big", "little")))
    return data


def _cut(data: bytearray, chance: random.Random, _: Sequence[bytes]) -> bytearray:
    return data[: chance.randint(0, len(data))]


def _drop(data: bytearray, chance: random.Random, _: Sequence[bytes]) -> bytearray:
    start, end = _slice(data, chance)
    return data[:start] + data[end:]


def _twice(data: bytearray, chance: random.Random, _: Sequence[bytes]) -> bytearray:
    start, end = _slice(data, chance)
    return data[:end] + data[start:end] * chance.choice((1, 2, 30)) + data[end:]


def _swap(data: bytearray, chance: random.Random, _: Sequence[bytes]) -> bytearray:
    start, middle = _slice(data, chance)
    return data[:start] + data[middle:] + data[start:middle]


def _splice(data: bytearray, chance: random.Random, seeds: Sequence[bytes]) -> bytearray:
    other = chance.choice(seeds)
    return data[: chance.randint(0, len(data))] + other[chance.randint(0, len(other)) :]


def _number(data: bytearray, chance: random.Random, _: Sequence[bytes]) -> bytearray:
    found = list(_NUMBER.finditer(data))
    if not found:
        return data
    match = chance.choice(found)
    return data[: match.start()] + chance.choice(NUMBERS) + data[match.end() :]


def _piece(data: bytearray, chance: random.Random, _: Sequence[bytes]) -> bytearray:
    place = chance.randint(0, len(data))
    return data[:place] + chance.choice(PIECES) * chance.choice((1, 1, 1, 50)) + data[place:]


def _lines(data: bytearray, chance: random.Random, _: Sequence[bytes]) -> bytearray:
    lines = bytes(data).split(b"\n")
    place = chance.randrange(len(lines))
    deed = chance.randrange(3)
    if deed == 0:
        lines[place:place] = [lines[place]] * chance.choice((1, 5, 200))
    elif deed == 1:
        lines[place], lines[0] = lines[0], lines[place]
    else:
        del lines[place]
    return bytearray(b"\n".join(lines))


def _encoded(data: bytearray, chance: random.Random, _: Sequence[bytes]) -> bytearray:
    return bytearray(bytes(data).decode("latin-1").encode(chance.choice(ENCODINGS), "replace"))


def _nested(data: bytearray, chance: random.Random, _: Sequence[bytes]) -> bytearray:
    opening, closing = chance.choice(((b"<a>", b"</a>"), (b"[", b"]"), (b'{"a":', b"}"), (b"(", b")")))
    depth = chance.choice((10, 500, 5000))
    place = chance.randint(0, len(data))
    return data[:place] + opening * depth + closing * depth + data[place:]


def _slice(data: bytearray, chance: random.Random) -> tuple[int, int]:
    start = chance.randint(0, len(data))
    return start, min(len(data), start + chance.choice((1, 2, 4, 16, 64, 1024)))


CHANGES: tuple[Change, ...] = (
    *(
        _flip,
        _set,
        _big,
        _cut,
        _drop,
        _twice,
        _swap,
        _splice,
        _number,
        _number,
        _piece,
        _piece,
        _lines,
        _encoded,
        _nested,
    ),
)
