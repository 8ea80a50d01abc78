"""Harbours, gates, tide stations and stream tables in words a skipper reads aloud."""

from collections.abc import Callable, Iterator, Mapping
from datetime import datetime

import msgspec

from readiness.feeds.tide_fit_notes import FitNotes
from readiness.models import Gate, Harbour, ShelterSector, TideStation, TideStationKind
from readiness.rules.tide_differences import words_of
from readiness.rules.words_of_trade import GateKind
from vessel.calc.wording import NOT_KNOWN, compass_point, degrees, duration, knots, local_date, metres, number, with_utc
from vessel.units import DAY, HOUR, MINUTE

YES_NO = {True: "yes", False: "no", None: NOT_KNOWN}


def shelter_words(sectors: "list[ShelterSector]") -> str:
    """From which winds a harbour shelters."""
    if not sectors:
        return NOT_KNOWN
    if any(sector.to_deg - sector.from_deg >= 360 for sector in sectors):
        return "all round"
    return "; ".join(f"winds from {_side(one.from_deg)} through {_side(one.to_deg)}" for one in sectors)


def _side(deg: float) -> str:
    return f"{compass_point(deg)} ({degrees(deg)})"


def known_to_us(harbour: Harbour) -> str:
    """Whether it is familiar and lit, in words."""
    been = {True: "been in before", False: "never been in", None: f"been in before: {NOT_KNOWN}"}
    lit = {True: "lit", False: "not lit", None: f"lit: {NOT_KNOWN}"}
    return f"{been[harbour.familiar]}, {lit[harbour.lit]}"


def price_words(harbour: Harbour, currency: str) -> str:
    """What a night of waiting costs."""
    if harbour.night_price is None:
        return f"price of a night {NOT_KNOWN}"
    return f"a night costs {harbour.night_price:,.2f} {currency or '(money not named)'}"


def gate_terms(gate: Gate) -> tuple[tuple[str, str], ...]:
    """What is known of a gate as pairs of name and words."""
    return tuple(
        (name, words)
        for name, words in (
            ("Kind", gate.get_kind_display()),
            ("Open", _OPENS[GateKind(gate.kind)](gate)),
            ("Keeper's hours", _hours(gate)),
            ("Last entry", _last_entry(gate)),
            ("Hands besides the helm", NOT_KNOWN if gate.hands is None else str(gate.hands)),
            ("Waits at", str(gate.wait_place or "")),
            ("Keeper", gate.keeper_contact),
            ("From", gate.source),
        )
        if words
    )


def _lock(gate: Gate) -> str:
    words = _about_high_water(gate.before_s, gate.after_s)
    if gate.free_flow_before_s is not None:
        words += f"; straight through {_about_high_water(gate.free_flow_before_s, gate.free_flow_after_s)}"
    return words if gate.level_m is None else f"{words}; sill {_level(gate)}"


def _about_high_water(before_s: float | None, after_s: float | None) -> str:
    return f"from {duration(before_s)} before high water until {duration(after_s)} after"


def _by_height(gate: Gate) -> str:
    words = f"while there is water enough over it, {_level(gate)}"
    return words if gate.most_sea_m is None else f"{words}, and the sea there is at most {metres(gate.most_sea_m)}"


def _level(gate: Gate) -> str:
    if gate.level_m is None:
        return f"height {NOT_KNOWN}"
    zero = gate.zero or "a zero that is not known"
    if gate.level_m < 0:
        return f"{metres(-gate.level_m)} below {zero}"
    return f"drying {metres(gate.level_m)} above {zero}"


def _bridge(gate: Gate) -> str:
    headroom = f"headroom {metres(gate.level_m)} above {gate.zero or 'a zero that is not known'}"
    opens = {True: "never opens", False: "opens in the keeper's hours", None: f"whether it opens is {NOT_KNOWN}"}
    return f"{headroom}; {opens[gate.fixed]}"


def _narrows(gate: Gate) -> str:
    table = gate.stream_table or f"a stream table that is {NOT_KNOWN}"
    return f"while the stream of {table} is at most {knots(gate.most_rate_mps, 1)}"


_OPENS: Mapping[GateKind, Callable[[Gate], str]] = {
    GateKind.LOCK: _lock,
    GateKind.SILL: _by_height,
    GateKind.BAR: _by_height,
    GateKind.BRIDGE: _bridge,
    GateKind.NARROWS: _narrows,
}


def _hours(gate: Gate) -> str:
    if gate.keeps_hours is None:
        return NOT_KNOWN
    if not gate.keeps_hours:
        return "none kept"
    if gate.opens_local_s is None or gate.closes_local_s is None:
        return f"kept, times {NOT_KNOWN}"
    return f"{of_day(gate.opens_local_s)} to {of_day(gate.closes_local_s)} by its own clock"


def of_day(seconds: float) -> str:
    """Seconds after midnight as a time of day."""
    hour, rest = divmod(round(seconds), round(HOUR))
    return f"{hour:02d}:{rest // round(MINUTE):02d}"


def _last_entry(gate: Gate) -> str:
    if gate.last_entry_s is None:
        return f"{NOT_KNOWN}: by your limit for a lock" if gate.kind == GateKind.LOCK else ""
    return f"{duration(gate.last_entry_s)} before it shuts" if gate.last_entry_s else ""


def station_words(station: TideStation) -> str:
    """What kind of station it is, in words."""
    return _STATIONS[station.kind](station)


def _harmonic(station: TideStation) -> str:
    return f"harmonic constants, {len(station.constants)} constituents"


def _secondary(station: TideStation) -> str:
    return f"secondary port of {station.reference} {words_of(station.differences or {})}"


def _fitted(station: TideStation) -> str:
    notes = fit_notes(station)
    left = f"{metres(notes.standard_deviation_m, 2)} left over" if notes else f"what is left over is {NOT_KNOWN}"
    observed = f"{number(notes.observed_s / DAY)} days of observations" if notes else "observations"
    return f"fitted from {observed}, {left}"


def fit_notes(station: TideStation) -> FitNotes | None:
    """What the fit of a station left over; None where it was not fitted or the notes cannot be read."""
    try:
        return msgspec.convert(station.fit, FitNotes) if station.fit else None
    except msgspec.ValidationError:
        return None


_STATIONS: Mapping[str, Callable[[TideStation], str]] = {
    TideStationKind.HARMONIC: _harmonic,
    TideStationKind.TABLE: lambda _: "printed table of high and low waters",
    TideStationKind.SECONDARY: _secondary,
    TideStationKind.FITTED: _fitted,
}


def station_terms(station: TideStation, reach: tuple[datetime, datetime] | None) -> Iterator[tuple[str, str]]:
    """Everything its figures rest on: kind, datum, unit, zone, mean level, validity, source; a table its reach."""
    yield "Kind", station_words(station)
    yield "Heights above", f"{station.datum or NOT_KNOWN}, in metres"
    if station.mean_level_m is not None:
        yield "Mean level", f"{metres(station.mean_level_m, 2)} above it"
    if station.kind == TideStationKind.TABLE:
        yield "Differences applied", YES_NO[station.differences_applied]
    if reach is not None:
        yield "Reaches", " to ".join(local_date(moment.timestamp(), "UTC", year=True) for moment in reach)
    yield from _fit_terms(station)
    for name, height_m in station.levels.items():
        yield name[:1].upper() + name[1:], metres(height_m, 2)
    yield "Times kept in", "UTC, shown by the harbour's clock"
    yield "Holds", validity_words(station)
    yield "Source", station.source or NOT_KNOWN


def _fit_terms(station: TideStation) -> Iterator[tuple[str, str]]:
    notes = fit_notes(station)
    if notes is None:
        return
    start, end = (local_date(moment.timestamp(), "UTC", year=True) for moment in (notes.first_at, notes.last_at))
    yield "Observed", f"{start} to {end}, {notes.count:,} heights"
    yield "Heights may be out by", f"{metres(notes.doubt_m, 2)}, as the weather was then"
    yield "Left over", f"95 % within {metres(notes.within_95_m, 2)}"
    yield "Most left over", f"{metres(notes.largest_m, 2)}, {with_utc(notes.largest_at.timestamp(), 'UTC')}"
    if notes.not_fitted:
        yield "Not fitted", ", ".join(notes.not_fitted)


def validity_words(station: TideStation) -> str:
    """From when until when the figures hold."""
    ends = [
        f"{word} {local_date(moment.timestamp(), 'UTC', year=True)}"
        for word, moment in (("from", station.valid_from), ("until", station.valid_to))
        if moment is not None
    ]
    return " ".join(ends) or "no end was set"
