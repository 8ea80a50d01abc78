"""Latitude and longitude as people type and read them: "46 30.5 N", "46°30'30\\"N", "N46.508", "-14.2".

A letter of the other axis, a sign beside a letter and minutes past 59 are refused, never guessed at.
"""

import math
import re
from typing import Literal

from vessel.calc.wording import NOT_KNOWN, is_known, one_line
from vessel.errors import BadInput
from vessel.units import Degrees

Axis = Literal["latitude", "longitude"]

LETTERS = {"latitude": "NS", "longitude": "EW"}
FARTHEST = {"latitude": 90.0, "longitude": 180.0}
EXAMPLE = {"latitude": "46 30.5 N", "longitude": "14 12.3 W"}
LONGEST = 40
WRITTEN = re.compile(
    r"""^\s*(?P<before>[NSEW])?\s*(?P<sign>[-+−])?\s*
    (?P<degrees>\d{1,3}(?:[.,]\d+)?)\s*°?
    (?:[\s:]*(?P<minutes>\d{1,2}(?:[.,]\d+)?)\s*['′’]?
      (?:[\s:]*(?P<seconds>\d{1,2}(?:[.,]\d+)?)\s*(?:["″”]|''|′′)?)?)?
    \s*(?P<after>[NSEW])?\s*$""",
    re.VERBOSE | re.IGNORECASE,
)


def parse_angle(typed: str, axis: Axis) -> float:
    """Degrees, north and east positive, of one coordinate that was typed. Raises BadInput with an example.

    Source: [practice]
    """
    typed = one_line(typed)
    match = WRITTEN.match(typed) if len(typed) <= LONGEST else None
    if match is None:
        raise BadInput(f"“{typed[:LONGEST]}” is not a {axis}: write it like {EXAMPLE[axis]}.")
    letter = (match["before"] or "") + (match["after"] or "")
    if len(letter) > 1 or (letter and match["sign"]):
        raise BadInput(f"“{typed}” says its side twice: write it like {EXAMPLE[axis]}.")
    if letter and letter.upper() not in LETTERS[axis]:
        raise BadInput(f"“{typed}” is not a {axis}, which ends in {' or '.join(LETTERS[axis])}.")
    angle = _angle(match, typed)
    if angle > FARTHEST[axis]:
        raise BadInput(f"“{typed}”: a {axis} goes no farther than {FARTHEST[axis]:.0f}°.")
    return -angle if letter.upper() in {"S", "W"} or match["sign"] in {"-", "−"} else angle


def _angle(match: re.Match[str], typed: str) -> float:
    parts = [match[name] for name in ("degrees", "minutes", "seconds")]
    given = [part.replace(",", ".") for part in parts if part is not None]
    if any("." in part for part in given[:-1]):
        raise BadInput(f"“{typed}”: only the last figure may have decimals.")
    figures = [float(part) for part in given]
    if any(figure >= 60 for figure in figures[1:]):
        raise BadInput(f"“{typed}”: minutes and seconds stay below 60.")
    return math.fsum(figure / (1.0, 60.0, 3600.0)[place] for place, figure in enumerate(figures))


def latitude(deg: Degrees | None) -> str:
    """A latitude to a hundredth of a minute, "46°30.50′ N".

    Source: [own]
    """
    return _written(deg, "latitude", 2)


def longitude(deg: Degrees | None) -> str:
    """A longitude to a hundredth of a minute, "014°12.30′ W"; 180 is east.

    Source: [own]
    """
    return _written(deg, "longitude", 3)


def _written(deg: Degrees | None, axis: Axis, figures: int) -> str:
    if deg is None or not is_known(deg):
        return NOT_KNOWN
    hundredths = math.floor(abs(float(deg)) * 6000 + 0.5)
    degrees, rest = divmod(hundredths, 6000)
    letter = LETTERS[axis][1 if float(deg) < 0 and hundredths else 0]
    return f"{degrees:0{figures}d}°{rest / 100:05.2f}′ {letter}"
