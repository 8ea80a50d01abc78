"""A CSV file from a stranger as a sheet of cells, each findable by line and column. Knows nothing of tides.

UTF-8 with or without a byte order mark; commas, semicolons or tabs; lines starting with # before the header are
notes. Whatever is odd is refused in one sentence and nothing is guessed.
"""

import csv
import io
import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from vessel.errors import BadInput

MOST_BYTES = 10_000_000
MOST_ROWS = 200_000
MOST_COLUMNS = 100
LONGEST_CELL = 10_000
SEPARATORS = (",", ";", "\t")
NOTHING = "Nothing was taken in."
_NUMBER = re.compile(r"[+-]?(\d{1,15}(\.\d{0,15})?|\.\d{1,15})([eE][+-]?\d{1,2})?", re.ASCII)
_MAYBE_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}", re.ASCII)

Source = bytes | str | Path


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the file: its number, counted from 1, and its cells."""

    line: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """Header cells in lower case without blanks, and the rows under them, none empty."""

    header: tuple[str, ...]
    rows: tuple[Row, ...]

    def place(self, name: str) -> int:
        """Which column bears this name."""
        return self.header.index(name)


def refuse(what: str, line: int | None = None, column: str | None = None) -> BadInput:
    """The sentence for something wrong at a line and a column."""
    where = ", ".join(part for part in (f"line {line}" if line else "", f"column {column}" if column else "") if part)
    return BadInput(f"{where[:1].upper()}{where[1:]}: {what} {NOTHING}" if where else f"{what} {NOTHING}")


def shown(text: str) -> str:
    """A stranger's text cut to a length one can read aloud, quoted."""
    return repr(text if len(text) <= 40 else f"{text[:40]}…")


def bytes_of(source: Source) -> bytes:
    """The content, at most MOST_BYTES of it. Raises BadInput."""
    if isinstance(source, bytes):
        content = source
    else:
        try:
            with Path(source).open("rb") as file:
                content = file.read(MOST_BYTES + 1)
        except (OSError, ValueError) as reason:
            why = getattr(reason, "strerror", None) or "it cannot be opened"
            raise refuse(f"The file {shown(str(source))} was not read: {why}.") from reason
    if len(content) > MOST_BYTES:
        raise refuse(f"The file is larger than {MOST_BYTES // 1_000_000} MB.")
    return content


def text_of(content: bytes) -> str:
    """The text of a UTF-8 file with all line ends alike. Raises BadInput."""
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise refuse("The file is UTF-16; save it as UTF-8 and try again.")
    if b"\0" in content:
        raise refuse(
            "The file holds a zero byte, so it is no plain text.", content[: content.index(b"\0")].count(b"\n") + 1
        )
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as reason:
        line = content[: reason.start].count(b"\n") + 1
        raise refuse("This is not UTF-8 text; save the file as UTF-8 and try again.", line) from reason
    return text.replace("\r\n", "\n").replace("\r", "\n")


def read_sheet(source: Source, is_header: Callable[[tuple[str, ...]], bool], needed: str) -> Sheet:
    """Split a CSV file with the separator whose header `is_header` knows; `needed` names the columns in the refusal.

    Raises BadInput naming the line.
    """
    text = text_of(bytes_of(source))
    lines = text.split("\n")
    notes = next((i for i, line in enumerate(lines) if line.strip() and not line.startswith("#")), len(lines))
    if notes == len(lines):
        raise refuse("The file is empty.")
    for separator in SEPARATORS:
        header = _header(lines[notes], separator)
        if is_header(header):
            return _split("\n".join(lines[notes:]), separator, notes, header)
    raise refuse(f"The columns {needed} are needed; this header is {shown(lines[notes])}.", notes + 1)


def _header(line: str, separator: str) -> tuple[str, ...]:
    try:
        cells = next(csv.reader([line], delimiter=separator, strict=True), [])
    except csv.Error:
        return ()
    return tuple(re.sub(r"\s+", "_", cell.strip()).lower() for cell in cells)


def _split(text: str, separator: str, notes: int, header: tuple[str, ...]) -> Sheet:
    if len(header) > MOST_COLUMNS:
        raise refuse(f"There are {len(header)} columns; {MOST_COLUMNS} is the most.", notes + 1)
    named = [name for name in header if name]
    if len(set(named)) < len(named):
        twice = next(name for name in named if named.count(name) > 1)
        raise refuse(f"Two columns are called {shown(twice)}.", notes + 1)
    rows: list[Row] = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    try:
        next(reader)
        for cells in reader:
            line = notes + reader.line_num
            if any(cell.strip() for cell in cells):
                rows.append(Row(line, _checked(cells, line, len(header))))
            if len(rows) > MOST_ROWS:
                raise refuse(f"There are more than {MOST_ROWS:,} rows.", line)
    except csv.Error as reason:
        raise refuse(f"The quotes or separators do not work out ({reason}).", notes + reader.line_num) from reason
    if not rows:
        raise refuse("There is a header and no row under it.", notes + 1)
    return Sheet(header, tuple(rows))


def _checked(cells: list[str], line: int, width: int) -> tuple[str, ...]:
    if any(len(cell) > LONGEST_CELL for cell in cells):
        raise refuse(f"A cell is longer than {LONGEST_CELL:,} characters.", line)
    if len(cells) < width or any(cell.strip() for cell in cells[width:]):
        raise refuse(f"There are {len(cells)} cells where the header has {width}.", line)
    return tuple(cell.strip() for cell in cells[:width])


def numbers(sheet: Sheet, column: str, *, may_be_blank: bool = False) -> list[float]:
    """All numbers of a column, NaN for a blank one that may be.

    Raises BadInput, also where a comma may be a decimal comma or may part thousands.
    """
    place = sheet.place(column)
    cells = [row.cells[place] for row in sheet.rows]
    commas = [cell for cell in cells if "," in cell]
    if commas and all(_MAYBE_THOUSANDS.fullmatch(cell) for cell in commas):
        first = next(row for row in sheet.rows if "," in row.cells[place])
        raise refuse(
            f"Is {shown(first.cells[place])} a decimal comma or a comma between thousands? Write it with a point.",
            first.line,
            column,
        )
    return [
        math.nan if may_be_blank and not row.cells[place] else _number(row, place, column, decimal_comma=bool(commas))
        for row in sheet.rows
    ]


def _number(row: Row, place: int, column: str, *, decimal_comma: bool) -> float:
    cell = row.cells[place]
    if not cell:
        raise refuse("There is no number.", row.line, column)
    if decimal_comma and "." in cell:
        raise refuse(f"{shown(cell)} has a decimal point, other rows have a decimal comma.", row.line, column)
    plain = cell.replace(",", ".", 1) if decimal_comma else cell
    if not _NUMBER.fullmatch(plain):
        raise refuse(f"{shown(cell)} is not a number.", row.line, column)
    return float(plain)
