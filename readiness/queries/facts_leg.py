"""Facts of the leg itself, with what one look at the log and the limits says beside it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise
from typing import Any

from django.db.models import (
    DateTimeField,
    F,
    FilteredRelation,
    FloatField,
    JSONField,
    Max,
    OuterRef,
    Q,
    QuerySet,
    Subquery,
    Sum,
)  # fmt: skip
from django.db.models.fields.json import KT
from django.db.models.functions import Cast, Coalesce

from maintenance.models import Job
from readiness.models import Leg, LegPoint, LimitSet
from readiness.queries.facts_number import number
from readiness.queries.facts_warning import LOOK, warnings_of
from readiness.rules.facts_water import Leg as LegFact
from readiness.rules.facts_water import Point, Segment, Warnings
from readiness.rules.words_of_trade import LandOnWay, StreamBy, TrackKind
from vessel.errors import BadInput
from vessel.models import EquipmentKind, LogEntry, LogKind

Row = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class LegRow:
    """A leg with its vessel, and the newest of each thing a rule asks of log and limits."""

    leg: Leg
    limit_values: dict[str, Any] | None
    lights_checked_at: datetime | None
    second_start_at: datetime | None
    cold_start_at: datetime | None
    cold_start: dict[str, Any]
    autopilot_sea_h: float | None
    warnings: Warnings | None


@dataclass(frozen=True, slots=True)
class Way:
    """The leg's facts and the rows of the coast that its points and segments name."""

    facts: LegFact
    gate_ids: frozenset[int]
    station_ids: frozenset[int]
    stream_ids: frozenset[int]


def leg_row(leg_id: int) -> LegRow:
    """One leg, its vessel and harbours, and newest log lines. One query. Raises Leg.DoesNotExist."""
    limits = LimitSet.objects.filter(vessel=OuterRef("vessel")).order_by("-number").values("values")[:1]
    cold = _log(LogKind.COLD_START).order_by("-at", "-pk")
    leg = (
        Leg.objects.select_related("vessel", "departure", "arrival")
        .annotate(
            limit_values=Subquery(limits, output_field=JSONField()),
            lights_checked_at=_newest(LogKind.LIGHTS_CHECK),
            second_start_at=_newest(LogKind.SECOND_START),
            cold_start_at=Subquery(cold.values("at")[:1]),
            cold_start=Subquery(cold.values("values")[:1]),
            autopilot_h=_autopilot_hours(),
            **LOOK,
        )
        .get(pk=leg_id)
    )
    return LegRow(
        leg=leg,
        limit_values=leg.limit_values,
        lights_checked_at=leg.lights_checked_at,
        second_start_at=leg.second_start_at,
        cold_start_at=leg.cold_start_at,
        cold_start=leg.cold_start or {},
        autopilot_sea_h=leg.autopilot_h,
        warnings=warnings_of(leg),
    )


def _log(kind: LogKind) -> QuerySet[LogEntry]:
    return LogEntry.objects.filter(vessel=OuterRef("vessel"), kind=kind, struck_at=None)


def _newest(kind: LogKind) -> Subquery:
    return Subquery(_log(kind).order_by("-at").values("at")[:1])


def _autopilot_hours() -> Subquery:
    """Hours at sea on the autopilot since its drive or control was last worked on."""
    parts = [EquipmentKind.AUTOPILOT_DRIVE, EquipmentKind.AUTOPILOT_CONTROL]
    worked = (
        Job.objects.filter(Q(works_on__kind__in=parts) | Q(takes_out__kind__in=parts), vessel=OuterRef("vessel"))
        .order_by()
        .values("vessel")
        .annotate(last=Max("done_at"))
        .values("last")
    )
    since = Coalesce(Subquery(worked), datetime.fromisoformat("1900-01-01T00:00Z"), output_field=DateTimeField())
    ran = _log(LogKind.AUTOPILOT_AT_SEA).annotate(since=since).filter(at__gt=F("since")).order_by().values("vessel")
    return Subquery(ran.annotate(h=Sum(Cast(KT("values__ran_h"), FloatField()))).values("h"))


def way_of(leg: Leg) -> Way:
    """Points and segments of a leg. One query. Raises BadInput for fewer than two points."""
    rows = list(
        LegPoint.objects.filter(leg=leg)
        .annotate(onward=FilteredRelation("leg__segments", condition=Q(leg__segments__number=F("number"))))
        .order_by("number")
        .values(
            "name", "lat_deg", "lon_deg", "charted_m", "depth_matters", "gate_id", "tide_station_id",
            "gate__key", "tide_station__key", "onward__name", "onward__kind", "onward__exposed",
            "onward__crosses_bar", "onward__stream_table_id", "onward__stream_table__key",
            "onward__stream_by", "onward__shore_m", "onward__shore_to_deg",
            "onward__land",
        )
    )  # fmt: skip
    if len(rows) < 2:
        raise BadInput(f"The leg {leg.name} has no way yet: give it at least two points. Nothing was judged.")
    return Way(
        facts=_leg(leg, rows),
        gate_ids=frozenset(row["gate_id"] for row in rows if row["gate_id"]),
        station_ids=frozenset(row["tide_station_id"] for row in rows if row["tide_station_id"]),
        stream_ids=frozenset(row["onward__stream_table_id"] for row in rows if row["onward__stream_table_id"]),
    )


def _leg(leg: Leg, rows: Sequence[Row]) -> LegFact:
    return LegFact(
        key=leg.key,
        name=leg.name,
        planned_at=leg.planned_at,
        departure_place=leg.departure.key,
        arrival_place=leg.arrival.key,
        harbour_move=leg.harbour_move,
        points=tuple(_point(row) for row in rows),
        segments=tuple(_segment(here, there) for here, there in pairwise(rows)),
        refuges=(),
        speed_mps=number(leg.speed_mps),
        running_on_s=number(leg.running_on_s),
        watch_plan_counts_autopilot=leg.watch_plan_counts_autopilot,
    )


def _point(row: Row) -> Point:
    return Point(
        name=row["name"],
        lat_deg=row["lat_deg"],
        lon_deg=row["lon_deg"],
        charted_m=row["charted_m"],
        depth_matters=row["depth_matters"],
        station=row["tide_station__key"],
        gate=row["gate__key"],
    )


def _segment(here: Row, there: Row) -> Segment:
    """From one point to the next; one that nobody described is a rhumb line of which nothing is known."""
    return Segment(
        name=here["onward__name"] or f"{here['name']} to {there['name']}",
        kind=TrackKind(here["onward__kind"] or TrackKind.RHUMB),
        exposed=here["onward__exposed"],
        crosses_bar=here["onward__crosses_bar"],
        stream_by=StreamBy(here["onward__stream_by"] or StreamBy.NAMED),
        stream=here["onward__stream_table__key"],
        shore_m=number(here["onward__shore_m"]),
        shore_to_deg=number(here["onward__shore_to_deg"]),
        land=LandOnWay(here["onward__land"] or LandOnWay.NOT_LOOKED),
    )
