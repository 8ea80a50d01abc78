"""How each line of a bulletin was understood, while it is being typed; and the first thing that cannot be read."""

import math
from dataclasses import dataclass

from readiness.feeds.forecast_text import SUBJECTS, read_bulletin
from readiness.feeds.forecast_words import Piece, Subject, pieces_of
from readiness.feeds.tide_sheet import text_of
from vessel.calc.wording import compass_point, knots, metres, miles, number
from vessel.errors import BadInput
from vessel.feeds.limited import Reader
from vessel.units import HOUR

NO_DIRECTION = "from no one direction"


@dataclass(frozen=True, slots=True)
class EchoLine:
    """One line and what it comes to; `words` empty for a line that says when, where or by whom."""

    number: int
    text: str
    words: str


@dataclass(frozen=True, slots=True)
class Echo:
    """The lines that were understood, what is wrong first, "" for nothing, and the doubts about the whole."""

    lines: tuple[EchoLine, ...]
    refusal: str
    doubts: tuple[str, ...]


ECHO = Reader("readiness.feeds.forecast_echo.read_echo", Echo, "bulletin")


def read_echo(data: bytes) -> Echo:
    """Every line as far as it can be understood by itself. Raises BadInput for what is no text."""
    lines = [
        _line(number, line.strip())
        for number, line in enumerate(text_of(data).split("\n"), 1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    try:
        doubts, refusal = read_bulletin(data).warnings, ""
    except BadInput as reason:
        doubts, refusal = (), str(reason)
    return Echo(tuple(lines), refusal, doubts)


def _line(number: int, text: str) -> EchoLine:
    lowered = text.lower()
    name = next(
        (name for name in sorted(SUBJECTS, key=len, reverse=True) if lowered.startswith((f"{name} ", f"{name}:"))), ""
    )
    if not name:
        return EchoLine(number, text, "")
    subject = SUBJECTS[name]
    try:
        pieces = pieces_of(text[len(name) :].lstrip(" :").rstrip("."), subject, number)
    except BadInput as reason:
        return EchoLine(number, text, str(reason))
    return EchoLine(number, text, "; ".join(piece_words(piece, subject) for piece in pieces))


def piece_words(piece: Piece, subject: Subject) -> str:
    """One piece in words: how much, from where, how long the waves, and when it comes."""
    told = [_band(piece, subject), _direction(piece), _period(piece), _when(piece), "at times" if piece.passing else ""]
    return ", ".join(words for words in told if words)


def _band(piece: Piece, subject: Subject) -> str:
    if piece.band is None:
        return ""
    say = {"wind": knots, "gusts": knots, "visibility": miles}.get(subject, _sea)
    low, high = piece.band
    if math.isinf(high):
        return f"{say(low)} or more"
    return say(high) if low == high else f"{say(low).rsplit(' ', 1)[0]} to {say(high)}"


def _sea(height_m: float) -> str:
    return metres(height_m, 2)  # the words for a sea part at quarters of a metre


def _direction(piece: Piece) -> str:
    if piece.from_deg is None:
        return ""
    return NO_DIRECTION if math.isnan(piece.from_deg) else f"from {compass_point(piece.from_deg)}"


def _period(piece: Piece) -> str:
    if piece.period_s is None:
        return ""
    low, high = piece.period_s
    return f"every {number(low)} s" if low == high else f"every {number(low)} to {number(high)} s"


def _when(piece: Piece) -> str:
    low, high = (edge / HOUR for edge in piece.window)
    if math.isinf(high):
        later = f"from {number(low)} h after the issue on"
        return later if low else ("at some time" if piece.changes else "")
    return f"{number(low)} to {number(high)} h after the issue" if low else f"within {number(high)} h of the issue"
