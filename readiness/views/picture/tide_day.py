"""One day's tide at a harbour: the curve with its high and low waters, night behind it, and when each gate is open."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from readiness.views.picture.axis import Day, Tick, ticks
from readiness.views.picture.backdrop import Band, extent, light_bands
from readiness.views.picture.day import HighLow, edge_anchor
from readiness.views.picture.tide_curve import Level, Spot, levels, path, scale_of, spots
from vessel.calc.wording import NOT_KNOWN, clock, is_known, metres

ROOM_BELOW = 0.2  # of the range, for the words under a low water


@dataclass(frozen=True, slots=True)
class GateLine:
    """A gate's windows (from, until) about the day, unclipped, each with its last entry; or what is not known of it.

    Within the stretches of `dark` nobody knows whether it is open.
    """

    name: str
    opens: Sequence[tuple[float, float]] = ()
    last_entries: Sequence[float] = ()
    dark: Sequence[tuple[float, float]] = ()
    why_not: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class TideDay:
    """A day of one station. Heights not known are NaN; `now` NaN when it is another day."""

    day: Day
    at: Sequence[float]
    height_m: Sequence[float]
    high_low: Sequence[HighLow]
    sun_at: Sequence[float]
    sun_altitude_deg: Sequence[float]
    gates: Sequence[GateLine] = ()
    now: float = math.nan
    now_m: float = math.nan


@dataclass(frozen=True, slots=True)
class GateBrackets:
    """One gate under the curve: brackets where it is open, and the times in words."""

    name: str
    bands: tuple[Band, ...]
    words: str


@dataclass(frozen=True, slots=True)
class TideDayPicture:
    """All that the template draws; y in px."""

    sentence: str
    ticks: tuple[Tick, ...]
    levels: tuple[Level, ...]
    light: tuple[Band, ...]
    curve: str
    spots: tuple[Spot, ...]
    now: Spot
    gates: tuple[GateBrackets, ...]


def draw_tide_day(tide: TideDay) -> TideDayPicture:
    """The picture of a day; what is not known is left out of the drawing and said in the sentence."""
    low, high = extent(tide.height_m)
    scale = scale_of([*tide.height_m, low - ROOM_BELOW * (high - low)], ())
    return TideDayPicture(
        sentence=sentence(tide),
        ticks=ticks(tide.day),
        levels=levels(scale),
        light=light_bands(tide.day, tide.sun_at, tide.sun_altitude_deg),
        curve=path(tide.day, tide.at, tide.height_m, scale),
        spots=spots(tide.day, tide.high_low, scale),
        now=_now(tide, scale.y(tide.now_m) if is_known(tide.now_m) else math.nan),
        gates=tuple(_brackets(tide.day, gate) for gate in tide.gates),
    )


def sentence(tide: TideDay) -> str:
    """What the picture shows, in words: the day's waters, then its gates."""
    waters = [_waters(tide, is_high=is_high) for is_high in (True, False)]
    told = "; ".join(words for words in waters if words)
    day = f"{tide.day.long_name} {tide.day.date}"
    if not told:
        return f"{day}: no high or low water is known."
    return f"{day}: {told}."


def _waters(tide: TideDay, *, is_high: bool) -> str:
    held = [mark for mark in tide.high_low if mark.is_high is is_high and tide.day.holds(mark.at)]
    if not held:
        return ""
    listed = " and ".join(f"{clock(mark.at, tide.day.zone)} ({metres(mark.height_m)})" for mark in held)
    return f"{'high' if is_high else 'low'} water {listed}"


def gate_words(day: Day, gate: GateLine) -> str:
    """When a gate is open on a day, in words; a window that goes on past midnight says so."""
    if gate.why_not:
        return f"{NOT_KNOWN}: {gate.why_not}"
    shown, dark = _on(day, gate.opens), _on(day, gate.dark)
    if any(start <= day.start and end >= day.end for start, end in dark):
        return NOT_KNOWN
    words = ", ".join(_from_until(day, start, end) for start, end in shown) or "shut all day"
    return f"{words}; {NOT_KNOWN} {', '.join(_from_until(day, *stretch) for stretch in dark)}" if dark else words


def _from_until(day: Day, start: float, end: float) -> str:
    if start <= day.start and end >= day.end:
        return "open all day"
    if start <= day.start:
        return f"until {clock(end, day.zone)}"
    return f"from {clock(start, day.zone)}" + (f" to {clock(end, day.zone)}" if end < day.end else " past midnight")


def _on(day: Day, stretches: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    return [(start, end) for start, end in stretches if start < day.end and end > day.start]


def _brackets(day: Day, gate: GateLine) -> GateBrackets:
    shown = _on(day, gate.opens)
    return GateBrackets(
        name=gate.name,
        bands=tuple(Band(day.x(max(start, day.start)), day.width(start, end), "open-band") for start, end in shown),
        words=gate_words(day, gate),
    )


def _now(tide: TideDay, y: float) -> Spot:
    if not (is_known(tide.now) and tide.day.holds(tide.now)):
        return Spot()
    text = f"now {metres(tide.now_m)}" if is_known(tide.now_m) else "now"
    return Spot(tide.day.x(tide.now), f"{y:.0f}" if is_known(y) else "", edge_anchor(tide.day.share(tide.now)), text)
