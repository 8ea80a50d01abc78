"""The outside of a GRIB file: fields counted without decoding, lies refused before anything is decoded."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from readiness.feeds.grib_sections import MOST_BYTES, MOST_FIELDS, MOST_POINTS, split
from tests.readiness.feeds.samples import grib, joined, message, tried
from vessel.errors import BadInput

FIRST = grib(message("10u", lambda lat, lon: lat + lon, edition=1))
EAST = grib(message("10u", lambda lat, lon: lat + lon))
NORTH = grib(message("10v", lambda lat, lon: lat - lon))
HOLED = grib(message("10v", lambda lat, lon: None if lat == 50 else lon))


def changed(data: bytes, place: int, new: bytes) -> bytes:
    return data[:place] + new + data[place + len(new) :]


def section(data: bytes, number: int) -> int:
    """Where a section of a GRIB2 message begins."""
    here = 16
    while data[here + 4] != number:
        here += int.from_bytes(data[here : here + 4], "big")
    return here


def refusal(data: bytes) -> str:
    with pytest.raises(BadInput) as refused:
        split(data)
    assert str(refused.value).endswith("Nothing was taken in.")
    return str(refused.value)


def test_every_message_of_both_editions_is_a_field_with_its_points() -> None:
    fields = split(FIRST + EAST + NORTH)

    assert [(each.number, each.edition, each.points) for each in fields] == [(1, 1, 9), (2, 2, 9), (3, 2, 9)]
    assert [each.message for each in fields] == [FIRST, EAST, NORTH]


def test_a_message_with_two_fields_becomes_two_messages() -> None:
    fields = split(joined(EAST, NORTH))

    assert [each.message for each in fields] == [EAST, NORTH]


def test_a_field_that_shares_the_bitmap_before_it_carries_that_bitmap_itself() -> None:
    sharing = joined(HOLED, HOLED)
    last = sharing.rindex(HOLED[section(HOLED, 6) : section(HOLED, 7)])
    length = section(HOLED, 7) - section(HOLED, 6)
    sharing = sharing[:last] + (6).to_bytes(4, "big") + b"\x06\xfe" + sharing[last + length :]
    sharing = changed(sharing, 8, len(sharing).to_bytes(8, "big"))

    assert [each.message for each in split(sharing)] == [HOLED, HOLED]


def test_a_bulletin_heading_and_padding_are_let_by() -> None:
    heading = b"\x01\r\r\n042\r\r\nHTUK10 EGRR 141200\r\r\n"

    assert len(split(heading + EAST + b"\0\0\0" + NORTH + b"\r\r\n\x03")) == 2


REFUSED = {
    "empty": (b"", "This file holds no GRIB message."),
    "text": (b"hello", "This file holds no GRIB message."),
    "edition 3": (changed(EAST, 7, b"\x03"), "The GRIB message at byte 0 is of edition 3; 1 and 2 are read."),
    "edition 1 claimed for 2": (changed(EAST, 7, b"\x01"), "The GRIB message at byte 0"),
    "cut short": (EAST[:-10], f"The GRIB message at byte 0 says it is {len(EAST)} bytes long and the file has"),
    "cut inside the heading": (EAST[:6], "The GRIB message at byte 0 is of edition 0"),
    "length a lie": (changed(EAST, 8, (2**60).to_bytes(8, "big")), "The GRIB message at byte 0 says it is"),
    "length nothing": (changed(EAST, 8, bytes(8)), "The GRIB message at byte 0 says it is 0 bytes long"),
    "first edition over 8 MB": (changed(FIRST, 4, b"\xff"), "The GRIB message at byte 0 is larger than 8 MB"),
    "end missing": (changed(EAST, len(EAST) - 1, b"8"), "The GRIB message at byte 0 does not end as it should."),
    "second message spoilt": (EAST + b"GRIX" + NORTH[4:], f"From byte {len(EAST)} on there are {len(NORTH)} bytes"),
    "text behind": (EAST + b"a" * 129, f"From byte {len(EAST)} on there are 129 bytes that are no GRIB message."),
    "section too long": (changed(EAST, 16, b"\xff"), "The sections of the GRIB message at byte 0 do not fit into it."),
    "section number": (changed(EAST, section(EAST, 5) + 4, b"\x09"), "The sections of the GRIB message at byte 0"),
    "sections in another order": (changed(EAST, section(EAST, 5) + 4, b"\x03"), "The GRIB message at byte 0 has its"),
    "20,000 by 20,000": (
        changed(EAST, section(EAST, 3) + 6, (400_000_000).to_bytes(4, "big")),
        f"The GRIB message at byte 0 claims 400,000,000 points; from 1 to {MOST_POINTS:,} are read.",
    ),
    "a grid larger than its bits": (
        changed(EAST, section(EAST, 3) + 6, (1_000_000).to_bytes(4, "big")),
        f"The GRIB message at byte 0 claims 1,000,000 points in {len(EAST)} bytes.",
    ),
    "no points": (changed(EAST, section(EAST, 3) + 6, bytes(4)), "The GRIB message at byte 0 claims 0 points"),
    "columns a lie": (
        changed(EAST, section(EAST, 3) + 30, (5).to_bytes(4, "big")),
        "The GRIB message at byte 0 counts 9 points on a grid of 5 by 3.",
    ),
    "first edition, columns a lie": (
        changed(FIRST, 8 + FIRST[10] + 6, b"\xea\x60"),
        "The GRIB message at byte 0 claims 180,000 points in",
    ),
    "a bitmap that is not there": (
        changed(EAST, section(EAST, 6) + 5, b"\xfe"),
        "The GRIB message at byte 0 refers to a bitmap that is not there.",
    ),
    "too long": (b"\0" * (MOST_BYTES + 1), "This file is longer than 25 MB."),
    "too many fields": (EAST * (MOST_FIELDS + 1), f"This file holds more than {MOST_FIELDS:,} fields"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_a_file_that_is_broken_or_lies_is_refused_in_one_sentence(case: str) -> None:
    data, sentence = REFUSED[case]

    assert refusal(data).startswith(sentence)


def test_a_large_field_of_one_value_is_no_lie() -> None:
    columns, rows = 1_000, 500
    size = columns.to_bytes(4, "big") + rows.to_bytes(4, "big")
    wide = changed(EAST, section(EAST, 3) + 30, size)
    wide = changed(wide, section(EAST, 3) + 6, (columns * rows).to_bytes(4, "big"))
    constant = changed(wide, section(EAST, 5) + 19, b"\0")

    assert split(constant)[0].points == columns * rows
    assert refusal(wide).startswith("The GRIB message at byte 0 claims 500,000 points in")


@settings(max_examples=500)
@given(st.data())
def test_a_damaged_outside_never_raises_anything_but_a_refusal(data: st.DataObject) -> None:
    whole = FIRST + joined(HOLED, NORTH)
    spoilt = bytearray(whole)
    for place in data.draw(st.lists(st.integers(0, len(whole) - 1), min_size=1, max_size=4)):
        spoilt[place] = data.draw(st.integers(0, 255))
    cut = data.draw(st.integers(0, len(whole)))

    fields, sentence = tried(split, bytes(spoilt[:cut]))

    assert fields or sentence.endswith("Nothing was taken in.")
