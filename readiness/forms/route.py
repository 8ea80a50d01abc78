"""The route as a form of rows, and the rows moved about: put in, taken out, up, down, the other way round."""

from collections.abc import Sequence
from typing import Any, cast

from django import forms
from django.http import QueryDict

from readiness.forms.route_point import RoutePointForm
from readiness.queries.route import Ties
from vessel.forms.plain import VersionForm

MOST_POINTS = 100
SEGMENT = ("segment_name", "kind", "stream", "exposed", "crosses_bar", "shore_m", "shore_to_deg")
SHORE = ("shore_m", "shore_to_deg")
HEAD = ("once", "version", "csrfmiddlewaretoken")

Row = dict[str, str]


class RouteForm(VersionForm):
    """The whole route. `rows` are the points in order, each with the segment to the next."""

    count = forms.IntegerField(min_value=0, max_value=MOST_POINTS, widget=forms.HiddenInput, error_messages={
        "max_value": f"A route has at most {MOST_POINTS} points."})  # fmt: skip

    def __init__(self, *args: Any, ties: Ties, filled: Sequence[dict[str, Any]] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.is_bound:
            count = len(rows_of(cast("QueryDict", self.data)))
            self.rows = [RoutePointForm(self.data, prefix=f"p{place}", ties=ties) for place in range(count)]
        else:
            self.initial["count"] = len(filled)
            self.rows = [
                RoutePointForm(initial=words, prefix=f"p{place}", ties=ties) for place, words in enumerate(filled)
            ]

    def clean(self) -> dict[str, Any]:
        given: dict[str, Any] = super().clean() or {}
        if len(self.rows) < 2:
            self.add_error(None, "A route has at least two points: put one in.")
        wrong = [str(place) for place, row in enumerate(self.rows, start=1) if not row.is_valid()]
        if wrong:
            self.add_error(None, f"Put right what stands at point {', '.join(wrong)}.")
        return given

    def positions(self) -> list[tuple[float, float] | None]:
        """The position of each point, None where it cannot be read yet."""
        for row in self.rows:
            row.is_valid()
        return [row.position() for row in self.rows]

    @property
    def row_errors(self) -> list[tuple[int, Any, str]]:
        """Number, field and sentence of all that must be put right at the points."""
        return [
            (place, row[name], str(error))
            for place, row in enumerate(self.rows, start=1)
            for name, errors in row.errors.items()
            for error in errors
        ]


def rows_of(data: QueryDict) -> list[Row]:
    """The rows that were sent, in order, as text."""
    sent = data.get("count", "")
    count = min(int(sent), MOST_POINTS + 1) if sent.isascii() and sent.isdecimal() and len(sent) < 5 else 0
    return [
        {name.removeprefix(f"p{place}-"): str(data[name]) for name in data if name.startswith(f"p{place}-")}
        for place in range(count)
    ]


def with_rows(data: QueryDict, rows: Sequence[Row]) -> QueryDict:
    """What was sent, with other rows in place of the old ones."""
    fresh = QueryDict(mutable=True)
    for name in HEAD:
        if name in data:
            fresh[name] = str(data[name])
    fresh["count"] = str(len(rows))
    for place, row in enumerate(rows):
        for name, text in row.items():
            fresh[f"p{place}-{name}"] = text
    return fresh


def put_in(rows: list[Row], place: int, **words: str) -> list[Row]:
    """A row after a place; the segment it parts stays what it was on both sides, its shore to be found again.

    A name that ends in a number and is taken goes on to the next free number.
    """
    before = rows[place] if 0 <= place < len(rows) else {}
    new = {name: text for name, text in before.items() if name in SEGMENT} | words
    new["name"] = _free(words.get("name", ""), {row.get("name", "") for row in rows})
    moved = [*rows[: place + 1], new, *rows[place + 1 :]]
    return _shore_again(moved, place, place + 1)


def _free(name: str, taken: set[str]) -> str:
    stem, _, number = name.rpartition(" ")
    while name in taken and number.isdecimal():
        number = str(int(number) + 1)
        name = f"{stem} {number}"
    return name


def taken_out(rows: list[Row], place: int) -> list[Row]:
    """Without the row at a place; the segment before it goes on to the next point."""
    if not 0 <= place < len(rows):
        return rows
    return _shore_again([*rows[:place], *rows[place + 1 :]], place - 1)


def swapped(rows: list[Row], place: int) -> list[Row]:
    """The points at a place and after it change places; the segments stay where they are in the order."""
    if not 0 <= place < len(rows) - 1:
        return rows
    first, second = rows[place], rows[place + 1]
    moved = [*rows[:place], _with_segment(second, first), _with_segment(first, second), *rows[place + 2 :]]
    return _shore_again(moved, place - 1, place, place + 1)


def reversed_rows(rows: list[Row]) -> list[Row]:
    """The same way in the other direction."""
    back = rows[::-1]
    return [_with_segment(row, rows[len(rows) - 2 - place] if place < len(rows) - 1 else {}, keep_name=False)
            for place, row in enumerate(back)]  # fmt: skip


def _with_segment(point: Row, segment: Row, *, keep_name: bool = True) -> Row:
    own = {name: text for name, text in point.items() if name not in SEGMENT}
    return own | {
        name: text for name, text in segment.items() if name in SEGMENT and (keep_name or name != "segment_name")
    }


def _shore_again(rows: list[Row], *places: int) -> list[Row]:
    """The shore of these segments is no longer what it was typed for."""
    return [
        {name: text for name, text in row.items() if place not in places or name not in SHORE}
        for place, row in enumerate(rows)
    ]
