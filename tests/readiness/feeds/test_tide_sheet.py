import math
from pathlib import Path

import pytest

from readiness.feeds.tide_sheet import LONGEST_CELL, MOST_BYTES, MOST_ROWS, numbers, read_sheet, shown
from vessel.errors import BadInput


def read(content: bytes) -> list[tuple[str, ...]]:
    return [row.cells for row in read_sheet(content, lambda header: "a" in header and "b" in header, "a and b").rows]


@pytest.mark.parametrize(
    "content",
    [
        b"a,b\n1,2\n3,4\n",
        b"\xef\xbb\xbfa,b\n1,2\n3,4",
        b"a;b\r\n1;2\r\n3;4\r\n",
        b"a\tb\r1\t2\r3\t4",
        b"# a note, with a comma\n\nA, B\n1,2\n\n3,4,\n,\n",
        b'"a","b"\n"1","2"\n"3","4"\n',
    ],
    ids=["plain", "byte order mark", "semicolons", "tabs and old line ends", "notes, blanks", "quotes"],
)
def test_sheets_of_every_make_give_the_same_cells(content: bytes) -> None:
    assert read(content) == [("1", "2"), ("3", "4")]


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "The file is empty."),
        (b"# only a note\n", "The file is empty."),
        ("a,b\n1,2\n".encode("utf-16"), "The file is UTF-16; save it as UTF-8 and try again."),
        (b"a,b\n1,2\n3,\0\n", "Line 3: The file holds a zero byte, so it is no plain text."),
        (b"a,b\n1,2\n\xe9,4\n", "Line 3: This is not UTF-8 text; save the file as UTF-8 and try again."),
        (b"a,c\n1,2\n", "Line 1: The columns a and b are needed; this header is 'a,c'."),
        (b"a,b\n", "Line 1: There is a header and no row under it."),
        (b"a,b,a\n1,2,3\n", "Line 1: Two columns are called 'a'."),
        (b"a,b\n1,2\n3\n", "Line 3: There are 1 cells where the header has 2."),
        (b"a,b\n1,2,3\n", "Line 2: There are 3 cells where the header has 2."),
        (b'a,b\n1,"2\n', "Line 2: The quotes or separators do not work out (unexpected end of data)."),
        (b"a,b\n1," + b"x" * (LONGEST_CELL + 1), "Line 2: A cell is longer than 10,000 characters."),
        (
            b"a,b," + b",".join(b"c%d" % i for i in range(99)) + b"\n1,2\n",
            "Line 1: There are 101 columns; 100 is the most.",
        ),
    ],
)
def test_what_is_wrong_is_said_with_its_line(content: bytes, sentence: str) -> None:
    with pytest.raises(BadInput) as refusal:
        read(content)

    assert str(refusal.value) == f"{sentence} Nothing was taken in."


def test_a_cell_of_exactly_the_longest_length_is_read() -> None:
    assert len(read(b"a,b\n1," + b"x" * LONGEST_CELL)[0][1]) == LONGEST_CELL


def test_a_huge_quoted_cell_is_refused() -> None:
    with pytest.raises(BadInput, match="Line 2: The quotes or separators do not work out"):
        read(b'a,b\n1,"' + b"x" * 9_000_000 + b'"\n')


@pytest.mark.parametrize(("rows", "refused"), [(MOST_ROWS, False), (MOST_ROWS + 1, True)])
def test_rows_are_limited(rows: int, refused: bool) -> None:
    content = b"a,b\n" + b"1,2\n" * rows

    if refused:
        with pytest.raises(BadInput, match="more than 200,000 rows"):
            read(content)
    else:
        assert len(read(content)) == rows


def test_size_is_limited() -> None:
    with pytest.raises(BadInput, match="larger than 10 MB"):
        read(b" " * (MOST_BYTES + 1))


def test_a_file_that_cannot_be_opened_is_refused(tmp_path: Path) -> None:
    for path in (tmp_path, tmp_path / "none.csv", "no\0name"):
        with pytest.raises(BadInput, match="was not read"):
            read_sheet(path, lambda _: True, "any")


@pytest.mark.parametrize(
    ("cells", "values"),
    [
        (["1.5", "-2", ".5"], [1.5, -2.0, 0.5]),
        (["1,5", "-2", "0,25"], [1.5, -2.0, 0.25]),
        (["1,234", "0,5"], [1.234, 0.5]),
        (["0,123"], [0.123]),
        (["1e-3", "+4"], [0.001, 4.0]),
    ],
)
def test_numbers_are_read_with_a_point_or_a_settled_decimal_comma(cells: list[str], values: list[float]) -> None:
    sheet = read_sheet(("a;b\n" + "".join(f"{cell};x\n" for cell in cells)).encode(), lambda h: len(h) == 2, "")

    assert numbers(sheet, "a") == values


@pytest.mark.parametrize(
    ("cells", "sentence"),
    [
        (
            ["1,234"],
            "Line 2, column a: Is '1,234' a decimal comma or a comma between thousands? Write it with a point.",
        ),
        (["1,5", "1.5"], "Line 3, column a: '1.5' has a decimal point, other rows have a decimal comma."),
        (["1,2,3"], "Line 2, column a: '1,2,3' is not a number."),
        ([""], "Line 2, column a: There is no number."),
        (["nan"], "Line 2, column a: 'nan' is not a number."),
        (["inf"], "Line 2, column a: 'inf' is not a number."),
        (["1_0"], "Line 2, column a: '1_0' is not a number."),
        (["٣"], "Line 2, column a: '٣' is not a number."),
        (["1e999"], "Line 2, column a: '1e999' is not a number."),
        (["9" * 60], f"Line 2, column a: {shown('9' * 60)} is not a number."),
    ],
)
def test_what_is_no_clear_number_is_refused(cells: list[str], sentence: str) -> None:
    sheet = read_sheet(("a;b\n" + "".join(f"{cell};x\n" for cell in cells)).encode(), lambda h: len(h) == 2, "")

    with pytest.raises(BadInput) as refusal:
        numbers(sheet, "a")

    assert str(refusal.value) == f"{sentence} Nothing was taken in."


def test_a_blank_number_is_not_known_where_it_may_be_blank() -> None:
    sheet = read_sheet(b"a,b\n,x\n1,x\n", lambda _: True, "")

    assert math.isnan(numbers(sheet, "a", may_be_blank=True)[0])
