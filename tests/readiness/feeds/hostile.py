"""Files made to do harm, each by a few lines of code, with what the sentence about it must say; "" where it is taken."""

import struct
from collections.abc import Callable
from dataclasses import dataclass

from tests.readiness.feeds.samples import grib, joined, message

GPX_HEAD = b'<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1">'
ROUTE = GPX_HEAD + b'<rte><rtept lat="50" lon="-4"/><rtept lat="51" lon="-4"/></rte></gpx>'
CSV_HEAD = b"time_utc,latitude,longitude,gust_kn\n"
ROW = b"2027-05-14T18:00Z,50.1,-4.2,20\n"
TABLE = b"# issued 2027-05-14T16:00Z\n" + CSV_HEAD + ROW
SEMICOLONS = b"time_utc;latitude;longitude;gust_kn\n2027-05-14T18:00Z;50,1;-4,2;20,5\n"


@dataclass(frozen=True, slots=True)
class Hostile:
    """One file: what it is read as, how it is made, what is said."""

    kind: str
    name: str
    make: Callable[[], bytes]
    says: str


def _laughs() -> bytes:
    entities = b"".join(b'<!ENTITY l%d "%s">' % (n, b"&l%d;" % (n - 1) * 10) for n in range(1, 10))
    return b'<!DOCTYPE x [<!ENTITY l0 "lol">' + entities + b"]>" + GPX_HEAD + b"<wpt>&l9;</wpt></gpx>"


def _quadratic() -> bytes:
    return b'<!DOCTYPE x [<!ENTITY a "' + b"a" * 50_000 + b'">]>' + GPX_HEAD + b"&a;" * 50_000 + b"</gpx>"


def _deep() -> bytes:
    return GPX_HEAD + b"<a>" * 200_000 + b"</a>" * 200_000 + b"</gpx>"


def _patched(data: bytes, place: int, new: bytes) -> bytes:
    return data[:place] + new + data[place + len(new) :]


def _wind() -> bytes:
    return grib(message("10u", lambda lat, _: lat), message("10v", lambda _, lon: lon))


def _section(data: bytes, number: int) -> int:
    """Where the first section of this number begins in a GRIB2 message."""
    here = 16
    while data[here + 4] != number:
        here += int.from_bytes(data[here : here + 4], "big")
    return here


def _claims(columns: int, rows: int, *, constant: bool = False) -> bytes:
    data = grib(message("10u", (lambda *_: 5.0) if constant else (lambda lat, lon: lat + lon)))
    grid = _section(data, 3)
    data = _patched(data, grid + 6, struct.pack(">I", min(columns * rows, 0xFFFFFFFF)))
    data = _patched(data, grid + 30, struct.pack(">II", columns, rows))
    return _patched(data, _section(data, 5) + 5, struct.pack(">I", min(columns * rows, 0xFFFFFFFF)))


def _reference_nan() -> bytes:
    data = _wind()
    return _patched(data, _section(data, 5) + 11, struct.pack(">f", float("nan")))


def _one_cell() -> bytes:
    return CSV_HEAD + b'2027-05-14T18:00Z,50.1,-4.2,"' + b"x" * 9_000_000 + b'"\n'


def _many_cells() -> bytes:
    return CSV_HEAD + b"".join(b"2027-05-14T18:%02dZ,50.%d,-4.2,20\n" % (n % 60, n) for n in range(200_001))


def _all_apart() -> bytes:
    return CSV_HEAD + b"".join(
        b"20%02d-%02d-%02dT%02d:00Z,%.3f,-4.2,20\n" % (30 + n % 60, 1 + n % 12, 1 + n % 28, n % 24, n / 200)
        for n in range(15_000)
    )


def table(old: bytes, new: bytes) -> Callable[[], bytes]:
    """A sound table with one thing in it changed."""
    return lambda: TABLE.replace(old, new)


MANY_NAMES = b"gust_kn," + b",".join(b"x%d" % number for number in range(996))
DTD = "a document type (DTD) is not taken, whatever it says."
HOSTILE: tuple[Hostile, ...] = (
    Hostile("gpx", "billion laughs", _laughs, f"Line 1: {DTD}"),
    Hostile("gpx", "quadratic blow-up", _quadratic, f"Line 1: {DTD}"),
    Hostile("gpx", "file of this computer", lambda: b'<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/passwd">]>' + ROUTE, DTD),
    Hostile("gpx", "DTD from elsewhere", lambda: b'\n<!DOCTYPE x SYSTEM "http://x.example/d">' + ROUTE, f"Line 2: {DTD}"),
    Hostile("gpx", "200,000 deep", _deep, "Line 1: elements are nested more than 32 deep."),
    Hostile("gpx", "50 MB", lambda: ROUTE + b" " * 50_000_000, "This file is longer than 10 MB."),
    Hostile("gpx", "a tag of 9 MB", lambda: GPX_HEAD + b'<wpt x="' + b"y" * 9_000_000, "a tag or remark is longer than"),
    Hostile("gpx", "a million points", lambda: GPX_HEAD + b'<wpt lat="1" lon="2"/>' * 400_000, "more than 100,000 points"),
    Hostile("gpx", "UTF-7", lambda: b'<?xml version="1.0" encoding="utf-7"?>' + ROUTE, "an encoding that cannot be read"),
    Hostile("gpx", "UTF-16", lambda: ROUTE.decode().encode("utf-16"), ""),
    Hostile("gpx", "latitude 91", lambda: ROUTE.replace(b'"50"', b'"91"'), "Line 1: latitude '91' is not a number from"),
    Hostile("gpx", "latitude NaN", lambda: ROUTE.replace(b'"50"', b'"NaN"'), "latitude 'NaN' is not a number from"),
    Hostile("gpx", "latitude 1e400", lambda: ROUTE.replace(b'"50"', b'"1e400"'), "latitude '1e400' is not a number from"),
    Hostile("gpx", "year 9999", lambda: ROUTE.replace(b'"/></rte>', b'"><time>9999-12-31T23:59:60Z</time></rtept></rte>'), ""),
    Hostile("gpx", "cut off", lambda: ROUTE[:-8], "Line 1: this is not sound XML"),
    Hostile("grib", "cut off", lambda: _wind()[:-30], "it is cut short or damaged."),
    Hostile("grib", "edition 3", lambda: _patched(_wind(), 7, b"\3"), "at byte 0 is of edition 3; 1 and 2 are read."),
    Hostile("grib", "claims 20,000 by 20,000", lambda: _claims(20_000, 20_000), "claims 400,000,000 points; from 1 to 4,000,000"),
    Hostile("grib", "claims 20,000 by 20,000, constant", lambda: _claims(20_000, 20_000, constant=True), "claims 400,000,000"),
    Hostile("grib", "claims 2,000 by 1,000", lambda: _claims(2_000, 1_000), "claims 2,000,000 points in"),
    Hostile("grib", "4,000,000 points of one value", lambda: _claims(2_000, 2_000, constant=True), "cannot be read"),
    Hostile(
        "grib", "claims 2 GB", lambda: _patched(_wind(), 8, struct.pack(">Q", 2 << 30)),
        "says it is 2,147,483,648 bytes long",
    ),
    Hostile("grib", "26 MB", lambda: b"GRIB" + bytes(26_000_000), "longer than 25 MB."),
    Hostile("grib", "no reference value", _reference_nan, "packs its values from no number."),
    Hostile("grib", "all missing", lambda: joined(*(grib(message(n, lambda *_: None)) for n in ("10u", "10v"))), ""),
    Hostile("grib", "east wind without north", lambda: grib(message("10u", lambda *_: 3.0)), "without the north part"),
    Hostile("grib", "not used at all", lambda: grib(message("rh", lambda *_: 80.0)), "holds no field that can be used"),
    Hostile("grib", "zeros between messages", lambda: _wind() + bytes(1000) + b"\xff" * 1000, "bytes that are no GRIB message"),
    Hostile("csv", "byte order mark", lambda: b"\xef\xbb\xbf" + TABLE, ""),
    Hostile("csv", "UTF-16", lambda: TABLE.decode().encode("utf-16"), "The file is UTF-16; save it as UTF-8"),
    Hostile("csv", "semicolons and decimal commas", lambda: SEMICOLONS, ""),
    Hostile("csv", "quotes", table(b",20", b',"20"'), ""),
    Hostile("csv", "a quote that never ends", lambda: TABLE.replace(b",20", b',"20') + ROW * 1000, "quotes or separators"),
    Hostile("csv", "a cell of 9 MB", _one_cell, "line 2"),
    Hostile("csv", "a zero byte", table(b"50.1", b"50\0.1"), "Line 3: The file holds a zero byte"),
    Hostile("csv", "ragged", lambda: TABLE + b"2027-05-14T19:00Z,50.1\n", "Line 4: There are 2 cells where the header has 4."),
    Hostile("csv", "1,000 columns", table(b"gust_kn", MANY_NAMES), "There are 1000 columns; 100 is the most."),
    Hostile("csv", "200,001 rows", _many_cells, "more than 200,000 rows"),
    Hostile("csv", "every row elsewhere at another time", _all_apart, "too many different times and places"),
    Hostile(
        "csv", "decimal comma and point", lambda: SEMICOLONS.replace(b"-4,2", b"-4.2"),
        "Line 2, column latitude: '50,1' has a comma, '-4.2'",
    ),
    Hostile(
        "csv", "comma of thousands or tenths", lambda: SEMICOLONS.replace(b"50,1;-4,2;20,5", b"50;-4;1,500"),
        "Line 2, column gust_kn: Is the comma of '1,500' a decimal comma or",
    ),
    Hostile(
        "csv", "day or month first", table(b"2027-05-14T18:00Z", b"03/04/2027 18:00"),
        "Line 3, column time_utc: Is '03/04/2027 18:00' day first or month first?",
    ),
    Hostile("csv", "31 February", table(b"05-14T18", b"02-31T18"), "'2027-02-31T18:00Z' does not exist."),
    Hostile("csv", "gusts in words", table(b",20", b",=cmd()"), "Line 3, column gust_kn: '=cmd()' is not a number"),
    Hostile("csv", "gusts of 1e999 kn", table(b",20", b",1e999"), "Line 3, column gust_kn: '1e999' is not a number"),
)  # fmt: skip
