"""Facts of what is fitted, what is wrong with it, what is being done to it and what is due."""

from collections.abc import Mapping, Sequence
from datetime import date
from itertools import groupby
from math import isnan
from operator import itemgetter
from typing import Any

from django.db.models import OuterRef, Q, Subquery
from msgspec.structs import replace

from maintenance.models import Defect, Job, JobStatus, ServiceDone, ServiceItem
from readiness.queries.facts_date import first_day
from readiness.queries.facts_number import number
from readiness.rules.facts_boat import Boat, Service, Test
from readiness.rules.facts_boat import Defect as DefectFact
from readiness.rules.facts_boat import Equipment as EquipmentFact
from readiness.rules.facts_boat import Job as JobFact
from readiness.rules.limits import Limits
from readiness.rules.words_of_trade import DueBy, Effect, Kind, Opens, TestPlace
from readiness.rules.words_of_trade import JobStatus as JobWord
from vessel.models import Equipment, Proof
from vessel.units import DAY

Row = Mapping[str, Any]
UNTIL_WORKED_ON_S = 36525 * DAY  # a proof that keeps until the item is worked on: a hundred years
OVER = (JobStatus.IDEA, JobStatus.PROVED, JobStatus.DROPPED)
DUE_BY = {
    (True, True): DueBy.BOTH,
    (True, False): DueBy.HOURS,
    (False, True): DueBy.MONTHS,
    (False, False): DueBy.CONDITION,
}


def equipment_of(vessel_id: int, today: date) -> tuple[EquipmentFact, ...]:
    """What is fitted or carried, each with its feeds and newest proof; a failed one is no proof. One query."""
    newest = Proof.objects.filter(equipment=OuterRef("pk")).order_by("-at", "-pk")
    rows = (
        Equipment.objects.filter(Q(removed_on=None) | Q(removed_on__gt=today), vessel_id=vessel_id)
        .annotate(proof_at=Subquery(newest.values("at")[:1]), proof_passed=Subquery(newest.values("passed")[:1]))
        .order_by("pk", "feed_choices__pk")
        .values(
            "pk", "code", "name", "kind", "carried", "single_by_nature", "keep_days", "typical_proof",
            "proof_minutes", "proof_where", "feed_choices__feed__code", "proof_at", "proof_passed",
        )
    )  # fmt: skip
    return tuple(_equipment(list(group)) for _, group in groupby(rows, key=itemgetter("pk")))


def _equipment(group: Sequence[Row]) -> EquipmentFact:
    row = group[0]
    feeds = (other["feed_choices__feed__code"] for other in group)
    return EquipmentFact(
        code=row["code"],
        name=row["name"],
        kind=Kind(row["kind"]),
        carried=row["carried"],
        single_by_nature=row["single_by_nature"],
        fed_by=tuple(code for code in feeds if code),
        proved_at=row["proof_at"] if row["proof_passed"] else None,
        keeps_s=UNTIL_WORKED_ON_S if row["keep_days"] is None else row["keep_days"] * DAY,
        proof=row["typical_proof"],
        proof_minutes=number(row["proof_minutes"]),
        proof_where=_place(row["proof_where"]),
    )


def defects_of(vessel_id: int) -> tuple[DefectFact, ...]:
    """Open defects. One query."""
    rows = Defect.objects.filter(vessel_id=vessel_id, closed_at=None).select_related("equipment").order_by("number")
    return tuple(
        DefectFact(
            key=defect.code,
            title=defect.title,
            equipment=defect.equipment.code if defect.equipment else None,
            effect=Effect(defect.effect) if defect.effect else None,
            limit=defect.limit_text,
            opened_at=defect.opened_at,
            mend_minutes=number(defect.mend_minutes),
            mend_parts_aboard=defect.mend_parts_aboard,
        )
        for defect in rows
    )


def jobs_of(vessel_id: int) -> tuple[JobFact, ...]:
    """Jobs that are neither proved, dropped nor a mere idea, each with what it takes out. One query."""
    rows = (
        Job.objects.filter(vessel_id=vessel_id)
        .exclude(status__in=OVER)
        .order_by("number", "takes_out__pk")
        .values(
            "number", "title", "status", "opens", "opens_equipment__code", "put_back_minutes", "hours_likely", "hands",
            "done_at", "test_text", "test_where", "test_minutes", "takes_out__code",
        )
    )  # fmt: skip
    return tuple(_job(list(group)) for _, group in groupby(rows, key=itemgetter("number")))


def _job(group: Sequence[Row]) -> JobFact:
    row = group[0]
    test = Test(text=row["test_text"], where=_place(row["test_where"]), minutes=number(row["test_minutes"]))
    return JobFact(
        key=f"JOB-{row['number']}",
        title=row["title"],
        status=JobWord(row["status"]),
        takes_out=tuple(other["takes_out__code"] for other in group if other["takes_out__code"]),
        opens=tuple(Opens(word) for word in row["opens"]),
        opens_equipment=row["opens_equipment__code"],
        put_back_minutes=number(row["put_back_minutes"]),
        hours=number(row["hours_likely"]),
        hands=row["hands"],
        done_at=row["done_at"],
        test=test if row["test_text"] else None,
    )


def services_of(vessel_id: int) -> tuple[Service, ...] | None:
    """The service plan with the last doing of each line; None where there is no plan. One query."""
    done = ServiceDone.objects.filter(service_item=OuterRef("pk"))
    by_day = done.filter(on__isnull=False).order_by("-on", "-pk")
    by_meter = done.filter(engine_hours__isnull=False).order_by("-engine_hours")
    rows = (
        ServiceItem.objects.filter(vessel_id=vessel_id)
        .annotate(
            last_on=Subquery(by_day.values("on")[:1]),
            last_precision=Subquery(by_day.values("on_precision")[:1]),
            last_hours=Subquery(by_meter.values("engine_hours")[:1]),
        )
        .order_by("code")
        .values(
            "code", "item", "equipment__code", "every_hours", "every_months", "tolerance_pct", "minutes", "last_on",
            "last_precision", "last_hours",
        )
    )  # fmt: skip
    return tuple(_service(row) for row in rows) or None


def _service(row: Row) -> Service:
    return Service(
        key=row["code"],
        item=row["item"],
        equipment=row["equipment__code"],
        due_by=DUE_BY[row["every_hours"] is not None, row["every_months"] is not None],
        every_h=number(row["every_hours"]),
        every_months=number(row["every_months"]),
        tolerance=number(row["tolerance_pct"]) / 100,
        last_on=first_day(row["last_on"], row["last_precision"]),
        last_engine_h=number(row["last_hours"]),
        minutes=number(row["minutes"]),
    )


def with_tolerance(boat: Boat, limits: Limits) -> Boat:
    """The same boat, each service whose tolerance nobody stated taking the skipper's limit."""
    if boat.services is None:
        return boat
    services = (
        replace(service, tolerance=limits.service_tolerance) if isnan(service.tolerance) else service
        for service in boat.services
    )
    return replace(boat, services=tuple(services))


def _place(word: str | None) -> TestPlace | None:
    return TestPlace(word) if word in tuple(TestPlace) else None
