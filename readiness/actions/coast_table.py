"""More high and low waters for a printed table, and a stream table changed with its rows."""

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from typing import Any

from django.db import models, transaction

from readiness.actions.coast import add_tide_events, same_vessel
from readiness.feeds.tide_answer import TideFile
from readiness.feeds.tide_table import HighLowFile
from readiness.models import StreamRow, StreamTable, TideStation, TideStationKind
from vessel.actions.author import By
from vessel.actions.history import record
from vessel.actions.particulars import change
from vessel.actions.version import ChangedMeanwhile, check
from vessel.errors import BadInput, Refused
from vessel.models.versioned import Versioned
from vessel.units import Array

ROW = ("from_high_water_s", "set_deg", "rate_neaps_mps", "rate_springs_mps")


@transaction.atomic
def add_table_rows(
    *, station: TideStation, seen_version: int, file: TideFile, by: By, at: datetime, **changes: Any
) -> int:
    """The high and low waters of a file put to those of a printed table; how many came in.

    A water at a time already held is written over. `changes`: columns that change with it, such as until when the
    figures hold. Raises BadInput where the file is of another kind or datum, or holds other times for days that the
    table has; ChangedMeanwhile; Refused for a station that is no table. Then nothing is changed.
    """
    if station.kind != TideStationKind.TABLE:
        raise Refused(f"{station} is no printed table: its figures come anew with a new station.")
    if not isinstance(file, HighLowFile):
        raise BadInput("The file holds constants, not high and low waters. Nothing was taken in.")
    if file.datum and station.datum and file.datum.upper() != station.datum.upper():
        raise BadInput(
            f"The file's heights are above {file.datum}, those of {station} above {station.datum}. Nothing was taken in."
        )
    _refuse_other_times(station, file.table.at)
    change(station, vessel=station.vessel, seen_version=seen_version, by=by, at=at, **changes)
    if station.version == seen_version:
        count_up(station, seen_version)
    rows = zip(file.table.at.tolist(), file.table.height_m.tolist(), file.table.high.tolist(), strict=True)
    events = [(datetime.fromtimestamp(when, UTC), height, high) for when, height, high in rows]
    return add_tide_events(station=station, by=by, at=at, events=events)


def _refuse_other_times(station: TideStation, at: Array) -> None:
    """Two printings of the same days whose times differ would stand as twice as many waters."""
    times = {datetime.fromtimestamp(when, UTC) for when in at.tolist()}
    held = set(station.events.filter(at__range=(min(times), max(times))).values_list("at", flat=True))
    if others := sorted(held - times):
        raise BadInput(
            f"{station} has {len(others)} waters within these days at other times than the file, the first at"
            f" {others[0]:%Y-%m-%d %H:%M} UTC. Nothing was taken in."
        )


@transaction.atomic
def change_stream_table(
    *, table: StreamTable, seen_version: int, by: By, at: datetime, rows: Sequence[Mapping[str, float]] | None = None,
    **changes: Any,
) -> StreamTable:  # fmt: skip
    """The table with some columns changed, and its rows where they are given.

    Raises ChangedMeanwhile, or BadInput where it would break a rule; then nothing is changed.
    """
    same_vessel(table.vessel, changes.get("tide_station"))
    change(table, vessel=table.vessel, seen_version=seen_version, by=by, at=at, **changes)
    held = list(table.rows.order_by("from_high_water_s").values(*ROW))
    if rows is not None and held != [dict(row) for row in rows]:
        if table.version == seen_version:
            count_up(table, seen_version)
        _write_rows(table, held, rows, by, at)
    return table


def _write_rows(
    table: StreamTable, held: Sequence[Mapping[str, float]], rows: Sequence[Mapping[str, float]], by: By, at: datetime
) -> None:
    if not rows:
        raise BadInput("A stream table needs at least one row. Nothing was changed.")
    table.rows.all().delete()
    for columns in rows:
        row = StreamRow(table=table, **columns)
        check(row)
        row.save(force_insert=True)
    before, after = ([list(row.values()) for row in group] for group in (held, rows))
    record(
        vessel=table.vessel, what=f"Rows of stream table {table.name} changed.", by=by, at=at, noun="stream table",
        noun_key=table.key[:40], changes={"rows": [before, after]},
    )  # fmt: skip


def count_up(row: Versioned, seen_version: int) -> None:
    """One more version, for a change of rows that hang on it. Raises ChangedMeanwhile where it is not as it was seen."""
    kind = type(row)
    if not models.QuerySet(kind).filter(pk=row.pk, version=seen_version).update(version=seen_version + 1):
        now: Versioned = models.QuerySet(kind).get(pk=row.pk)
        words = f"{row} was changed by somebody else while you had it open. Theirs is kept, yours was not saved."
        raise ChangedMeanwhile(words, {}, {}, now.version)
    row.version = seen_version + 1
