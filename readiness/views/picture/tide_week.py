"""A week's tide table of a harbour, day by day: it is read aloud and it is printed."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from readiness.views.picture.axis import Day, midnight, offset
from readiness.views.picture.day import HighLow
from readiness.views.picture.tide_day import GateLine, gate_words
from vessel.calc.wording import NOT_KNOWN, clock, metres, zone_name

WEEK = 7


@dataclass(frozen=True, slots=True)
class GateDay:
    """When a gate is open on one day, in words."""

    name: str
    words: str


@dataclass(frozen=True, slots=True)
class WeekRow:
    """One day of the table; lists hold "07:54 4.5 m"."""

    on: str
    name: str
    date: str
    note: str
    high: tuple[str, ...]
    low: tuple[str, ...]
    gates: tuple[GateDay, ...]
    sun: str
    is_chosen: bool


def days_from(first: Day, count: int = WEEK) -> tuple[Day, ...]:
    """So many local days from one on."""
    on = [first.on + timedelta(days=number) for number in range(count)]
    return tuple(
        Day(day, first.zone, midnight(day, first.zone), midnight(day + timedelta(days=1), first.zone)) for day in on
    )


def week_rows(
    days: Sequence[Day],
    chosen: Day,
    high_low: Sequence[HighLow],
    whole: Sequence[bool],
    gates: Sequence[GateLine],
    sun_up: Sequence[tuple[float, float]] | None,
) -> tuple[WeekRow, ...]:
    """The rows of a week. `whole`, day by day: the heights of all of it are known, so that no water named means none.

    `sun_up`: (rise, set) pairs; None: not told.
    """
    return tuple(
        WeekRow(
            on=day.on.isoformat(),
            name=day.name,
            date=day.date,
            note=_note(day),
            high=_waters(day, high_low, known=known, is_high=True),
            low=_waters(day, high_low, known=known, is_high=False),
            gates=tuple(GateDay(gate.name, week_gate_words(day, gate)) for gate in gates),
            sun=_sun(day, sun_up) if sun_up is not None else "",
            is_chosen=day.on == chosen.on,
        )
        for day, known in zip(days, whole, strict=True)
    )


def week_gate_words(day: Day, gate: GateLine) -> str:
    """When a gate is open on a day and, where it ends before the shutting, each last entry of the day."""
    words = gate_words(day, gate)
    shuts = [end for _, end in gate.opens]
    earlier = [last for last, end in zip(gate.last_entries, shuts, strict=True) if last < end and day.holds(last)]
    todays = [clock(last, day.zone) for last in earlier]
    return f"{words}; last entry {' and '.join(todays)}" if todays else words


def zone_words(first: float, last: float, zone: str) -> str:
    """Which clock the times are by: "Europe/Lisbon, WEST, UTC+1"; two offsets where the clocks change between."""
    place = zone.replace("_", " ")
    told = [f"{zone_name(moment, zone)} ({offset(moment, zone)})" for moment in (first, last)]
    unnamed = [offset(moment, zone) if zone_name(moment, zone).startswith("UTC") else text
               for moment, text in zip((first, last), told, strict=True)]  # fmt: skip
    return f"{place}, {unnamed[0]}" if unnamed[0] == unnamed[1] else f"{place}, {unnamed[0]}, later {unnamed[1]}"


def _waters(day: Day, high_low: Sequence[HighLow], *, known: bool, is_high: bool) -> tuple[str, ...]:
    held = [mark for mark in high_low if mark.is_high is is_high and day.holds(mark.at)]
    told = tuple(f"{clock(mark.at, day.zone)} {metres(mark.height_m)}" for mark in held)
    return told if known else (*told, NOT_KNOWN)


def _sun(day: Day, sun_up: Sequence[tuple[float, float]]) -> str:
    rises = [clock(rise, day.zone) for rise, _ in sun_up if day.holds(rise)]
    sets = [clock(end, day.zone) for _, end in sun_up if day.holds(end)]
    if rises or sets:
        return f"{' and '.join(rises) or 'up before'} to {' and '.join(sets) or 'past midnight'}"
    noon = (day.start + day.end) / 2
    return "up all day" if any(rise <= noon < end for rise, end in sun_up) else "down all day"


def _note(day: Day) -> str:
    if not day.is_odd:
        return ""
    return f"The clocks change: {day.hours:g} h, {offset(day.start, day.zone)} before, {day.offset()} after."
