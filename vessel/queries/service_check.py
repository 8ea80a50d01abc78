"""Is all right? Each check with its answer in one sentence: for /ready, for pages and for commands."""

import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime

from django.conf import settings
from django.db import DatabaseError, connection
from django.db.migrations.executor import MigrationExecutor

from vessel.models.due_work import DueWork
from vessel.queries.service_state import service_state

LEAST_FREE_BYTES = 500_000_000
LEAST_FREE_SHARE = 0.05


@dataclass(frozen=True, slots=True)
class Check:
    name: str
    ok: bool
    sentence: str


def check_service(*, at: datetime) -> list[Check]:
    """Every check, in order. A check that breaks counts as not ok and says so."""
    return [_carry_out(name, check, at) for name, check in CHECKS.items()]


def _carry_out(name: str, check: Callable[[datetime], str], at: datetime) -> Check:
    try:
        trouble = check(at)
    except (DatabaseError, OSError) as reason:
        trouble = f"This could not be checked: {reason}."
    return Check(name, not trouble, trouble or "All right.")


def _database(_at: datetime) -> str:
    """An update of no rows asks for the write lock: it fails on a read-only or damaged file."""
    DueWork.objects.filter(pk=-1).update(tries=0)
    return ""


def _schema(_at: datetime) -> str:
    executor = MigrationExecutor(connection)
    if executor.migration_plan(executor.loader.graph.leaf_nodes()):
        return "The database is older than this program. Stop it and run: manage.py migrate"
    return schema_is_newer()


def schema_is_newer() -> str:
    """A sentence when the database was brought up to date by a newer program than this one; else empty."""
    if unknown := ", ".join(_unknown_migrations(MigrationExecutor(connection))):
        return f"The database is newer than this program ({unknown}). Start the newer program again."
    return ""


def _unknown_migrations(executor: MigrationExecutor) -> Iterator[str]:
    ours = {"vessel", "maintenance", "readiness"}
    known = executor.loader.disk_migrations or {}
    for app, name in executor.loader.applied_migrations or ():
        if app in ours and (app, name) not in known and not _was_replaced(executor, app, name):
            yield f"{app} {name}"


def _was_replaced(executor: MigrationExecutor, app: str, name: str) -> bool:
    return any((app, name) in squashed.replaces for squashed in executor.loader.replacements.values())


def _worker(at: datetime) -> str:
    state = service_state(at=at)
    if state.worker_alive:
        return ""
    last = state.last_heartbeat
    return (
        f"The background worker is silent; last heard of {last:%d %b %H:%M} UTC."
        if last
        else ("The background worker has not been heard of yet.")
    )


def _disk(_at: datetime) -> str:
    disk = shutil.disk_usage(settings.DATA)
    if disk.free >= min(LEAST_FREE_BYTES, LEAST_FREE_SHARE * disk.total):
        return ""
    return f"Only {disk.free // 1_000_000} MB are free where the data folder lies. Make room."


CHECKS: dict[str, Callable[[datetime], str]] = {
    "database": _database,
    "schema": _schema,
    "worker": _worker,
    "disk": _disk,
}
