"""What would put a piece of equipment right: mend, finish, put back and test. Only what can be done before leaving.

A change to the facts never says more than the work would prove: what can only be tested at sea stays not proved.
"""

from collections.abc import Iterable
from functools import partial

from msgspec.structs import replace

from readiness.calc.success_tree import Level
from readiness.rules.facts import Facts, changed
from readiness.rules.facts_boat import Boat, Defect, Equipment, Job, Test
from readiness.rules.judgement import Cause, Remedy
from readiness.rules.reason import job_level
from readiness.rules.record import NOT_KNOWN
from readiness.rules.state import States
from readiness.rules.telling import listed
from readiness.rules.words_of_trade import Effect, JobStatus, TestPlace
from vessel.units import HOUR, MINUTE

NOT_BY_WORK = frozenset({"list", "carried"})  # reasons that no work on the item mends


def remedies_for(facts: Facts, held: States, codes: Iterable[str]) -> tuple[Remedy, ...]:
    """One remedy for each item that can be put right before leaving."""
    found = (remedy_for(facts, held, code) for code in codes)
    return tuple({remedy.text: remedy for remedy in found if remedy is not None}.values())


def remedy_for(facts: Facts, held: States, code: str) -> Remedy | None:
    """What puts one item right; None where nothing on board does."""
    item = held.items.get(code)
    if item is None or any(reason.kind in NOT_BY_WORK for reason in held.reasons.get(code, ())):
        return None
    work = [*(_job_work(job, code) for job in jobs_on(facts, code)), *(_mend(one) for one in defects_on(facts, code))]
    if not work:
        return _test_only(item)
    steps = [one for one in work if one is not None]
    if len(steps) < len(work):
        return None
    parts, minutes = zip(*steps, strict=True)
    only_tests = not defects_on(facts, code) and all(
        job.status == JobStatus.DONE_UNTESTED for job in jobs_on(facts, code)
    )
    kind = "test" if only_tests else "job"
    return Remedy(kind, listed(parts), partial(put_right, code), sum(minutes))


def put_right(code: str, facts: Facts) -> Facts:
    """The facts once everything that holds an item back is mended, finished and tested where it lies."""
    jobs, defects = jobs_on(facts, code), defects_on(facts, code)
    boat = facts.boat
    for job in jobs:
        boat = _finished(facts, boat, job)
    mended = tuple(one for one in boat.defects or () if one not in defects)
    item = next((one for one in boat.equipment if one.code == code), None)
    owed = tuple(_owed_at_sea(one, item) for one in defects if item is not None and _only_at_sea(item))
    boat = replace(
        boat,
        defects=None if boat.defects is None else mended,
        jobs=None if boat.jobs is None else (*boat.jobs, *owed),
    )
    return changed(facts, boat=boat if jobs else _proved(facts, boat, (code,)))


def tested(codes: tuple[str, ...], cause: Cause, facts: Facts) -> Facts:
    """The facts once a test has been done: the job it belongs to proved, and every item it covers."""
    boat = _proved(facts, facts.boat, codes, everywhere=True)
    jobs = None if boat.jobs is None else tuple(_job_proved(job, cause) for job in boat.jobs)
    return changed(facts, boat=replace(boat, jobs=jobs))


def _job_proved(job: Job, cause: Cause) -> Job:
    return replace(job, status=JobStatus.PROVED) if cause == ("job", job.key) else job


def jobs_on(facts: Facts, code: str) -> tuple[Job, ...]:
    """Jobs that hold an item back."""
    jobs = (job for job in facts.boat.jobs or () if job_level(job) != Level.IN_SERVICE)
    return tuple(job for job in jobs if code in job.takes_out or code == job.opens_equipment)


def defects_on(facts: Facts, code: str) -> tuple[Defect, ...]:
    """Defects that take something from an item, or may."""
    return tuple(one for one in facts.boat.defects or () if one.equipment == code and one.effect != Effect.NONE)


def test_of(job: Job, item: Equipment | None) -> Test:
    """The test a job needs: its own, or else the proof of the item."""
    if job.test is not None:
        return job.test
    if item is None:
        return Test(text="", where=None, minutes=NOT_KNOWN)
    return Test(text=item.proof, where=item.proof_where, minutes=item.proof_minutes)


def _job_work(job: Job, code: str) -> tuple[str, float] | None:
    minutes = job.test.minutes if job.test is not None else NOT_KNOWN
    if job.status == JobStatus.DONE_UNTESTED:
        at_sea = job.test is None or job.test.where != TestPlace.ALONGSIDE
        return None if at_sea else (f"Test: {job.title} ({job.key})", minutes)
    if job.status == JobStatus.IN_HAND:
        return f"Finish and test: {job.title} ({job.key})", job.hours * HOUR / MINUTE + minutes
    put_back = job.status == JobStatus.PARTS_WAITING and job.put_back_minutes == job.put_back_minutes
    return (f"Put {code} back as it was and test it ({job.key})", job.put_back_minutes + minutes) if put_back else None


def _mend(defect: Defect) -> tuple[str, float] | None:
    if defect.effect is None or defect.mend_parts_aboard is not True:
        return None
    return f"Mend and test: {defect.title} ({defect.key})", defect.mend_minutes


def _test_only(item: Equipment) -> Remedy | None:
    if item.proof_where != TestPlace.ALONGSIDE or item.keeps_s != item.keeps_s:
        return None
    return Remedy("test", f"Test {item.name} ({item.code})", partial(put_right, item.code), item.proof_minutes)


def _only_at_sea(item: Equipment) -> bool:
    return item.proof_where != TestPlace.ALONGSIDE


def _finished(facts: Facts, boat: Boat, job: Job) -> Boat:
    """The job proved where its test can be done alongside; done but not tested otherwise."""
    alongside = job.test is not None and job.test.where == TestPlace.ALONGSIDE
    status = JobStatus.PROVED if alongside else JobStatus.DONE_UNTESTED
    done = replace(job, status=status, done_at=facts.judged_at)
    boat = replace(boat, jobs=tuple(done if one is job else one for one in boat.jobs or ()))
    return _proved(facts, boat, (*job.takes_out, job.opens_equipment or ""), everywhere=True) if alongside else boat


def _proved(facts: Facts, boat: Boat, codes: tuple[str, ...], *, everywhere: bool = False) -> Boat:
    """Items proved now, where their proof can be had alongside (or wherever, when somebody did it)."""
    return replace(
        boat,
        equipment=tuple(
            replace(item, proved_at=facts.judged_at)
            if item.code in codes and (everywhere or not _only_at_sea(item))
            else item
            for item in boat.equipment
        ),
    )


def _owed_at_sea(defect: Defect, item: Equipment) -> Job:
    """The trial that a mended defect still owes."""
    return Job(
        key=defect.key, title=f"Mended: {defect.title}", status=JobStatus.DONE_UNTESTED, takes_out=(item.code,),
        opens=(), opens_equipment=None, put_back_minutes=NOT_KNOWN, hours=NOT_KNOWN, hands=1, done_at=None,
        test=Test(text=item.proof, where=item.proof_where, minutes=item.proof_minutes),
    )  # fmt: skip
