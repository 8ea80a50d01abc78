"""Routes from GPX 1.1; writing them is in `gpx_out`.

The file is a stranger: no DTD, no entities, own limits on size, depth and points. Only what a plan needs is
kept: waypoints, routes and their names. A track tells where somebody went: it is counted, and its line kept apart.

Source of the format: [gpx11].
"""

import math
import re
from collections import Counter
from dataclasses import dataclass, field
from xml.parsers import expat

from vessel.calc.wording import counted
from vessel.errors import BadInput

NAMESPACES = {
    "http://www.topografix.com/GPX/1/0": "1.0",
    "http://www.topografix.com/GPX/1/1": "1.1",
    "": None,
}
MOST_BYTES = 10_000_000
MOST_POINTS = 100_000
MOST_ROUTES = 1_000
DEEPEST = 32
MOST_ELEMENTS = 1_000_000
MOST_WORDS = 1_000
LONGEST_NAME = 200
LONGEST_NUMBER = 400
CHUNK = 65_536
LONGEST_TAG = 2 * CHUNK
NOTHING = "Nothing was taken in."
POINTS = ("gpx/wpt", "gpx/rte/rtept", "gpx/trk/trkseg/trkpt")
NAMES = ("gpx/wpt/name", "gpx/rte/name", "gpx/rte/rtept/name", "gpx/trk/name")
KNOWN = frozenset({"gpx", "gpx/rte", "gpx/trk", "gpx/trk/trkseg", *POINTS, *NAMES})
DECIMAL = re.compile(r"\s*[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d{1,3})?\s*", re.ASCII)


@dataclass(frozen=True, slots=True)
class GpxPoint:
    """One waypoint or route point on WGS 84; north and east positive."""

    lat: float
    lon: float
    name: str | None = None


@dataclass(frozen=True, slots=True)
class GpxRoute:
    """An ordered line of points somebody means to follow."""

    name: str | None
    points: tuple[GpxPoint, ...]


@dataclass(frozen=True, slots=True)
class GpxFile:
    """What a GPX file holds. `tracks`: for each track the number of points in each of its segments.

    `lines`: each track as one line, its segments joined.
    """

    version: str | None
    creator: str | None
    waypoints: tuple[GpxPoint, ...]
    routes: tuple[GpxRoute, ...]
    tracks: tuple[tuple[int, ...], ...]
    warnings: tuple[str, ...] = ()
    ignored: tuple[str, ...] = ()
    lines: tuple[GpxRoute, ...] = ()


def read_route(data: bytes) -> GpxFile:
    """Read a GPX 1.1 file (1.0 with a warning).

    Raises BadInput with one sentence that names the line; a file is taken whole or not at all.
    """
    if len(data) > MOST_BYTES:
        raise BadInput(f"This file is longer than {MOST_BYTES // 1_000_000} MB. {NOTHING}")
    reader = _Reader()
    try:
        reader.read(data)
    except expat.ExpatError as error:
        reason = expat.ErrorString(error.code)
        raise BadInput(f"Line {error.lineno}: this is not sound XML ({reason}). {NOTHING}") from error
    except (LookupError, ValueError) as error:
        # pyexpat asks Python for encodings it does not know itself
        raise BadInput(f"Line 1: the file says it is in an encoding that cannot be read. {NOTHING}") from error
    return reader.whole()


@dataclass(slots=True)
class _Route:
    name: str | None = None
    points: list[GpxPoint] = field(default_factory=list)


class _Reader:
    """Pulls the file through without ever building a tree."""

    def __init__(self) -> None:
        self.parser = expat.ParserCreate(namespace_separator=" ")
        self.parser.buffer_text = True
        self.parser.StartDoctypeDeclHandler = self._doctype
        self.parser.StartElementHandler = self._start
        self.parser.EndElementHandler = self._end
        self.parser.CharacterDataHandler = self._text
        self.path: list[str] = []
        self.texts: list[str] = []
        self.namespace = ""
        self.version: str | None = None
        self.creator: str | None = None
        self.waypoints: list[GpxPoint] = []
        self.routes: list[_Route] = []
        self.tracks: list[list[int]] = []
        self.lines: list[_Route] = []
        self.points = 0
        self.elements = 0
        self.words: set[str] = set()
        self.cut_names = 0
        self.ignored: Counter[str] = Counter()

    def read(self, data: bytes) -> None:
        """Feed the parser bit by bit; a tag that will not end is refused before it costs anything."""
        for start in range(0, max(len(data), 1), CHUNK):
            end = start + CHUNK
            self.parser.Parse(data[start:end], end >= len(data))
            if end - self.parser.CurrentByteIndex > LONGEST_TAG + CHUNK:
                raise self._refuse(f"a tag or remark is longer than {LONGEST_TAG:,} bytes.")

    def _refuse(self, reason: str) -> BadInput:
        return BadInput(f"Line {self.parser.CurrentLineNumber}: {reason} {NOTHING}")

    def _doctype(self, *_: object) -> None:
        raise self._refuse("a document type (DTD) is not taken, whatever it says.")

    def _start(self, tag: str, attributes: dict[str, str]) -> None:
        self._count(tag, attributes)
        namespace, _, name = tag.rpartition(" ")
        if len(self.path) >= DEEPEST:
            raise self._refuse(f"elements are nested more than {DEEPEST} deep.")
        if not self.path:
            self._open(namespace, name, attributes)
        above = self.path[-1] if self.path else ""
        here = f"{above}/{name}".lstrip("/") if namespace == self.namespace else "foreign"
        known = here in KNOWN
        if not known and above in KNOWN:
            self.ignored[name] += 1
        self.path.append(here if known else "foreign")
        self.texts = []
        if known:
            self._take(here, attributes)

    def _count(self, tag: str, attributes: dict[str, str]) -> None:
        self.elements += 1
        self.words.add(tag)
        self.words.update(attributes)
        if self.elements > MOST_ELEMENTS:
            raise self._refuse(f"the file holds more than {MOST_ELEMENTS:,} elements.")
        if len(self.words) > MOST_WORDS:
            raise self._refuse(f"the file uses more than {MOST_WORDS:,} different names of elements.")

    def _open(self, namespace: str, name: str, attributes: dict[str, str]) -> None:
        if name != "gpx" or namespace not in NAMESPACES:
            raise self._refuse(f"the file begins with {name[:40]!r}, so it is not GPX 1.0 or 1.1.")
        self.namespace = namespace
        self.version = attributes.get("version", NAMESPACES[namespace])
        self.creator = attributes.get("creator", "")[:LONGEST_NAME] or None
        if self.version not in {"1.0", "1.1", None}:
            raise self._refuse(f"this is GPX version {self.version[:20]!r}; 1.1 and 1.0 are read.")

    def _take(self, here: str, attributes: dict[str, str]) -> None:
        if here in POINTS:
            self._point(here, attributes)
        elif here == "gpx/rte":
            self.routes.append(_Route())
        elif here == "gpx/trk":
            self.tracks.append([])
            self.lines.append(_Route())
        elif here == "gpx/trk/trkseg":
            self.tracks[-1].append(0)
        if len(self.routes) > MOST_ROUTES:
            raise self._refuse(f"the file holds more than {MOST_ROUTES:,} routes.")

    def _point(self, here: str, attributes: dict[str, str]) -> None:
        self.points += 1
        if self.points > MOST_POINTS:
            raise self._refuse(f"the file holds more than {MOST_POINTS:,} points.")
        point = GpxPoint(self._degrees("latitude", attributes, 90), self._degrees("longitude", attributes, 180))
        if here == "gpx/wpt":
            self.waypoints.append(point)
        elif here == "gpx/rte/rtept":
            self.routes[-1].points.append(point)
        else:
            self.tracks[-1][-1] += 1
            self.lines[-1].points.append(point)

    def _degrees(self, what: str, attributes: dict[str, str], most: float) -> float:
        text = attributes.get(what[:3])
        if text is None:
            raise self._refuse(f"a point has no {what}.")
        value = float(text) if len(text) <= LONGEST_NUMBER and DECIMAL.fullmatch(text) else math.nan
        if not abs(value) <= most:
            raise self._refuse(f"{what} {text[:40]!r} is not a number from -{most} to {most}.")
        return value

    def _text(self, text: str) -> None:
        if self.path[-1] in NAMES:
            self.texts.append(text)

    def _end(self, _tag: str) -> None:
        here = self.path.pop()
        if here in NAMES:
            self._name(here, "".join(self.texts).strip())
        self.texts = []

    def _name(self, here: str, text: str) -> None:
        if len(text) > LONGEST_NAME:
            self.cut_names += 1
        name = text[:LONGEST_NAME].rstrip() or None
        if here in ("gpx/rte/name", "gpx/trk/name"):
            (self.routes if here == "gpx/rte/name" else self.lines)[-1].name = name
            return
        points = self.waypoints if here == "gpx/wpt/name" else self.routes[-1].points
        points[-1] = GpxPoint(points[-1].lat, points[-1].lon, name)

    def whole(self) -> GpxFile:
        return GpxFile(
            version=self.version,
            creator=self.creator,
            waypoints=tuple(self.waypoints),
            routes=tuple(GpxRoute(route.name, tuple(route.points)) for route in self.routes),
            lines=tuple(GpxRoute(line.name, tuple(line.points)) for line in self.lines),
            tracks=tuple(tuple(segments) for segments in self.tracks),
            warnings=tuple(self._warnings()),
            ignored=tuple(f"{name}: {count}" for name, count in sorted(self.ignored.items())),
        )

    def _warnings(self) -> list[str]:
        said = {
            "The file is the older GPX 1.0; it was read as far as the two agree.": self.version == "1.0",
            "The file does not say which version of GPX it is; it was read as 1.1.": self.version is None,
            "The file holds no route.": not self.routes,
            "A route of fewer than two points leads nowhere.": any(len(r.points) < 2 for r in self.routes),
            "Tracks tell where somebody went, not a plan: counted, not taken in.": bool(self.tracks),
            f"Cut to {LONGEST_NAME} characters: {counted(self.cut_names, 'name')}.": self.cut_names > 0,
        }
        return [sentence for sentence, holds in said.items() if holds]
