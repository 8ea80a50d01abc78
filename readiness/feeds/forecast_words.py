"""What one line of a bulletin says ("southwest 4 or 5, increasing 6 later"), word by word; nothing is guessed.

A line falls into pieces: a wind, a sea or a visibility, each with the time it comes and whether it only comes at times.
"""

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

from readiness.calc.forecast_terms import (
    TIMINGS_S,
    VISIBILITIES,
    Band,
    direction_deg,
    middle_of,
    wind_band,
)
from readiness.calc.named_weather import ALSO_CALLED, FORCE_WORDS, SEA_WORDS, force_of_words, sea_of_words
from readiness.feeds.tide_sheet import NOTHING, shown
from vessel.errors import BadInput
from vessel.units import KNOT, NAUTICAL_MILE

Subject = Literal["wind", "gusts", "sea", "swell", "visibility", "weather"]
WHOLE = Band(0.0, math.inf)  # it may come at any time
LONGEST_LINE = 400

# How a unit is written, what it measures, and what one of it is in SI.
UNITS: Mapping[str, tuple[str, float]] = {
    **dict.fromkeys(("kn", "kt", "kts", "knot", "knots"), ("speed", KNOT)),
    "m/s": ("speed", 1.0),
    **dict.fromkeys(("m", "metre", "metres"), ("metres", 1.0)),
    **dict.fromkeys(("s", "sec", "seconds"), ("seconds", 1.0)),
    **dict.fromkeys(("nmi", "nm", "nautical miles"), ("miles", NAUTICAL_MILE)),
    "km": ("miles", 1000.0),
}
MEASURES: Mapping[Subject, frozenset[str]] = {
    "wind": frozenset({"speed"}),
    "gusts": frozenset({"speed"}),
    "sea": frozenset({"metres", "seconds"}),
    "swell": frozenset({"metres", "seconds"}),
    "visibility": frozenset({"metres", "miles"}),
    "weather": frozenset(),
}
# A word that is a question, with what to write instead.
WHICH = {"miles": "nmi", "mile": "nmi", "feet": "m", "ft": "m", "mph": "kn"}
CHANGES = frozenset(
    {"increasing", "decreasing", "rising", "easing", "backing", "veering", "becoming", "then", "moderating"}
)
PASSING = frozenset({"occasionally", "perhaps", "possibly", "locally", "at times", "in places"})
FILLING = frozenset(
    {"force", "from", "the", "a", "winds", "wind", "seas", "swell", "mainly", "generally", "at first", "and"}
)
JOINING = frozenset({"to", "or", "-"})
NO_DIRECTION = frozenset({"variable", "cyclonic"})
TOKEN = re.compile(r"\d+(?:\.\d+)?|[a-z]+/[a-z]+|[a-z]+(?:-[a-z]+)*|\S")
LONGEST_PHRASE = 3


@dataclass(frozen=True, slots=True)
class Piece:
    """One thing said: a band in SI, a direction, a period; None where it stays as it was before.

    `window`: seconds after the time of issue within which it comes. `passing`: what was before goes on beside it.
    A direction that is NaN is none at all ("variable").
    """

    band: Band | None = None
    from_deg: float | None = None
    period_s: Band | None = None
    window: Band = WHOLE
    changes: bool = False
    passing: bool = False

    @property
    def plain(self) -> bool:
        """Whether nothing is said about when and how it comes."""
        return not self.changes and not self.passing and self.window == WHOLE


Word = tuple[str, float | str]


def refuse(what: str, line: int) -> BadInput:
    """The sentence for something wrong on a line."""
    return BadInput(f"Line {line}: {what} {NOTHING}")


def pieces_of(text: str, subject: Subject, line: int) -> tuple[Piece, ...]:
    """The pieces of one line, in their order. Raises BadInput naming line and word."""
    if len(text) > LONGEST_LINE:
        raise refuse(f"it is longer than {LONGEST_LINE} characters.", line)
    if re.search(r"\d,\d", text):
        raise refuse("is the comma in a number a decimal comma? Write it with a point.", line)
    pieces: list[Piece] = []
    for chunk in _chunks(_named_once(list(_words(text, subject, line)), line)):
        piece = _piece(chunk, subject, line)
        if pieces and piece.plain and _adds_to(piece, pieces[-1]):
            pieces[-1] = _joined(pieces[-1], piece)
        else:
            pieces.append(piece)
    if not pieces or pieces[0].band is None:
        raise refuse(f"the {subject} begins without saying how much it is.", line)
    return tuple(pieces)


def _words(text: str, subject: Subject, line: int) -> Iterator[Word]:
    tokens = TOKEN.findall(text.lower())
    here, kind = 0, ""
    while here < len(tokens):
        for length in range(min(LONGEST_PHRASE, len(tokens) - here), 0, -1):
            word = _known(" ".join(tokens[here : here + length]), subject, after_number=kind == "number")
            if word is not None:
                break
        else:
            raise _unknown(tokens[here], subject, line)
        yield word
        kind = word[0]
        here += length


def _known(phrase: str, subject: Subject, *, after_number: bool) -> Word | None:
    """The class of a phrase and what it stands for; after a number "s" is seconds, else it is south."""
    if re.fullmatch(r"\d{1,6}(\.\d{1,3})?", phrase):
        return "number", float(phrase)
    classes: tuple[tuple[str, bool], ...] = (
        ("term", phrase in _terms(subject)),
        ("unit", after_number and phrase in UNITS and UNITS[phrase][0] in MEASURES[subject]),
        ("or less", phrase == "or less"),
        ("join", phrase in JOINING),
        ("change", phrase in CHANGES),
        ("passing", phrase in PASSING),
        ("timing", phrase in TIMINGS_S),
        ("fill", phrase in FILLING or phrase == "."),
        ("comma", phrase in {",", ";"}),
        ("no direction", phrase in NO_DIRECTION and subject == "wind"),
    )
    found = next((name for name, holds in classes if holds), None)
    if found is not None:
        return found, phrase
    direction = direction_deg(phrase) if subject in {"wind", "sea", "swell"} else None
    return None if direction is None else ("direction", direction)


def _terms(subject: Subject) -> Mapping[str, Band]:
    return TERMS[subject]


def _unknown(token: str, subject: Subject, line: int) -> BadInput:
    if token in WHICH:
        return refuse(f"{shown(token)} is not taken; write it in {WHICH[token]}.", line)
    return refuse(f"{shown(token)} is not a word known here for the {subject}.", line)


def _named_once(words: list[Word], line: int) -> list[Word]:
    """“Gale 8”: the name and the number after it are one, and must agree."""
    kept = []
    for word, after in pairwise([*words, ("end", "")]):
        force = force_of_words(str(word[1])) if word[0] == "term" else math.nan
        if math.isnan(force) or after[0] != "number":
            kept.append(word)
        elif after[1] != force:
            raise refuse(f"{shown(str(word[1]))} is force {force:g}, and {after[1]:g} stands behind it.", line)
    return kept


def _chunks(words: list[Word]) -> Iterator[list[Word]]:
    """Words up to a comma, or up to one that begins something new."""
    chunk: list[Word] = []
    for word in words:
        kind, text = word
        starts = kind == "change" or (kind == "passing" and text not in {"at times", "in places"})
        if kind == "comma" or (starts and any(each not in {"fill", "change", "passing"} for each, _ in chunk)):
            if chunk:
                yield chunk
            chunk = []
        if kind != "comma":
            chunk.append(word)
    if chunk:
        yield chunk


def _piece(chunk: list[Word], subject: Subject, line: int) -> Piece:
    directions = [float(value) for kind, value in chunk if kind == "direction"]
    nowhere = any(kind == "no direction" for kind, _ in chunk)
    timings = [TIMINGS_S[str(value)] for kind, value in chunk if kind == "timing"]
    if len(directions) > 2 or len(timings) > 1 or (nowhere and directions):
        raise refuse(f"too much is said about the {subject} between two commas.", line)
    bands = dict(_bands(chunk, subject, line))
    if "or less" in {kind for kind, _ in chunk} and "band" in bands:
        bands["band"] = Band(0.0, bands["band"].high)
    piece = Piece(
        band=bands.get("band"),
        from_deg=math.nan if nowhere else (middle_of(directions[0], directions[-1]) if directions else None),
        period_s=bands.get("seconds"),
        window=timings[0] if timings else WHOLE,
        changes=any(kind == "change" for kind, _ in chunk),
        passing=any(kind == "passing" for kind, _ in chunk),
    )
    if (piece.band, piece.from_deg, piece.period_s) == (None, None, None):
        raise refuse(f"a word about the {subject} says when or how, and not what comes.", line)
    return piece


def _bands(chunk: list[Word], subject: Subject, line: int) -> Iterator[tuple[str, Band]]:
    """Each run of numbers with its unit, and of words that stand for a band."""
    said: set[str] = set()
    for run, unit in _runs(chunk, line):
        measure = UNITS[unit][0] if unit else "force"
        name = "seconds" if measure == "seconds" else "band"
        if name in said:
            raise refuse(f"the {subject} is given twice between two commas.", line)
        said.add(name)
        yield name, _band(run, unit, subject, line)


def _runs(chunk: list[Word], line: int) -> Iterator[tuple[list[Word], str]]:
    """“2 m to 3 m 9 s”: numbers that belong together, with their unit."""
    run: list[Word] = []
    unit, joined = "", False
    for kind, value in [*chunk, ("end", "")]:
        if kind == "unit":
            if unit and UNITS[unit] != UNITS[str(value)]:
                raise refuse(f"{shown(unit)} and {shown(str(value))} stand in one band.", line)
            unit = str(value)
        elif kind in {"join", "fill", "or less"}:
            joined = joined or kind == "join"
        elif run and not (joined or (kind in {"number", "term"} and not unit)):
            yield run, unit
            run, unit = [], ""
        if kind in {"number", "term"}:
            run.append((kind, value))
            joined = False
    if run:
        yield run, unit


def _band(run: list[Word], unit: str, subject: Subject, line: int) -> Band:
    if not 1 <= len(run) <= 2:
        raise refuse(f"a band of the {subject} is one figure or two, not {len(run)}.", line)
    bands = [_single(word, unit, subject, line) for word in run]
    if bands[-1].low < bands[0].low and all(kind == "number" for kind, _ in run):
        raise refuse(f"the band of the {subject} runs from more to less; write the lower figure first.", line)
    return Band(min(band.low for band in bands), max(band.high for band in bands))


def _single(word: Word, unit: str, subject: Subject, line: int) -> Band:
    kind, value = word
    if kind == "term":
        if unit:
            raise refuse(f"{shown(str(value))} takes no unit.", line)
        return _terms(subject)[str(value)]
    number = float(value)
    if unit:
        scale = UNITS[unit][1]
        return Band(number * scale, number * scale)
    if subject not in {"wind", "gusts"}:
        raise refuse(f"in which unit is {number:g}? Write it after the number.", line)
    if number not in range(len(FORCE_WORDS)):
        raise refuse(f"is {number:g} in knots? Write {number:g} kn; a bare number is a force from 0 to 12.", line)
    return wind_band(int(number))


def _adds_to(piece: Piece, before: Piece) -> bool:
    """Whether every thing said was left open by the piece before."""
    given = ((piece.band, before.band), (piece.from_deg, before.from_deg), (piece.period_s, before.period_s))
    return all(new is None or old is None for new, old in given)


def _joined(before: Piece, piece: Piece) -> Piece:
    return replace(
        before,
        band=before.band or piece.band,
        from_deg=before.from_deg if piece.from_deg is None else piece.from_deg,
        period_s=before.period_s or piece.period_s,
    )


WINDS = {name: wind_band(int(force_of_words(name))) for name in (*FORCE_WORDS, *ALSO_CALLED)}
SEAS = tuple(name.split(",")[0] for name in SEA_WORDS)
TERMS: Mapping[Subject, Mapping[str, Band]] = {
    "wind": WINDS,
    "gusts": WINDS,
    "sea": {name: Band(*map(float, sea_of_words(name))) for name in SEAS},
    "swell": {},
    "visibility": VISIBILITIES,
    "weather": {},
}
