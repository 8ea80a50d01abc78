"""Weather warnings as somebody types them down, one a line, or the statement that there is none.

    source coast radio
    looked 2027-05-14T18:10Z
    good to 2027-05-15T18:00Z
    gale, Outer Sound, from 2027-05-14T20:00Z to 2027-05-15T06:00Z: southwest gale 8 expected soon
    thunder, Inner Bay

    no warnings in force

The first word says the kind: gale, storm, hurricane; strong wind; thunder; other. Without a time it is in force until it
is lifted. Nothing typed is not the same as no warnings: only that statement says so.
"""

import re
from collections.abc import Mapping
from datetime import UTC, datetime

import msgspec

from readiness.feeds.forecast_layout import utc
from readiness.feeds.forecast_words import refuse
from readiness.feeds.tide_sheet import shown, text_of
from readiness.rules.facts_water import WeatherWarning
from readiness.rules.words_of_trade import WarningKind
from vessel.feeds.limited import Reader

MOST_BYTES = 20_000
MOST_WARNINGS = 50
LONGEST_SOURCE = 100
KINDS: Mapping[str, WarningKind] = {
    **dict.fromkeys(("near gale", "strong wind", "strong winds", "small craft"), WarningKind.STRONG_WIND),
    **dict.fromkeys(
        ("gale", "severe gale", "strong gale", "storm", "violent storm", "hurricane", "hurricane force"),
        WarningKind.GALE,
    ),
    **dict.fromkeys(("thunder", "thunderstorm", "thunderstorms", "lightning"), WarningKind.THUNDER),
    "other": WarningKind.OTHER,
}
_TIME = r"[\d/.-]{6,10}[T ]\d\d:\d\d(?::\d\d)?(?:Z|[+-]\d\d:\d\d)?"
_WARNING = re.compile(
    rf"(?P<kind>{'|'.join(sorted(KINDS, key=len, reverse=True))})(?:\s+warnings?)?"
    rf"(?:\s*,\s*(?P<area>[^,:]{{1,100}}?))??(?:[\s,]+from\s+(?P<start>{_TIME}))?(?:[\s,]+(?:to|until)\s+(?P<end>{_TIME}))?"
    r"(?:\s*:\s+(?P<text>.{1,300}))?",
    re.IGNORECASE | re.ASCII,
)
_NONE = re.compile(r"(there are )?no warnings?( (are |is )?in force)?|none in force", re.IGNORECASE)
_FIELD = re.compile(r"(source|looked|good to)\s*:?\s+(.+)", re.IGNORECASE)


class WarningsRead(msgspec.Struct, frozen=True):
    """What was typed; `items` empty: none in force, and it was said. Times are None where nothing is said."""

    items: tuple[WeatherWarning, ...]
    source: str = ""
    looked_at: datetime | None = None
    good_to: datetime | None = None


TAKE_WARNINGS = Reader("readiness.feeds.warning.read_warnings", WarningsRead, "list of warnings")


def read_warnings(data: bytes) -> WarningsRead:
    """Read what was typed. Raises BadInput with one sentence that names the line."""
    if len(data) > MOST_BYTES:
        raise refuse(f"warnings of more than {MOST_BYTES:,} bytes are none that anybody typed.", 1)
    fields: dict[str, str | datetime] = {}
    items: list[WeatherWarning] = []
    none_at = number = 0
    for number, line in enumerate(text_of(data).split("\n"), 1):
        words = line.strip().rstrip(".")
        if not words or words.startswith("#"):
            continue
        if _NONE.fullmatch(words):
            none_at = number
        elif match := _FIELD.fullmatch(words):
            _keep(fields, match[1].lower(), match[2], number)
        else:
            items.append(_warning(words, number))
        if len(items) > MOST_WARNINGS:
            raise refuse(f"there are more than {MOST_WARNINGS} warnings.", number)
    if none_at and items:
        raise refuse("no warnings in force, it says, and there is a warning beside it; which is it?", none_at)
    if not none_at and not items:
        raise refuse("no warning stands here. If there is none, write: no warnings in force.", max(number, 1))
    return msgspec.convert({"items": items, **fields}, WarningsRead)


def _keep(fields: dict[str, str | datetime], name: str, text: str, line: int) -> None:
    key = {"source": "source", "looked": "looked_at", "good to": "good_to"}[name]
    if key in fields:
        raise refuse(f"{shown(name)} was given already.", line)
    if key == "source" and (len(text) > LONGEST_SOURCE or not text.isprintable()):
        raise refuse(f"the source is a name of at most {LONGEST_SOURCE} characters.", line)
    fields[key] = text if key == "source" else _moment(text, line, name)


def _warning(words: str, line: int) -> WeatherWarning:
    match = _WARNING.fullmatch(words)
    if match is None or not words.isprintable():
        raise refuse(
            f"{shown(words)} is not a warning such as: gale, Outer Sound, from 2027-05-14T20:00Z to 2027-05-15T06:00Z.",
            line,
        )
    start, end = (None if match[name] is None else _moment(match[name], line, name) for name in ("start", "end"))
    if start is not None and end is not None and end <= start:
        raise refuse("the warning ends before it begins.", line)
    return WeatherWarning(
        kind=KINDS[match["kind"].lower()],
        area=(match["area"] or "").strip(),
        start=start,
        end=end,
        text=(match["text"] or words).strip(),
    )


def _moment(text: str, line: int, name: str) -> datetime:
    return datetime.fromtimestamp(utc(text.upper(), line, name), UTC)
