"""Names on a chart, each beside its point where it hides no other name and no other point; else left to the table."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

LETTER_PX = 6.7  # at 12 px, on the wide side
LINE_PX = 14.0
POINT_PX = 9.0  # half of what a point takes
LINE_HALF_PX = 2.0  # half of what a piece of the track takes
EDGE_PX = 3.0

# Where a name may stand: right and down from the point, and where it is anchored; the best first.
PLACES = (
    (0.0, -14.0, "middle"), (0.0, 23.0, "middle"), (13.0, 4.0, "start"), (-13.0, 4.0, "end"), (9.0, -12.0, "start"),
    (-9.0, -12.0, "end"), (9.0, 20.0, "start"), (-9.0, 20.0, "end"), (0.0, -28.0, "middle"), (0.0, 37.0, "middle"),
)  # fmt: skip

Box = tuple[float, float, float, float]  # left, top, right, bottom in px


@dataclass(frozen=True, slots=True)
class Named:
    """A point with a name, in shares of the paper."""

    x: float
    y: float
    text: str


@dataclass(frozen=True, slots=True)
class Name:
    """A name that found its place: px from its point."""

    dx: str
    dy: str
    anchor: str
    text: str


def place_names(
    wanted: Sequence[Named], line: Sequence[tuple[float, float]], width: float, height: float
) -> list[Name | None]:
    """A place for each name in turn, None where there is none; `line` are pieces of the track (shares) to keep clear.

    What fits a paper so wide fits every wider one: names keep their size and points move apart.
    """
    points = [_around(one.x * width, one.y * height, POINT_PX) for one in wanted]
    clear = [_around(x * width, y * height, LINE_HALF_PX) for x, y in line]
    taken: list[Box] = []
    found: list[Name | None] = []
    for place, one in enumerate(wanted):
        around = points[:place] + points[place + 1 :]
        fitting = (
            (name, box)
            for name, box in _places(one, width, height)
            if not any(_overlap(box, other) for other in (*around, *taken, *clear)) and _within(box, width, height)
        )
        name, box = next(fitting, (None, None))
        found.append(name)
        taken += [box] if box else []
    return found


def _places(one: Named, width: float, height: float) -> Iterator[tuple[Name, Box]]:
    long = len(one.text) * LETTER_PX
    for dx, dy, anchor in PLACES:
        x, y = one.x * width + dx, one.y * height + dy
        left = x - {"start": 0.0, "middle": long / 2, "end": long}[anchor]
        yield Name(f"{dx:g}", f"{dy:g}", anchor, one.text), (left, y - LINE_PX + 3, left + long, y + 3)


def _around(x: float, y: float, half: float) -> Box:
    return x - half, y - half, x + half, y + half


def _overlap(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _within(box: Box, width: float, height: float) -> bool:
    return box[0] >= EDGE_PX and box[1] >= EDGE_PX and box[2] <= width - EDGE_PX and box[3] <= height - EDGE_PX
