"""A forecast and the warnings in words: which waters and times, how old, how sure."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from readiness.feeds.look_record import Extent, Look, Part, how_many
from readiness.models import Forecast, WarningLook
from readiness.views.forecast_doubts import is_over
from vessel.calc.position import latitude, longitude
from vessel.calc.unit_words import unit_word
from vessel.calc.wording import NOT_KNOWN, age, counted, is_known, local_time, miles, with_utc

WHY_USED = (
    "Legs are judged on the one that was issued last, as a whole: nothing is patched from older ones, and where it does "
    "not reach, nothing is known."
)
NO_ISSUE_TIME = "it does not say when it was issued, so it has no age and is used only where no other is held"


@dataclass(frozen=True, slots=True)
class ForecastLine:
    """One forecast held."""

    forecast: Forecast
    old: str
    waters: str
    is_used: bool
    is_over: bool


def forecast_line(row: Forecast, now: float, *, is_used: bool) -> ForecastLine:
    """A forecast in the list."""
    old = age(now - row.issued_at.timestamp()) if row.issued_at else NOT_KNOWN
    return ForecastLine(row, old, waters_of(row), is_used, is_over(row.last_at.timestamp(), now))


def waters_of(row: Forecast) -> str:
    """The area a forecast covers."""
    return area_words(Extent(row.south_deg, row.west_deg, row.north_deg, row.east_deg))


def area_words(extent: Extent) -> str:
    """A box by its corners, or a place."""
    first = f"{latitude(extent.south)} {longitude(turned(extent.west))}"
    if extent.south == extent.north and extent.west == extent.east:
        return f"one place, {first}"
    return f"{first} to {latitude(extent.north)} {longitude(turned(extent.east))}"


def turned(lon_deg: float) -> float:
    """A longitude that runs on past 180, brought back."""
    return (lon_deg + 180) % 360 - 180 if abs(lon_deg) > 180 else lon_deg


def forecast_terms(row: Forecast, by: str, zone: str, now: float) -> Iterator[tuple[str, str]]:
    """Everything a forecast says of itself; `by` is who took it in."""
    issued = row.issued_at.timestamp() if row.issued_at else None
    yield "Issued", f"{with_utc(issued, zone, now=now)}, {age(now - issued)} old" if issued else NO_ISSUE_TIME
    yield "Taken in", f"{with_utc(row.taken_in_at.timestamp(), zone, now=now)} by {by}"
    yield "Waters", waters_of(row)
    yield "Times", _from_to(row.first_at.timestamp(), row.last_at.timestamp(), zone, now)
    yield "Members", f"{row.members}; drawn is the first, the control" if row.members else "one forecast, no ensemble"
    yield "Confidence", str(row.get_confidence_display() or NOT_KNOWN)


def look_terms(look: Look, zone: str, now: float) -> Iterator[tuple[str, str]]:
    """What was found in a file before it is taken in."""
    yield "Kind", look.kind
    issued = f"{with_utc(look.issued_at, zone, now=now)}, {age(now - look.issued_at)} old"
    yield "Issued", issued if is_known(look.issued_at) else f"{NOT_KNOWN}: it will have no age"
    if is_known(look.first_at):
        yield "Times", _from_to(look.first_at, look.last_at, zone, now)
    if look.extent is not None:
        yield "Waters", area_words(look.extent)
    yield "Holds", ", ".join(how_many(count, what) for what, count in look.counts.items())


def _from_to(first_at: float, last_at: float, zone: str, now: float) -> str:
    return f"{with_utc(first_at, zone, now=now)} to {with_utc(last_at, zone, now=now)}"


def part_words(part: Part) -> str:
    """One part of a file: a column, the fields of one name."""
    words = f"{part.name}: {how_many(part.count, part.what)}"
    unit = f", {unit_word(part.unit)}" if part.unit else ""
    missing = f", {counted(part.missing, 'value')} missing" if part.missing else ""
    length = f", {miles(part.length_m)}" if is_known(part.length_m) else ""
    return f"{words}{unit}{missing}{length}"


def look_sentence(look: WarningLook | None, zone: str, now: float) -> str:
    """What is known of the warnings, in one sentence."""
    if look is None:
        return "Nobody has looked at the warnings yet: whether any is in force is not known."
    said = f"{len(look.items)} in force" if look.items else "None in force"
    looked = (
        f"looked {local_time(look.looked_at.timestamp(), zone, now=now)}, {age(now - look.looked_at.timestamp())} ago"
    )
    until = look.good_to.timestamp()
    return f"{said}, {looked}; the bulletin {'spoke' if until <= now else 'speaks'} until {local_time(until, zone, now=now)}."


def warning_words(item: Mapping[str, Any], zone: str) -> str:
    """One warning as it was noted."""
    times = [
        f"{word} {local_time(datetime.fromisoformat(item[key]).timestamp(), zone)}"
        for word, key in (("from", "start"), ("until", "end"))
        if item[key]
    ]
    where = f", {item['area']}" if item["area"] else ""
    when = " ".join(times if item["end"] else [*times, "until it is lifted"])
    return f"{str(item['kind']).capitalize()}{where}, {when}: {item['text']}"
