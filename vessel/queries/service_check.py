"""Is all right? Each check with its answer in one sentence: for /ready, for pages and for commands."""

import shutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from django.conf import settings
from django.db import DatabaseError, connection
from django.db.migrations.loader import MigrationLoader

from vessel.models.due_work import DueWork
from vessel.queries.service_state import service_state

LEAST_FREE_BYTES = 500_000_000
LEAST_FREE_SHARE = 0.05
OUR_APPS = {"vessel", "maintenance", "readiness"}


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
    loader = MigrationLoader(connection)
    if loader.graph.nodes.keys() - (loader.applied_migrations or {}).keys():
        return "The database is older than this program. Stop it and run: manage.py migrate"
    return _newer(loader)


def schema_is_newer() -> str:
    """A sentence when a newer program than this one has brought the database up to date; else empty."""
    return _newer(MigrationLoader(connection))


def _newer(loader: MigrationLoader) -> str:
    replaced = {key for squashed in loader.replacements.values() for key in squashed.replaces}
    known = replaced | (loader.disk_migrations or {}).keys()
    unknown = [key for key in loader.applied_migrations or () if key[0] in OUR_APPS and key not in known]
    if not unknown:
        return ""
    names = ", ".join(" ".join(key) for key in unknown)
    return f"The database is newer than this program ({names}). Start the newer program again."


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
