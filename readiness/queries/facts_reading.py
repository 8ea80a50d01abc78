"""Readings for the facts: the newest of each series, however many were taken, and what was added lately."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import accumulate
from typing import Any

from django.db.models import CharField, F, OuterRef, Subquery, Value, Window
from django.db.models.functions import RowNumber

from readiness.queries.facts_number import number
from readiness.rules.facts_boat import Added, Reading
from readiness.rules.record import NOT_KNOWN
from readiness.rules.words_of_trade import How
from vessel.models import Reading as ReadingRow
from vessel.models import Series, SeriesKind
from vessel.units import DAY

ADDITIONS = 12  # so many of the newest additions tell the rate

# How long a reading keeps where its series does not say. Source: own defaults [own].
KEEPS_S = {
    SeriesKind.ENGINE_HOURS: 30 * DAY,
    SeriesKind.TANK_LEVEL: 14 * DAY,
    SeriesKind.SUMP_LEVEL: 14 * DAY,
    SeriesKind.RESTED_VOLTAGE: 7 * DAY,
    SeriesKind.STATE_OF_CHARGE: 7 * DAY,
    SeriesKind.FREE_PLAY: 366 * DAY,
    SeriesKind.ENGINE_SPACE_RISE: 366 * DAY,
}


@dataclass(frozen=True, slots=True)
class Taken:
    """One reading with what its series hangs on; `engine_hours`, the hour meter when it was taken."""

    what: str
    kind: str
    tank_id: int | None
    sump_id: int | None
    source_kind: str | None
    equipment_kind: str | None
    keeps_s: int | None
    keeps_engine_hours: float | None
    at: datetime
    value: float
    how: str
    engine_hours: float | None
    conditions: dict[str, Any]
    pk: int


COLUMNS = (
    "series__kind", "series__tank_id", "series__sump_id", "series__source__kind", "series__equipment__kind",
    "series__keeps_s", "series__keeps_engine_hours", "at", "value", "how", "engine_hours", "conditions", "pk",
)  # fmt: skip


def readings_of(vessel_id: int) -> list[Taken]:
    """The newest reading of each series that a rule asks for, and the newest additions, oldest first. One query."""
    last = ReadingRow.objects.filter(series=OuterRef("pk"), struck_at=None).order_by("-at", "-pk").values("pk")[:1]
    asked = Series.objects.filter(vessel_id=vessel_id, kind__in=KEEPS_S).annotate(last=Subquery(last))
    newest = ReadingRow.objects.filter(pk__in=asked.values("last"))
    added = ReadingRow.objects.filter(
        series__vessel_id=vessel_id, series__kind=SeriesKind.CONSUMABLE_ADDED, struck_at=None
    ).annotate(rank=Window(RowNumber(), partition_by=F("series_id"), order_by=[F("at").desc(), F("pk").desc()]))
    parts = [
        rows.order_by().annotate(what=Value(what, CharField())).values_list("what", *COLUMNS)
        for what, rows in (("newest", newest), ("added", added.filter(rank__lte=ADDITIONS)))
    ]
    taken = [Taken(*row) for row in parts[0].union(parts[1], all=True)]
    return sorted(taken, key=lambda one: (one.at, one.pk))


def newest(taken: Sequence[Taken], kind: SeriesKind, **of: object) -> Taken | None:
    """The newest reading of a kind whose series hangs on the given thing. No query."""
    fitting = [
        one for one in taken
        if one.what == "newest" and one.kind == kind and all(getattr(one, name) == value for name, value in of.items())
    ]  # fmt: skip
    return fitting[-1] if fitting else None


def reading_of(one: Taken | None, engine_hours_now: float = NOT_KNOWN) -> Reading:
    """A reading as a fact; not known where none was taken, kept for no time where the engine ran it stale."""
    if one is None:
        return Reading(value=NOT_KNOWN, at=None, how=None, keeps_s=NOT_KNOWN)
    keeps = one.keeps_s if one.keeps_s is not None else KEEPS_S[SeriesKind(one.kind)]
    return Reading(
        value=one.value, at=one.at, how=How(one.how), keeps_s=0.0 if _run_stale(one, engine_hours_now) else float(keeps)
    )


def _run_stale(one: Taken, engine_hours_now: float) -> bool:
    if one.keeps_engine_hours is None:
        return False
    ran = engine_hours_now - number(one.engine_hours)
    return not ran <= one.keeps_engine_hours


def additions_of(taken: Sequence[Taken], sump_id: int) -> tuple[Added, ...]:
    """Running totals of what was lately added to one sump, by engine hours; the first is the starting point."""
    added = [one for one in taken if one.what == "added" and one.sump_id == sump_id]
    totals = list(accumulate((one.value for one in added[1:]), initial=0.0))
    return tuple(
        Added(engine_h=number(one.engine_hours), total_l=total) for one, total in zip(added, totals, strict=bool(added))
    )
