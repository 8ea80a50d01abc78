"""A gate's windows day by day for a week, when the stream of narrows turns, and what a gate on the way does now."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

from readiness.models import Gate
from readiness.queries.gate import GateDays, gates_on_the_way, windows_of_gates
from readiness.rules.words_of_trade import GateKind
from readiness.views.harbour_tide import GATES_AHEAD_S, gate_line, gate_now
from readiness.views.picture.axis import Day, day_of, midnight
from readiness.views.picture.tide_week import WEEK, days_from, week_gate_words, zone_words
from vessel.calc.wording import NOT_KNOWN, clock
from vessel.units import DAY


@dataclass(frozen=True, slots=True)
class GateLineNow:
    """A gate on the way and what it does now and next."""

    gate: Gate
    words: str


@dataclass(frozen=True, slots=True)
class GateDayRow:
    """One day of the week; `turns`: when the stream turns, "" for a gate that no stream rules."""

    on: str
    name: str
    date: str
    words: str
    turns: str


def zone_of(gate: Gate) -> str:
    """The clock it keeps: its own or its harbour's."""
    return gate.zone or (gate.harbour.zone if gate.harbour else "UTC")


def way_gate_lines(vessel_id: int, now: float) -> list[GateLineNow]:
    """Every gate on the way. One query, and five more where there are any."""
    gates = list(gates_on_the_way(vessel_id))
    if not gates:
        return []
    held = windows_of_gates(gates, start=_moment(now - DAY), end=_moment(now + GATES_AHEAD_S))
    return [GateLineNow(gate, _now_words(gate, held[gate.pk], now)) for gate in gates]


def _now_words(gate: Gate, held: GateDays, now: float) -> str:
    return gate_now(gate_line(gate, held), zone_of(gate), now).removeprefix(f"{gate.name} ")


def gate_week(gate: Gate, first: Day, now: float) -> dict[str, object]:
    """Everything the page of a gate tells of the week from a day on, and of now. Five queries."""
    days = days_from(first)
    start, end = min(days[0].start, now) - DAY, max(days[-1].end, now + GATES_AHEAD_S) + DAY
    held = windows_of_gates([gate], start=_moment(start), end=_moment(end))[gate.pk]
    return {
        "now_words": _now_words(gate, held, now),
        "week": _rows(gate, days, held),
        "has_turns": gate.kind == GateKind.NARROWS,
        "gate_note": held.note,
        "why_not": held.why_not,
        "first": first,
        "last": days[-1],
        "clock_words": zone_words(days[0].start, days[-1].end - 1, first.zone),
        "before": day_of(midnight(days[0].on.fromordinal(first.on.toordinal() - WEEK), first.zone), first.zone).on,
        "after": days_from(first, WEEK + 1)[WEEK].on,
    }


def _rows(gate: Gate, days: Sequence[Day], held: GateDays) -> list[GateDayRow]:
    line = gate_line(gate, held)
    return [
        GateDayRow(day.on.isoformat(), day.name, day.date, week_gate_words(day, line), _turns(gate, day, held))
        for day in days
    ]


def _turns(gate: Gate, day: Day, held: GateDays) -> str:
    if gate.kind != GateKind.NARROWS:
        return ""
    told = [clock(at, day.zone) for at in held.turns_at.tolist() if day.holds(at)]
    return ", ".join(told) or NOT_KNOWN


def _moment(at: float) -> datetime:
    return datetime.fromtimestamp(at, UTC)
