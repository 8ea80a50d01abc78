"""What is wrong with her, what is to be done, and when each service was last done."""

from datetime import timedelta
from typing import Any

from maintenance.actions.defect import report_defect
from maintenance.actions.job import add_job, finish_job, prove_job, start_job
from maintenance.models import Defect, Job, JobPart, ServiceDone, ServiceItem
from readiness.management.demo.boat import AUTHOR
from readiness.management.demo.lists import lines_of, number_in
from readiness.management.demo.moment import DemoMoment
from vessel.actions.author import By
from vessel.actions.history import record
from vessel.models import Equipment, Vessel

ENGINE_HOURS = 4206.0
BEHIND = 0.45  # share of its interval that each service has behind it
LATE_ITEM, LATE = "SV-56", 1.1  # the compass was not checked in time
MONTH_DAYS = 30.4


def demo_services(vessel: Vessel, owner: By, moment: DemoMoment) -> None:
    """Each service done once, with time and hours left; one line is late, one only on condition."""
    done = []
    for item in ServiceItem.objects.filter(vessel=vessel):
        share = LATE if item.code == LATE_ITEM else BEHIND
        if item.every_months is None and item.every_hours is None:
            continue
        days = share * (item.every_months or 12) * MONTH_DAYS
        hours = ENGINE_HOURS - share * item.every_hours if item.every_hours else None
        done.append(
            ServiceDone(
                service_item=item, on=moment.today - timedelta(days=round(days)), engine_hours=hours, by=AUTHOR,
                entered_at=moment.ago(days=days),
            )
        )  # fmt: skip
    ServiceDone.objects.bulk_create(done)
    what = f"{len(done)} services were booked as done from the old service book."
    record(vessel=vessel, what=what, by=owner, at=moment.ago(days=4), noun="vessel", noun_key=vessel.name)


def demo_defects(vessel: Vessel, owner: By, moment: DemoMoment) -> list[Defect]:
    """Her defects, the oldest first as people found them."""
    items = {item.code: item for item in Equipment.objects.filter(vessel=vessel)}
    return [_defect(vessel, items[line["equipment"]], line, owner, moment) for line in lines_of("defects")]


def _defect(vessel: Vessel, item: Equipment, line: dict[str, str], owner: By, moment: DemoMoment) -> Defect:
    on_a_date = line["mend_by"] == "date"
    return report_defect(
        vessel=vessel, title=line["title"], equipment=item, effect=line["effect"], by=owner,
        at=moment.ago(days=float(line["days_ago"])), limit_text=line["limit_text"], mend_by=line["mend_by"],
        mend_by_on=moment.today + timedelta(days=60) if on_a_date else None,
        mend_minutes=number_in(line["mend_minutes"]), mend_parts_aboard=line["parts_aboard"] == "yes",
        check_every_h=number_in(line["check_every_h"]), tags=[line["tags"]] if line["tags"] else [],
        may_sail_if=line["may_sail_if"], cause_known=True,
    )  # fmt: skip


def demo_jobs(vessel: Vessel, owner: By, moment: DemoMoment) -> None:
    """The jobs in the book, each as far as it is."""
    items = {item.code: item for item in Equipment.objects.filter(vessel=vessel)}
    for line in lines_of("jobs"):
        at = moment.ago(days=float(line["days_ago"]))
        job = add_job(
            vessel=vessel, title=line["title"], by=owner, at=at, status="planned",
            takes_out=[items[line["takes_out"]]] if line["takes_out"] else [], works_on=[items[line["works_on"]]],
            put_back_minutes=number_in(line["put_back_minutes"]), hours_likely=number_in(line["hours"]),
            hands=int(line["hands"]), test_text=line["test_text"], test_where=line["test_where"] or None,
            test_minutes=number_in(line["test_minutes"]),
        )  # fmt: skip
        _bring_on(job, line["status"], owner, moment, float(line["days_ago"]))


def _bring_on(job: Job, status: str, owner: By, moment: DemoMoment, days_ago: float) -> None:
    same: dict[str, Any] = {"job_id": job.pk, "by": owner}
    if status == "parts waiting":
        arrives = moment.today + timedelta(days=11)
        JobPart.objects.create(
            job=job, part="AIS transponder", lead_days=21, ordered_on=moment.today - timedelta(days=10), due_on=arrives
        )
        Job.objects.filter(pk=job.pk).update(status=status)
    elif status == "in hand":
        start_job(seen_version=job.version, at=moment.ago(days=days_ago - 1), **same)
    elif status == "proved":
        started = start_job(seen_version=job.version, at=moment.ago(days=days_ago - 0.2), **same)
        done = finish_job(seen_version=started.version, at=moment.ago(days=days_ago - 1), **same)
        prove_job(seen_version=done.version, at=moment.ago(days=days_ago - 2), proof="Hosed, dry inside", **same)


def demo_haul_out(vessel: Vessel, owner: By, moment: DemoMoment) -> None:
    """The jobs of the haul-out: ideas until it is planned, with what each must wait for."""
    made: dict[str, Job] = {}
    for line in lines_of("haul_out"):
        low, likely, high = (float(line[f"{name}_h"]) for name in ("low", "likely", "high"))
        made[line["code"]] = add_job(
            vessel=vessel, title=line["title"], by=owner, at=moment.ago(days=30), project="haul-out", status="idea",
            needs=[made[code] for code in line["needs"].split(";") if code], where=line["where"],
            people=line["people"], hands=int(line["hands"]) if line["hands"] else None, hours_low=low,
            hours_likely=likely, hours_high=high, wait_after_h=float(line["wait_h"]), access_set=line["access_set"],
            note=line["note"],
        )  # fmt: skip
        if float(line["lead_days"]):
            JobPart.objects.create(job=made[line["code"]], part="Parts", lead_days=float(line["lead_days"]))
