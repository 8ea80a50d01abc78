"""The chapters of what is wrong, what was done and what falls due. Every column is named here; prices stay."""

from collections.abc import Iterable

from django.db.models import F, QuerySet

from maintenance.models import Defect, Job, ServiceDone, ServiceItem, Spare
from vessel.calc.json_value import stamp
from vessel.queries.handover import Cell, Chapter, columns_of

OPEN_FIRST = "Open ones stand first."


def defects(vessel_id: int) -> Chapter:
    """Every defect, the open ones first. One query."""
    held = Defect.objects.filter(vessel_id=vessel_id).select_related("equipment", "series")
    rows: list[tuple[Cell, ...]] = [
        (
            defect.code, "mended" if defect.closed_at else "OPEN", defect.title, defect.description,
            defect.equipment.code if defect.equipment else None, defect.effect, defect.limit_text,
            stamp(defect.opened_at), defect.cause, defect.temporary_repair, defect.may_sail_if, _mend_by(defect),
            defect.series.name if defect.series else None, stamp(defect.checked_at), stamp(defect.closed_at),
            defect.how_mended,
        )
        for defect in held.order_by(F("closed_at").desc(nulls_first=True), "number")
    ]  # fmt: skip
    columns = columns_of(
        "number", "state", "title", "description", "equipment", "effect", "works_within", "opened_at", "cause",
        "temporary_repair", "may_sail_if", "mend_by", "series", "checked_at", "mended_at", "how_mended",
    )  # fmt: skip
    note = f"{OPEN_FIRST} An empty effect is not known, which is not the same as none."
    return Chapter("defects", "Defects", columns, rows, note)


def _mend_by(defect: Defect) -> str | None:
    return str(defect.mend_by_on) if defect.mend_by_on else defect.mend_by


def jobs(vessel_id: int) -> Chapter:
    """Every job, those not ended first. Three queries."""
    held: QuerySet[Job] = Job.objects.filter(vessel_id=vessel_id).select_related("defect")
    rows = [_job(job) for job in held.prefetch_related("takes_out", "parts")]
    rows.sort(key=lambda row: row[1] in {"proved", "dropped"})
    columns = columns_of(
        "number", "status", "title", "note", "defect", "takes_out_of_service", "parts", "test", "hours_likely:h",
        "started_at", "done_at", "proved_at",
    )  # fmt: skip
    return Chapter("jobs", "Jobs", columns, rows, OPEN_FIRST)


def _job(job: Job) -> tuple[Cell, ...]:
    takes_out = ", ".join(sorted(item.code for item in job.takes_out.all()))
    parts = ", ".join(f"{part.quantity:g} {part.part}" for part in job.parts.all())
    return (
        job.code, job.status, job.title, job.note, job.defect.code if job.defect else None, takes_out, parts,
        job.test_text, job.hours_likely, stamp(job.started_at), stamp(job.done_at), stamp(job.proved_at),
    )  # fmt: skip


def services(vessel_id: int) -> Chapter:
    """The service plan with every doing of each item; an item never booked has one row with no date. Two queries."""
    items = ServiceItem.objects.filter(vessel_id=vessel_id).select_related("equipment").prefetch_related("done")
    rows: list[tuple[Cell, ...]] = [row for item in items for row in _service(item, item.done.all())]
    columns = columns_of(
        "code", "item", "equipment", "every_hours:h", "every_months:month", "tolerance_pct:%", "consumables",
        "done_on", "done_on_precision", "done_at_engine_hours:h", "note",
    )  # fmt: skip
    return Chapter("services", "Services", columns, rows, "No date: never booked as done.")


def _service(item: ServiceItem, done: Iterable[ServiceDone]) -> list[tuple[Cell, ...]]:
    plan: tuple[Cell, ...] = (
        item.code, item.item, item.equipment.code, item.every_hours, item.every_months, item.tolerance_pct,
        item.consumables,
    )  # fmt: skip
    doings: list[tuple[Cell, ...]] = [
        (str(each.on) if each.on else None, each.on_precision if each.on else None, each.engine_hours, each.note)
        for each in done
    ]
    return [plan + doing for doing in doings or [(None, None, None, "")]]


def spares(vessel_id: int) -> Chapter:
    """What is in stock and where it is stowed. One query."""
    rows: list[tuple[Cell, ...]] = [
        (spare.part, spare.part_number, spare.quantity, spare.unit, spare.where_stowed, spare.keep_min)
        for spare in Spare.objects.filter(vessel_id=vessel_id)
    ]
    columns = columns_of("part", "part_number", "quantity", "unit", "where_stowed", "keep_at_least")
    return Chapter("spares", "Spares", columns, rows, "An empty quantity was not counted.")
