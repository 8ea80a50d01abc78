"""A bulletin for an area, as a skipper types it down from the radio: plain lines, each beginning with what it is about.

    issued 2027-05-14T16:00Z
    source coast radio
    area Outer Sound, 49.5 N 6.0 W to 51.0 N 3.5 W
    from 2027-05-14T18:00Z to 2027-05-15T06:00Z
    wind southwest 4 or 5, increasing 6 later
    gusts 30 kn
    sea moderate, occasionally rough
    swell west 2 m, 9 s
    weather rain, thundery showers later
    visibility good, occasionally poor
    next 24 h
    wind west 5
    sea slight or moderate
    visibility good

An area is two corners, or one place, believed within 20 miles of it. A wind is a force, or a speed with its unit. Of
every band the worse end counts: the strongest wind, the highest sea, the least visibility. A word that is not known is
asked about by line and word; nothing is guessed. A line that begins with # is a note.
"""

import math
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from readiness.feeds.forecast import ForecastFile, believed
from readiness.feeds.forecast_layout import utc
from readiness.feeds.forecast_periods import SHORTEST_S, Period, rows_of
from readiness.feeds.forecast_weather import hides, thunder, weather_words
from readiness.feeds.forecast_words import Piece, Subject, pieces_of, refuse
from readiness.feeds.tide_sheet import shown, text_of
from vessel.units import HOUR

MOST_BYTES = 20_000
MOST_PERIODS = 40
SUBJECTS: dict[str, Subject] = {
    "wind": "wind",
    "winds": "wind",
    "gust": "gusts",
    "gusts": "gusts",
    "sea": "sea",
    "sea state": "sea",
    "swell": "swell",
    "visibility": "visibility",
}
LINES = ("issued", "source", "area", "from", "next", *SUBJECTS, "weather")
_LINE = re.compile(r"(sea state|[a-z]+)(?:\s*:\s*|\s+)(.*)", re.IGNORECASE | re.ASCII | re.DOTALL)
_POINT = r"(\d{1,2}(?:\.\d{1,6})?)\s*°?\s*([NS])[\s,]+(\d{1,3}(?:\.\d{1,6})?)\s*°?\s*([EW])"
_AREA = re.compile(rf"(?:(\D*?)[\s,]+)?{_POINT}(?:\s+to\s+{_POINT})?", re.IGNORECASE | re.ASCII)
_FROM = re.compile(r"(.{1,40}?)\s+to\s+(.{1,40})", re.IGNORECASE)
_NEXT = re.compile(r"(\d{1,3})\s*(?:h|hours?)", re.IGNORECASE | re.ASCII)


@dataclass(slots=True)
class _Bulletin:
    source: str = ""
    issued_at: float = math.nan
    lat_deg: tuple[float, ...] = ()
    lon_deg: tuple[float, ...] = ()
    periods: list[Period] = field(default_factory=list)
    thunder: list[tuple[Period, int]] = field(default_factory=list)
    doubts: list[str] = field(default_factory=list)


def is_bulletin(data: bytes) -> bool:
    """Whether the first line that says something begins as a line of a bulletin and is no header of a table."""
    lines = data[:2000].replace(b"\0", b"").decode("utf-8-sig", "replace").splitlines()
    first = next((line.strip() for line in lines if line.strip() and not line.lstrip().startswith("#")), "")
    match = _LINE.fullmatch(first)
    return bool(match and match[1].lower() in LINES and match[2])


def read_bulletin(data: bytes, *, source: str = "") -> ForecastFile:
    """Read a typed bulletin. Raises BadInput with one sentence that names line and word."""
    if len(data) > MOST_BYTES:
        raise refuse(f"a bulletin of more than {MOST_BYTES:,} bytes is none that anybody typed.", 1)
    bulletin = _Bulletin(source=source)
    number = 0
    for number, line in enumerate(text_of(data).split("\n"), 1):
        if line.strip() and not line.lstrip().startswith("#"):
            _take(bulletin, line.strip(), number)
    return _file(bulletin, number)


def _take(bulletin: _Bulletin, line: str, number: int) -> None:
    match = _LINE.fullmatch(line)
    word = match[1].lower() if match else line.split(maxsplit=1)[0].lower()
    rest = match[2].strip().rstrip(".") if match else ""
    if word in SUBJECTS:
        _say(bulletin, SUBJECTS[word], pieces_of(rest, SUBJECTS[word], number), number)
    elif word in TAKERS:
        if not rest:
            raise refuse(f"nothing stands behind {shown(word)}.", number)
        TAKERS[word](bulletin, rest, number)
    else:
        raise refuse(f"{shown(word)} is no beginning of a line; it is one of {', '.join(LINES)}.", number)


def _say(bulletin: _Bulletin, subject: Subject, pieces: tuple[Piece, ...], line: int) -> None:
    period = _period(bulletin, line)
    if subject in period.said:
        raise refuse(f"the {subject} was said already in the period that begins on line {period.line}.", line)
    if subject == "wind":
        _check_direction(pieces, bulletin, line)
    period.said[subject] = pieces


def _check_direction(pieces: tuple[Piece, ...], bulletin: _Bulletin, line: int) -> None:
    first = pieces[0]
    if first.from_deg is None and first.band is not None and first.band.high > 0:
        raise refuse("from where is the wind? Write a direction, or variable.", line)
    if any(piece.from_deg is not None and math.isnan(piece.from_deg) for piece in pieces):
        bulletin.doubts.append(f"Line {line}: a wind without one direction counts as not known while it may blow.")


def _period(bulletin: _Bulletin, line: int) -> Period:
    if not bulletin.periods:
        raise refuse("for which time? Write a line such as: from 2027-05-14T18:00Z to 2027-05-15T06:00Z.", line)
    return bulletin.periods[-1]


def _take_issued(bulletin: _Bulletin, rest: str, line: int) -> None:
    if not math.isnan(bulletin.issued_at):
        raise refuse("the time of issue was given already.", line)
    bulletin.issued_at = utc(rest, line, "issued")


def _take_source(bulletin: _Bulletin, rest: str, line: int) -> None:
    if len(rest) > 100 or not rest.isprintable():
        raise refuse("the source is a name of at most 100 characters.", line)
    bulletin.source = rest


def _take_area(bulletin: _Bulletin, rest: str, line: int) -> None:
    if bulletin.lat_deg:
        raise refuse("this is a second area; take in one area at a time.", line)
    match = _AREA.fullmatch(rest)
    if match is None:
        raise refuse(f"{shown(rest)} holds no place such as 50.1 N 4.2 W, nor two corners with “to” between.", line)
    figures = match.groups()[1:]
    points = [_point(figures[start : start + 4], line) for start in (0, 4) if figures[start] is not None]
    lats, lons = sorted(lat for lat, _ in points), [lon for _, lon in points]
    west, east = lons[0], lons[-1]
    if len(points) == 2:
        # the smaller of the two areas between these meridians is meant
        east = west + ((east - west + 180) % 360 - 180)
        if lats[0] == lats[1] or west == east:
            raise refuse("the two corners are on one line and hold no area between them.", line)
    bulletin.lat_deg, bulletin.lon_deg = tuple(lats), tuple(sorted({west, east}))


def _point(figures: tuple[str, ...], line: int) -> tuple[float, float]:
    lat = float(figures[0]) * (-1 if figures[1].upper() == "S" else 1)
    lon = float(figures[2]) * (-1 if figures[3].upper() == "W" else 1)
    if abs(lat) > 90 or abs(lon) > 180:
        raise refuse(f"there is no place {figures[0]} {figures[1]} {figures[2]} {figures[3]}.", line)
    return lat, lon


def _take_from(bulletin: _Bulletin, rest: str, line: int) -> None:
    match = _FROM.fullmatch(rest)
    if match is None:
        raise refuse("a period is two times: from 2027-05-14T18:00Z to 2027-05-15T06:00Z.", line)
    _add_period(bulletin, utc(match[1], line, "from"), utc(match[2], line, "to"), line)


def _take_next(bulletin: _Bulletin, rest: str, line: int) -> None:
    match = _NEXT.fullmatch(rest)
    if match is None:
        raise refuse("write for how long, such as: next 24 h.", line)
    start = bulletin.periods[-1].end if bulletin.periods else bulletin.issued_at
    if math.isnan(start):
        raise refuse("next after what? Give the time of issue first.", line)
    _add_period(bulletin, start, start + int(match[1]) * HOUR, line)


def _add_period(bulletin: _Bulletin, start: float, end: float, line: int) -> None:
    if bulletin.periods and 0 <= start - bulletin.periods[-1].end < SHORTEST_S:
        start = bulletin.periods[-1].end
    if end < start + 10 * SHORTEST_S:
        raise refuse("the period is shorter than ten minutes, or ends before it begins.", line)
    if bulletin.periods and start < bulletin.periods[-1].end:
        raise refuse(f"the period begins before the one of line {bulletin.periods[-1].line} ends.", line)
    if len(bulletin.periods) == MOST_PERIODS:
        raise refuse(f"there are more than {MOST_PERIODS} periods.", line)
    bulletin.periods.append(Period(start, end, line))


def _take_weather(bulletin: _Bulletin, rest: str, line: int) -> None:
    words = weather_words(rest, line)
    period = _period(bulletin, line)
    if thunder(words):
        bulletin.thunder.append((period, line))
    if band := hides(words):
        period.said["weather"] = (Piece(band=band),)


TAKERS: dict[str, Callable[[_Bulletin, str, int], None]] = {
    "issued": _take_issued,
    "source": _take_source,
    "area": _take_area,
    "from": _take_from,
    "next": _take_next,
    "weather": _take_weather,
}


def _file(bulletin: _Bulletin, lines: int) -> ForecastFile:
    if not bulletin.lat_deg:
        raise refuse("the bulletin does not say for which area; write: area 50.1 N 4.2 W.", lines)
    if not any(period.said for period in bulletin.periods):
        raise refuse("the bulletin says nothing about wind, sea or visibility.", lines)
    times, variables = rows_of(bulletin.periods, bulletin.issued_at)
    grid = len(bulletin.lat_deg) > 1
    corners = (2, 2) if grid else (1,)
    return believed(
        ForecastFile(
            kind="text",
            layout="grid" if grid else "places",
            source=bulletin.source,
            issued_at=bulletin.issued_at,
            at=np.array(times),
            lat_deg=np.array(bulletin.lat_deg),
            lon_deg=np.array(bulletin.lon_deg),
            variables={
                name: np.multiply.outer(values, np.ones(corners))
                for name, values in variables.items()
                if not np.isnan(values).all()
            },
            warnings=tuple(_doubts(bulletin)),
        )
    )


def _doubts(bulletin: _Bulletin) -> list[str]:
    doubts = list(bulletin.doubts)
    if math.isnan(bulletin.issued_at):
        doubts.append("The bulletin does not say when it was issued: it has no age and is not fresh.")
    doubts += [f"Line {line}: thunder is forecast." for _, line in bulletin.thunder]
    doubts += [
        f"Line {period.line}: only the swell is told, not the sea, so the height of the waves is not known."
        for period in bulletin.periods
        if "swell" in period.said and "sea" not in period.said
    ]
    if any(before.end < after.start for before, after in pairwise(bulletin.periods)):
        doubts.append("The periods do not meet: nothing is known in between.")
    return doubts
