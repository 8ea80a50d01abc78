"""Asking for background work, taking it, and saying how it went.

States: due -> being done -> done, or failed -> (later) being done -> ... -> given up. Every step is one short
transaction; the lease makes sure that work whose worker died is taken up again.
"""

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from typing import NamedTuple

from django.db import transaction
from django.db.models import Q, QuerySet

from vessel.models.due_work import MOST_TRIES, DueWork

State = DueWork.State

# Seconds to wait after the first, second ... failed try; after the last try the work is given up.
BACK_OFF_S = (10, 60, 300, 1800)
KEEP_DONE = timedelta(days=7)
FREE = {"leased_until": None, "leased_by": ""}


class Periodic(NamedTuple):
    """One line of a timetable: a task that falls due once in every period."""

    name: str
    every_s: int
    task: str
    arguments: dict[str, object]


@transaction.atomic
def ask_for(*, task: str, arguments: dict[str, object], key: str, at: datetime) -> DueWork:
    """Ask for a task to run at `at` or soon after; call it in the transaction of what caused it.

    Asked for twice while due, it runs once, at the earlier time, with the newest arguments. Asked for while
    it runs, it runs once more afterwards. Asked for when done, failed or given up, it starts afresh.
    """
    asked = {"task": task, "arguments": arguments, "due_at": at}
    work, made = DueWork.objects.select_for_update().get_or_create(key=key, defaults={**asked, "created_at": at})
    if made:
        return work
    work.task, work.arguments = task, arguments
    if work.state == State.LEASED:
        work.asked_again = True
    elif work.state == State.DUE:
        work.due_at = min(work.due_at, at)
    else:
        work.state, work.due_at, work.tries, work.last_error = State.DUE, at, 0, ""
    work.save()
    return work


@transaction.atomic
def lease_next(*, at: datetime, holder: str, for_s: float) -> DueWork | None:
    """Take the work that has waited longest; None when nothing is due.

    The try is counted before the work starts, so that work which kills its worker comes to an end too.
    """
    _give_up_what_killed_its_workers(at)
    work = (
        DueWork.objects.select_for_update(skip_locked=True)
        .filter(ready_at(at), tries__lt=MOST_TRIES)
        .order_by("due_at", "pk")
        .first()
    )
    if work is None:
        return None
    work.state, work.tries, work.asked_again = State.LEASED, work.tries + 1, False
    work.leased_by, work.leased_until = holder, at + timedelta(seconds=for_s)
    work.save()
    return work


def ready_at(at: datetime) -> Q:
    """Due or to be tried again by now, or left behind by a worker that died."""
    return Q(state__in=[State.DUE, State.FAILED], due_at__lte=at) | Q(state=State.LEASED, leased_until__lte=at)


def renew_lease(*, work_id: int, holder: str, until: datetime) -> bool:
    """Keep work that takes longer than its lease. False when somebody else has it by now."""
    return bool(_held(work_id, holder).update(leased_until=until))


@transaction.atomic
def finish(*, work_id: int, holder: str, at: datetime) -> bool:
    """The work is done; due again at once when it was asked for meanwhile. False when the lease was lost."""
    work = _held(work_id, holder).select_for_update().first()
    if work is None:
        return False
    if work.asked_again:
        work.state, work.due_at = State.DUE, at
    else:
        work.state = State.DONE
    work.tries, work.last_error, work.done_at = 0, "", at
    _free(work)
    return True


@transaction.atomic
def fail(*, work_id: int, holder: str, at: datetime, error: str) -> bool:
    """The try failed: tried again later, given up after the last one, arguments kept. False as in `finish`."""
    work = _held(work_id, holder).select_for_update().first()
    if work is None:
        return False
    work.last_error = error
    if work.asked_again:
        work.state, work.due_at, work.tries = State.DUE, at, 0
    elif work.tries >= MOST_TRIES:
        work.state = State.GIVEN_UP
    else:
        work.state, work.due_at = State.FAILED, at + timedelta(seconds=BACK_OFF_S[work.tries - 1])
    _free(work)
    return True


@transaction.atomic
def sweep_timetable(*, at: datetime, timetable: Iterable[Periodic]) -> int:
    """Ask once for each line's present period; what was missed while nobody worked is made up by this run.

    Returns how many pieces of work it added.
    """
    wanted = {_slot_key(line, at): line for line in timetable}
    there = set(DueWork.objects.filter(key__in=wanted).values_list("key", flat=True))
    rows = [
        DueWork(key=key, task=line.task, arguments=line.arguments, due_at=at, created_at=at)
        for key, line in wanted.items()
        if key not in there
    ]
    DueWork.objects.bulk_create(rows, ignore_conflicts=True)
    return len(rows)


def clear_away_done_work(*, at: datetime) -> int:
    """Remove work done long ago; what failed or was given up stays. Returns how many were removed."""
    removed, _ = DueWork.objects.filter(state=State.DONE, done_at__lt=at - KEEP_DONE).delete()
    return removed


def _slot_key(line: Periodic, at: datetime) -> str:
    start = int(at.timestamp() // line.every_s) * line.every_s
    return f"timetable:{line.name}:{datetime.fromtimestamp(start, UTC):%Y-%m-%dT%H:%M:%SZ}"


def _held(work_id: int, holder: str) -> QuerySet[DueWork]:
    return DueWork.objects.filter(pk=work_id, state=State.LEASED, leased_by=holder)


def _free(work: DueWork) -> None:
    work.asked_again, work.leased_until, work.leased_by = False, None, ""
    work.save()


def _give_up_what_killed_its_workers(at: datetime) -> None:
    DueWork.objects.filter(state=State.LEASED, leased_until__lte=at, tries__gte=MOST_TRIES).update(
        state=State.GIVEN_UP,
        asked_again=False,
        last_error=f"The worker ended {MOST_TRIES} times while doing this.",
        **FREE,
    )
