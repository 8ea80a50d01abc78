"""Why an item is not in service: its defects, the jobs that take it out, no proof, a lost list."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from readiness.calc.success_tree import Level
from readiness.rules.facts import Facts
from readiness.rules.facts_boat import Defect, Equipment, Job
from readiness.rules.words_of_trade import Effect, JobStatus

LEVEL_OF_EFFECT = {Effect.NONE: Level.IN_SERVICE, Effect.DEGRADES: Level.DEGRADED, Effect.DISABLES: Level.OUT}
LEVEL_OF_STATUS = {
    JobStatus.IDEA: Level.IN_SERVICE,
    JobStatus.PLANNED: Level.IN_SERVICE,
    JobStatus.PARTS_WAITING: Level.OUT,
    JobStatus.READY: Level.IN_SERVICE,
    JobStatus.IN_HAND: Level.OUT,
    JobStatus.DONE_UNTESTED: Level.NOT_PROVED,
    JobStatus.PROVED: Level.IN_SERVICE,
    JobStatus.DROPPED: Level.IN_SERVICE,
}


@dataclass(frozen=True, slots=True)
class Reason:
    """One thing that holds an item below in service. `kind`: "defect", "job", "carried", "list" or "proof"."""

    level: Level
    kind: str
    key: str
    words: str


Reasons = dict[str, tuple[Reason, ...]]  # by code of the item


def reasons(facts: Facts, codes: Iterable[str]) -> Reasons:
    """What holds each of the codes below in service, apart from a proof that has grown too old."""
    found: defaultdict[str, list[Reason]] = defaultdict(list)
    for defect in facts.boat.defects or ():
        _add_defect(found, defect)
    for job in facts.boat.jobs or ():
        _add_job(found, job)
    entries: defaultdict[str, list[Equipment]] = defaultdict(list)
    for item in facts.boat.equipment:
        entries[item.code].append(item)
    lost = tuple(_lost_lists(facts))
    return {code: (*_of_entries(code, entries[code]), *lost, *found[code]) for code in codes}


def job_level(job: Job) -> Level:
    """What a job does to the items it takes out; unknown where nobody knows how far it is."""
    return Level.UNKNOWN if job.status is None else LEVEL_OF_STATUS[job.status]


def _add_defect(found: dict[str, list[Reason]], defect: Defect) -> None:
    if defect.equipment is None or defect.effect == Effect.NONE:
        return
    if defect.effect is None:
        words = f"nobody has said what {defect.key} ({defect.title}) takes from it"
        found[defect.equipment].append(Reason(Level.UNKNOWN, "defect", defect.key, words))
        return
    words = f"{defect.title}: {defect.limit}" if defect.limit else defect.title
    found[defect.equipment].append(Reason(LEVEL_OF_EFFECT[defect.effect], "defect", defect.key, words))


def _add_job(found: dict[str, list[Reason]], job: Job) -> None:
    level = job_level(job)
    if level == Level.IN_SERVICE:
        return
    status = "nobody has said how far it is" if job.status is None else str(job.status)
    reason = Reason(level, "job", job.key, f"{job.title}: {status}")
    for code in job.takes_out:
        found[code].append(reason)
    if job.opens_equipment and job.opens_equipment not in job.takes_out and level != Level.OUT:
        found[job.opens_equipment].append(reason)


def _of_entries(code: str, listed: list[Equipment]) -> Iterator[Reason]:
    if not listed:
        yield Reason(Level.UNKNOWN, "list", code, f"{code} is not on the equipment list")
    if len(listed) > 1:
        yield Reason(Level.UNKNOWN, "list", code, f"{code} is on the equipment list {len(listed)} times")
    if any(item.carried is None for item in listed):
        yield Reason(Level.UNKNOWN, "carried", code, "nobody has said whether it is carried")
    if any(item.carried is False for item in listed):
        yield Reason(Level.OUT, "carried", code, "it is not carried")
    if any(item.proved_at is None for item in listed):
        yield Reason(Level.UNKNOWN, "proof", "", "it has never been proved")
    if any(np.isnan(item.keeps_s) for item in listed):
        yield Reason(Level.UNKNOWN, "proof", "", "nobody has said how long its proof keeps")


def _lost_lists(facts: Facts) -> Iterator[Reason]:
    if facts.boat.defects is None:
        yield Reason(Level.UNKNOWN, "list", "defects", "the list of defects is missing")
    if facts.boat.jobs is None:
        yield Reason(Level.UNKNOWN, "list", "jobs", "the list of jobs is missing")
