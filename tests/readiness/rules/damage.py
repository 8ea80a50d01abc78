"""Damage to the document of the facts: every way to lose, blank or age a part of it, and whether that looks like good news."""

import json
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

import msgspec
import numpy as np

from readiness.rules.engine import judge
from readiness.rules.facts import Facts, changed, decode, encode
from readiness.rules.facts_water import Forecast, Members, Station
from readiness.rules.judgement import Verdict
from vessel.errors import BadInput

Path = tuple[str | int, ...]
Document = dict[str, Any]
GONE = object()

# no-go and cannot-say-yet both block: blanking a known fault rightly turns the one into the other
TOWARD_GO = {Verdict.GO: 0, Verdict.GO_IF: 1, Verdict.CANNOT_SAY_YET: 2, Verdict.NO_GO: 2}
RANK = np.array([TOWARD_GO[verdict] for verdict in Verdict])
NOT_INPUT = ("departures", "format")  # what is asked, and how it is written


def small(facts: Facts) -> Facts:
    """The same leg at three departures, the first at 06:30 and the last at 17:15 UTC, with a forecast every six hours."""
    departures = msgspec.structs.replace(facts.departures, every_s=43 * 900 / 2, count=3)
    forecast = facts.water.forecast
    assert forecast is not None
    members = forecast.members and msgspec.structs.replace(forecast.members, **_thinned(forecast.members))
    thinner = msgspec.structs.replace(forecast, at=forecast.at[::6], members=members, **_thinned(forecast))
    stations = tuple(_shorter(station) for station in facts.water.stations)
    water = msgspec.structs.replace(facts.water, forecast=thinner, stations=stations)
    return changed(facts, departures=departures, water=water)


def _thinned(held: Forecast | Members) -> dict[str, Any]:
    grids = {name: value for name, value in msgspec.structs.asdict(held).items() if np.ndim(value) > 1}
    return {name: value[..., ::6, :] for name, value in grids.items()}


def _shorter(station: Station) -> Station:
    near = slice(2, 24)
    return msgspec.structs.replace(
        station, event_at=station.event_at[near], event_m=station.event_m[near], event_high=station.event_high[near]
    )


def written(facts: Facts) -> Document:
    """The facts as the document they travel in."""
    document: Document = json.loads(encode(facts))
    return document


def paths(value: Any, before: Path = ()) -> Iterator[Path]:
    """The path of every value in a document but the question itself."""
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in items:
        if before or key not in NOT_INPUT:
            yield (*before, key)
            yield from paths(inner, (*before, key))


def at(document: Document, path: Path) -> Any:
    """The value at a path; GONE where an earlier damage took it away."""
    value: Any = document
    for key in path:
        held = value.get(key, GONE) if isinstance(value, dict) else GONE
        if isinstance(value, list) and isinstance(key, int) and key < len(value):
            held = value[key]
        if held is GONE:
            return GONE
        value = held
    return value


def put(document: Document, path: Path, value: Any) -> None:
    """Put a value at a path, or take away what is there."""
    *parents, last = path
    holder = at(document, tuple(parents))
    if holder is GONE or at(document, path) is GONE:
        return
    if value is GONE:
        del holder[last]
    else:
        holder[last] = value


def damages(value: Any) -> list[Any]:
    """What may become of a value: lost, blank, empty, of another kind, or older than it was."""
    blanks: list[Any] = [GONE, None]
    if isinstance(value, list | str) and value:
        blanks.append(type(value)())
    if isinstance(value, str) and value.endswith("Z") and value[:4].isdigit():
        older = datetime.fromisoformat(value) - timedelta(days=4000)
        blanks.append(older.astimezone(UTC).isoformat())
    blanks.append("?" if not isinstance(value, str) else 7)
    return blanks


def ranks(document: Document) -> Any:
    """How far from go each departure is; None where the document is refused."""
    try:
        return RANK[judge(decode(msgspec.json.encode(document))).verdict]
    except BadInput:
        return None


def good_news(whole: Document, before: Any, path: Path, value: Any) -> bool:
    """Whether one damage moves any departure toward go."""
    held = at(whole, path)
    order = list(at(whole, path[:-1])) if value is GONE and isinstance(path[-1], int) else None
    put(whole, path, value)
    after = ranks(whole)
    if order is not None:
        at(whole, path[:-1])[:] = order
    else:
        at(whole, path[:-1])[path[-1]] = held
    return after is not None and bool((after < before).any())
