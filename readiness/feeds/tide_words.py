"""How files say high and low water."""

import re

from readiness.feeds.tide_sheet import Row, Sheet, refuse, shown

_KINDS = {
    **dict.fromkeys(("h", "hw", "high", "high_water"), True),
    **dict.fromkeys(("l", "lw", "low", "low_water"), False),
}


def is_high(row: Row, sheet: Sheet, column: str) -> bool:
    """Whether the row says high water. Raises BadInput for anything but high and low."""
    word = row.cells[sheet.place(column)]
    kind = _KINDS.get(re.sub(r"\s+", "_", word.lower()))
    if kind is None:
        raise refuse(f"{shown(word)} is neither H nor L.", row.line, column)
    return kind
