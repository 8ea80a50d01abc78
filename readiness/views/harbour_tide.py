"""What a harbour's pages tell of its tide: a day as a picture, a week as a table, and what comes next."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime

import numpy as np

from readiness.calc.daylight import sun_altitude, sun_events
from readiness.models import Gate, Harbour
from readiness.queries.gate import GateDays, windows_of_gates
from readiness.queries.harbour import HarbourTide, tide_at, tides_between
from readiness.views.coast_words import known_to_us, shelter_words
from readiness.views.picture.axis import Day, day_of, midnight
from readiness.views.picture.day import HighLow
from readiness.views.picture.tide_day import GateLine, TideDay, draw_tide_day
from readiness.views.picture.tide_week import WEEK, days_from, week_rows, zone_words
from vessel.calc.wording import NOT_KNOWN, clock, local_time, metres
from vessel.units import DAY, HOUR, MINUTE

CURVE_EVERY_S = 10 * MINUTE
SUN_EVERY_S = 15 * MINUTE
GATES_AHEAD_S = 3 * DAY
LEAST, MOST = "2000-01-01", "2099-12-31"  # days a page is asked for; the tide sums hold for them


@dataclass(frozen=True, slots=True)
class HarbourLine:
    """One harbour in the list."""

    harbour: Harbour
    high: str
    low: str
    why_not: str
    gates: tuple[str, ...]
    shelter: str
    known: str


@dataclass(frozen=True, slots=True)
class HourRow:
    """The height at a whole hour of the harbour's clock."""

    local: str
    utc: str
    height: str


def harbour_lines(harbours: Sequence[Harbour], now: float) -> list[HarbourLine]:
    """Every harbour with its next high and low water and what its gates do now."""
    start, end = now - DAY, now + GATES_AHEAD_S
    held = tides_between((one.tide_station_id for one in harbours), start, end)
    gates = gate_lines(harbours, start, end)
    return [_line(harbour, tide_at(harbour, held), gates[harbour.pk], now) for harbour in harbours]


def _line(harbour: Harbour, tide: HarbourTide, gates: Sequence[GateLine], now: float) -> HarbourLine:
    return HarbourLine(
        harbour=harbour,
        high=_next(harbour, tide, now, is_high=True),
        low=_next(harbour, tide, now, is_high=False),
        why_not=tide.why_not,
        gates=tuple(gate_now(gate, harbour.zone, now) for gate in gates),
        shelter=shelter_words(list(harbour.shelter_sectors.all())),
        known=known_to_us(harbour),
    )


def _next(harbour: Harbour, tide: HarbourTide, now: float, *, is_high: bool) -> str:
    coming = [mark for mark in marks_of(tide) if mark.is_high is is_high and mark.at >= now]
    if not coming:
        ahead = _heights(tide, np.arange(now, now + GATES_AHEAD_S, HOUR))
        return "not within 3 days" if np.isfinite(ahead).all() else NOT_KNOWN
    first = coming[0]
    return f"{_when(first.at, harbour.zone, now)} {metres(first.height_m)}"


def gate_now(gate: GateLine, zone: str, now: float) -> str:
    """What a gate does now and next, in words."""
    if gate.why_not:
        return f"{gate.name} {NOT_KNOWN}: {gate.why_not}"
    if any(start <= now < end for start, end in gate.dark):
        return f"{gate.name} {NOT_KNOWN} now"
    until = next((end for start, end in gate.opens if start <= now < end), None)
    if until is not None:
        return f"{gate.name} open" + (f" until {_when(until, zone, now)}" if until < now + GATES_AHEAD_S else "")
    coming = next((start for start, _ in gate.opens if start > now), None)
    return f"{gate.name} shut, " + (f"opens {_when(coming, zone, now)}" if coming else "and no opening within 3 days")


def _when(at: float, zone: str, now: float) -> str:
    return clock(at, zone) if day_of(now, zone).holds(at) else local_time(at, zone)


def marks_of(tide: HarbourTide) -> list[HighLow]:
    """The high and low waters that were read, in order."""
    if tide.tide is None:
        return []
    events = tide.tide.events
    rows = zip(events.at, events.height_m, events.high, strict=True)
    return [HighLow(float(at), float(height), bool(high)) for at, height, high in rows if np.isfinite(at)]


def day_called(typed: str | None, zone: str, now: float) -> tuple[Day, str]:
    """The local day an address asks for, "2027-05-15", and what to say where it asks for none: then it is today."""
    today = day_of(now, zone)
    if not typed:
        return today, ""
    try:
        on = date.fromisoformat(typed[:10])
    except ValueError:
        return today, f"{typed[:20]} is not a day, such as 2027-05-15. Shown is today."
    if not LEAST <= on.isoformat() <= MOST:
        return today, f"Days are shown from {LEAST} to {MOST}. Shown is today."
    return day_on(on, zone), ""


def day_on(on: date, zone: str) -> Day:
    """A date as a local day."""
    return day_of(midnight(on, zone), zone)


def gate_lines(harbours: Sequence[Harbour], start: float, end: float) -> dict[int, list[GateLine]]:
    """The gates of each harbour with their windows, by primary key of the harbour. Five queries."""
    span = datetime.fromtimestamp(start, UTC), datetime.fromtimestamp(end, UTC)
    gates = {harbour.pk: list(harbour.gates.all()) for harbour in harbours}
    held = windows_of_gates([gate for group in gates.values() for gate in group], start=span[0], end=span[1])
    return {pk: [gate_line(gate, held[gate.pk]) for gate in group] for pk, group in gates.items()}


def gate_line(gate: Gate, held: GateDays) -> GateLine:
    """A gate's windows as the pictures want them."""
    return GateLine(
        name=gate.name,
        opens=list(zip(held.opens_at.tolist(), held.closes_at.tolist(), strict=True)),
        last_entries=held.last_entry_at.tolist(),
        dark=list(zip(held.dark_from.tolist(), held.dark_to.tolist(), strict=True)),
        why_not=held.why_not,
        note=held.note,
    )


@dataclass(frozen=True, slots=True)
class Sun:
    """Where the sun is looked at from; NaN: nowhere, and then no night is drawn."""

    lat_deg: float = np.nan
    lon_deg: float = np.nan

    def up(self, start: float, end: float) -> list[tuple[float, float]] | None:
        """(rise, set) between two times; None without a place."""
        if not np.isfinite(self.lat_deg + self.lon_deg):
            return None
        up = sun_events(self.lat_deg, self.lon_deg, start, end)
        return list(zip(up.opens_at.tolist(), up.closes_at.tolist(), strict=True))


def weeks_span(day: Day, first: Day) -> tuple[float, float]:
    """From when until when the tide is wanted for a day and a week: a day more at either end."""
    return min(day.start, first.start) - DAY, max(day.end, days_from(first)[-1].end) + DAY


def harbour_week(harbour: Harbour, day: Day, first: Day, now: float) -> dict[str, object]:
    """Everything the page tells of a chosen day and of the week from `first`. Six queries."""
    start, end = weeks_span(day, first)
    tide = tide_at(harbour, tides_between([harbour.tide_station_id], start, end))
    gates = gate_lines([harbour], start, end)[harbour.pk]
    return told_of_week(tide, day, first, gates=gates, sun=Sun(harbour.lat_deg, harbour.lon_deg), now=now)


def told_of_week(
    tide: HarbourTide, day: Day, first: Day, *, gates: Sequence[GateLine], sun: Sun, now: float
) -> dict[str, object]:
    """The day as a picture with its twin, and the week as a table. No query."""
    days, known = days_from(first), tide.tide is not None
    return {
        "day": day,
        "tide": tide,
        "picture": draw_tide_day(_tide_day(day, tide, gates, sun, now)) if known else None,
        "hours": _hours(day, tide) if known else [],
        "week": week_rows(days, day, marks_of(tide), _whole(days, tide), gates, sun.up(*weeks_span(day, first))),
        "gate_notes": [gate for gate in gates if gate.note],
        "first": first,
        "last": days[-1],
        "clock_words": zone_words(days[0].start, days[-1].end - 1, day.zone),
        "shown": _addresses(day, first),
    }


def _tide_day(day: Day, tide: HarbourTide, gates: Sequence[GateLine], sun: Sun, now: float) -> TideDay:
    at, sun_at = (np.arange(day.start, day.end + 1, every) for every in (CURVE_EVERY_S, SUN_EVERY_S))
    is_today = day.holds(now)
    return TideDay(
        day=day,
        at=at.tolist(),
        height_m=_heights(tide, at).tolist(),
        high_low=marks_of(tide),
        sun_at=sun_at.tolist(),
        sun_altitude_deg=np.asarray(sun_altitude(sun_at, sun.lat_deg, sun.lon_deg)).tolist(),
        gates=gates,
        now=now if is_today else np.nan,
        now_m=float(_heights(tide, np.array([now]))[0]) if is_today else np.nan,
    )


def _heights(
    tide: HarbourTide, at: "np.ndarray[tuple[int, ...], np.dtype[np.float64]]"
) -> "np.ndarray[tuple[int, ...], np.dtype[np.float64]]":
    return np.full(len(at), np.nan) if tide.tide is None else np.asarray(tide.tide.height(at))


def _whole(days: Sequence[Day], tide: HarbourTide) -> list[bool]:
    """Of each day, whether the height is known at every hour of it."""
    return [bool(np.isfinite(_heights(tide, np.arange(day.start, day.end + 1, HOUR))).all()) for day in days]


def _hours(day: Day, tide: HarbourTide) -> list[HourRow]:
    at = np.arange(day.start, day.end + 1, HOUR)
    return [
        HourRow(clock(when, day.zone), clock(when, "UTC"), metres(height, 2))
        for when, height in zip(at.tolist(), _heights(tide, at).tolist(), strict=True)
    ]


def _addresses(day: Day, first: Day) -> Mapping[str, str]:
    """The days to either side and the weeks to either side, as an address asks for them."""
    before, after = day_of(day.start - HOUR, day.zone), day_of(day.end, day.zone)
    week_before = day_of(midnight(date.fromordinal(first.on.toordinal() - WEEK), day.zone), day.zone)
    week_after = days_from(first, 2 * WEEK)[WEEK]
    kept = {one.on for one in days_from(first)}

    def asked(one: Day, week: Day) -> str:
        return f"day={one.on.isoformat()}&from={week.on.isoformat()}"

    return {
        "before": asked(before, first if before.on in kept else week_before),
        "after": asked(after, first if after.on in kept else week_after),
        "week_before": asked(week_before, week_before),
        "week_after": asked(week_after, week_after),
    }
