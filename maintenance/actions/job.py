"""Jobs from idea to proved. What a job takes out of service comes back only when its test is passed."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from django.db import transaction

from maintenance.actions.numbering import next_number
from maintenance.models import Job, JobNeed, JobStatus, Opens
from vessel.actions.author import By, token_of
from vessel.actions.equipment import prove_equipment
from vessel.actions.history import record
from vessel.actions.particulars import change, parted
from vessel.actions.version import check, save_changed
from vessel.errors import BadInput, Refused
from vessel.models import Equipment, ProofPlace, Vessel

NOT_BEGUN = (JobStatus.IDEA, JobStatus.PLANNED, JobStatus.PARTS_WAITING, JobStatus.READY)
# From which states each deed leads on; any other is refused.
MAY = {
    JobStatus.PLANNED: NOT_BEGUN,
    JobStatus.PARTS_WAITING: (*NOT_BEGUN, JobStatus.IN_HAND),
    JobStatus.READY: NOT_BEGUN,
    JobStatus.IN_HAND: (*NOT_BEGUN, JobStatus.DONE_UNTESTED),
    JobStatus.DONE_UNTESTED: (*NOT_BEGUN, JobStatus.IN_HAND),
    JobStatus.PROVED: (JobStatus.DONE_UNTESTED,),
    JobStatus.DROPPED: NOT_BEGUN,
}
DEEDS_OWN = frozenset({"status", "done_at", "done_by", "proved_at", "started_at", "number", "vessel"})


@transaction.atomic
def add_job(
    *,
    vessel: Vessel,
    title: str,
    by: By,
    at: datetime,
    takes_out: Sequence[Equipment] = (),
    works_on: Sequence[Equipment] = (),
    needs: Sequence[Job] = (),
    **fields: Any,
) -> Job:
    """Open JOB-n as an idea, or as `status` says while it is not begun."""
    if fields.get("status", JobStatus.IDEA) not in NOT_BEGUN:
        raise BadInput("A new job is not begun yet: write it down first, then start it.")
    job = Job(vessel=vessel, number=next_number(Job.objects, vessel), title=title.strip(), **fields)
    _check_lists(job, (*takes_out, *works_on))
    check(job)
    job.save(force_insert=True)
    job.takes_out.set(takes_out)
    job.works_on.set(works_on)
    for need in needs:
        _check_no_circle(job, need)
        JobNeed.objects.create(job=job, needs=need)
    changes = {name: [None, value] for name, value in fields.items()}
    changes["takes_out"] = [None, [item.code for item in takes_out]]
    _tell(job, f"{job} written down.", by, at, changes)
    return job


@transaction.atomic
def change_job(
    *,
    job_id: int,
    seen_version: int,
    by: By,
    at: datetime,
    takes_out: Sequence[Equipment] | None = None,
    works_on: Sequence[Equipment] | None = None,
    **changes: Any,
) -> Job:
    """Change what is known of a job; starting, finishing, proving and dropping are deeds of their own."""
    job = Job.objects.select_related("vessel").get(pk=job_id)
    if barred := sorted(DEEDS_OWN & changes.keys()):
        raise BadInput(f"{barred[0].replace('_', ' ')} cannot be typed over; nothing was changed.")
    _check_lists(job, (*(takes_out or ()), *(works_on or ())), changes.get("opens"))
    change(job, vessel=job.vessel, seen_version=seen_version, by=by, at=at, **changes)
    for name, items in (("takes_out", takes_out), ("works_on", works_on)):
        if items is not None:
            _change_items(job, name, items, by, at)
    return job


def _change_items(job: Job, name: str, items: Sequence[Equipment], by: By, at: datetime) -> None:
    held = getattr(job, name)
    before = sorted(held.values_list("code", flat=True))
    after = sorted(item.code for item in items)
    if before != after:
        held.set(items)
        words = "takes out of service" if name == "takes_out" else "works on"
        _tell(job, f"{job.code} now {words}: {', '.join(after) or 'nothing'}.", by, at, {name: [before, after]})


@transaction.atomic
def plan_job(*, job_id: int, seen_version: int, status: str, by: By, at: datetime) -> Job:
    """Move a job that is not begun between planned, parts waiting and ready."""
    if status not in NOT_BEGUN[1:]:
        raise BadInput(f"“{status}” is not a state to plan a job into; nothing was changed.")
    return _move(job_id, seen_version, JobStatus(status), by, at, f"is now {status}")


@transaction.atomic
def start_job(*, job_id: int, seen_version: int, by: By, at: datetime) -> Job:
    """Take a job in hand: what it takes out is out of service from now. A done job started again is undone."""
    undone = {"started_at": at, "done_at": None, "done_by": None}
    return _move(job_id, seen_version, JobStatus.IN_HAND, by, at, "is in hand", **undone)


@transaction.atomic
def wait_for_parts(*, job_id: int, seen_version: int, by: By, at: datetime) -> Job:
    """A job stands still for want of parts; begun, it still keeps its items out of service."""
    return _move(job_id, seen_version, JobStatus.PARTS_WAITING, by, at, "waits for parts")


@transaction.atomic
def finish_job(*, job_id: int, seen_version: int, by: By, at: datetime) -> Job:
    """The work is done and all is closed up; its items stay unproved until the test is passed."""
    job = Job.objects.get(pk=job_id)
    done = {"done_at": at, "done_by": token_of(by=by, vessel_id=job.vessel_id), "opens": []}
    return _move(job_id, seen_version, JobStatus.DONE_UNTESTED, by, at, "is done, not tested yet", **done)


@transaction.atomic
def prove_job(*, job_id: int, seen_version: int, proof: str, by: By, at: datetime) -> Job:
    """The test was passed: the job is proved, and so is everything it took out or worked on."""
    if not proof.strip():
        raise BadInput("Say how the job was tested; it stays done but not tested.")
    told = f"is proved: {proof.strip().rstrip('.')}"
    job = _move(job_id, seen_version, JobStatus.PROVED, by, at, told, proved_at=at)
    for item in Equipment.objects.filter(pk__in=_touched(job)).order_by("code"):
        where = job.test_where or ProofPlace.ALONGSIDE
        prove_equipment(equipment_id=item.pk, text=f"{job.code}: {proof.strip()}", by=by, at=at, where=where)
    return job


@transaction.atomic
def drop_job(*, job_id: int, seen_version: int, reason: str, by: By, at: datetime) -> Job:
    """Give a job up that was not begun; begun work is finished or put back first."""
    if not reason.strip():
        raise BadInput("Say why the job is dropped; it was kept.")
    return _move(job_id, seen_version, JobStatus.DROPPED, by, at, f"is dropped: {reason.strip().rstrip('.')}")


@transaction.atomic
def put_back(*, job_id: int, seen_version: int, by: By, at: datetime) -> Job:
    """Work in hand is put together again without being done: the items are back, but must be tested."""
    job = Job.objects.select_related("vessel").get(pk=job_id)
    if job.status not in {JobStatus.IN_HAND, JobStatus.PARTS_WAITING} or job.started_at is None:
        raise Refused(f"{job.code} is {job.status}: there is nothing to put back.")
    done = {"done_at": at, "done_by": token_of(by=by, vessel_id=job.vessel_id), "opens": []}
    changed = save_changed(job, seen_version, status=JobStatus.DONE_UNTESTED, **done)
    _tell(job, f"{job.code} is put back without being finished; test it before she leans on it.", by, at, changed)
    return job


def _touched(job: Job) -> set[int]:
    return {*job.takes_out.values_list("pk", flat=True), *job.works_on.values_list("pk", flat=True)}


def _move(job_id: int, seen_version: int, to: JobStatus, by: By, at: datetime, told: str, **changes: Any) -> Job:
    job = Job.objects.select_related("vessel").get(pk=job_id)
    if job.status not in MAY[to] or (to in {JobStatus.READY, JobStatus.DROPPED} and _begun(job)):
        raise Refused(f"{job.code} is {job.status}, so it cannot become {to}. Nothing was changed.")
    changed = save_changed(job, seen_version, status=to, **changes)
    _tell(job, f"{job} {told}.", by, at, changed)
    return job


def _begun(job: Job) -> bool:
    return job.started_at is not None and job.done_at is None


def _check_lists(job: Job, items: Sequence[Equipment], opens: Sequence[str] | None = None) -> None:
    if foreign := [item.code for item in items if item.vessel_id != job.vessel_id]:
        raise BadInput(f"{foreign[0]} belongs to another vessel; nothing was written.")
    unknown = [word for word in (job.opens if opens is None else opens) if word not in Opens.values]
    if unknown:
        raise BadInput(f"“{unknown[0]}” is not a thing a job can leave open; nothing was written.")


def _check_no_circle(job: Job, need: Job) -> None:
    """Raises BadInput when the needed job, by its own needs, waits for this one."""
    if need.vessel_id != job.vessel_id:
        raise BadInput(f"{need.code} belongs to another vessel; nothing was written.")
    seen, ahead = {need.pk}, {need.pk}
    while ahead:
        ahead = set(JobNeed.objects.filter(job_id__in=ahead).values_list("needs_id", flat=True)) - seen
        seen |= ahead
    if job.pk in seen:
        raise BadInput(f"{job.code} and {need.code} would wait for each other; nothing was written.")


@transaction.atomic
def add_need(*, job: Job, needs: Job, by: By, at: datetime, after_wait: bool = True) -> None:
    """Another job must be done first."""
    _check_no_circle(job, needs)
    JobNeed.objects.update_or_create(job=job, needs=needs, defaults={"after_wait": after_wait})
    _tell(job, f"{job.code} now waits for {needs.code}.", by, at, {"needs": [None, needs.code]})


def _tell(job: Job, what: str, by: By, at: datetime, changes: dict[str, list[object]]) -> None:
    shown, private = parted(Job, changes)
    record(vessel=job.vessel, what=what, by=by, at=at, noun="job", noun_key=job.code, changes=shown, private=private)
