"""Writing the ship's log. An hour-meter figure in it is also a reading of the engine-hours series."""

from collections.abc import Mapping
from datetime import datetime

from django.db import transaction

from vessel.actions.author import By, token_of
from vessel.actions.history import record
from vessel.actions.series import CLOCK_SLACK, add_reading
from vessel.calc.json_value import json_value
from vessel.errors import BadInput, Refused
from vessel.models import PRIVATE_KINDS, HowTaken, LogEntry, LogKind, Series, SeriesKind, Vessel


@transaction.atomic
def add_entry(
    *,
    vessel: Vessel,
    kind: str,
    by: By,
    at: datetime,
    happened_at: datetime | None = None,
    text: str = "",
    engine_hours: float | None = None,
    values: Mapping[str, object] | None = None,
) -> LogEntry:
    """One line of the log, for now or for a time past. Raises BadInput; then nothing is written."""
    when = happened_at or at
    if when > at + CLOCK_SLACK:
        raise BadInput("A log entry cannot lie in the future, so it was not written. Mend the time.")
    if kind not in LogKind.values:
        raise BadInput(f"“{kind}” is not a kind of log entry. Nothing was written.")
    if kind == LogKind.NOTE and not text.strip():
        raise BadInput("An empty note was not written.")
    if kind == LogKind.ENGINE_HOURS and engine_hours is None:
        raise BadInput("Give the hour meter's figure; nothing was written.")
    entry = LogEntry.objects.create(
        vessel=vessel,
        at=when,
        kind=kind,
        text=text.strip(),
        engine_hours=engine_hours,
        values=json_value(values or {}),
        by=token_of(by=by, vessel_id=vessel.pk),
        entered_at=at,
    )
    _read_meter(entry, by, at)
    changes = {name: [None, value] for name, value in entry.values.items()}
    _tell(entry, f"Log: {_line(entry)}.", by, at, happened_at, changes, private=_private_text(entry))
    return entry


def _read_meter(entry: LogEntry, by: By, at: datetime) -> None:
    if entry.engine_hours is None:
        return
    series = Series.objects.filter(vessel=entry.vessel, kind=SeriesKind.ENGINE_HOURS).order_by("pk").first()
    if series is not None:
        typed = f"{entry.engine_hours:.4f} h"
        add_reading(series_id=series.pk, typed=typed, by=by, at=at, taken_at=entry.at, how=HowTaken.READ_OFF)


@transaction.atomic
def strike_entry(*, entry_id: int, by: By, at: datetime) -> LogEntry:
    """Strike out a wrong entry: it stays readable and counts no more."""
    entry = LogEntry.objects.select_for_update().select_related("vessel").get(pk=entry_id)
    if entry.struck_at is not None:
        raise Refused("This entry is struck out already; nothing was changed.")
    entry.struck_at, entry.struck_by = at, token_of(by=by, vessel_id=entry.vessel_id)
    entry.save(update_fields=["struck_at", "struck_by"])
    _tell(entry, f"Log entry struck out: {_line(entry)}.", by, at, None, {})
    return entry


def _line(entry: LogEntry) -> str:
    hours = f", {entry.engine_hours:g} h" if entry.engine_hours is not None else ""
    text = "" if entry.kind in PRIVATE_KINDS else entry.text.rstrip(".")
    return f"{entry.get_kind_display()}{hours}{': ' if text else ''}{text}"


def _private_text(entry: LogEntry) -> str | None:
    return entry.text if entry.kind in PRIVATE_KINDS else None


def _tell(
    entry: LogEntry,
    what: str,
    by: By,
    at: datetime,
    happened_at: datetime | None,
    changes: dict[str, list[object]],
    private: str | None = None,
) -> None:
    record(
        vessel=entry.vessel, what=what, by=by, at=at, noun="log entry", noun_key=str(entry.pk),
        changes=changes, happened_at=happened_at, private=private,
    )  # fmt: skip
