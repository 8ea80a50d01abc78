"""How the service itself is: does the worker live, what died lately, what work lies undone."""

import json
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from django.conf import settings
from django.db.models import Count, Max, Min, Q

from vessel.calc.wording import counted
from vessel.models.due_work import DueWork

HEARTBEAT = "vessel.tasks.heartbeat"
SILENT_AFTER = timedelta(seconds=120)
CLOCK_SLACK = timedelta(minutes=5)
SHOWN_FOR = timedelta(hours=1)
MANY_DEATHS = 3
MANY_WITHIN = timedelta(seconds=60)

State = DueWork.State


@dataclass(frozen=True, slots=True)
class Death:
    """A part of the service that ended without being asked to."""

    at: datetime
    part: str
    status: int


@dataclass(frozen=True, slots=True)
class ServiceState:
    """What a page shows about the service. `deaths` is None where the record of them cannot be read."""

    worker_alive: bool
    last_heartbeat: datetime | None
    deaths: tuple[Death, ...] | None
    given_up: int
    waiting_since: datetime | None

    @property
    def keeps_dying(self) -> bool:
        times = [death.at for death in self.deaths or ()]
        return any(
            later - earlier <= MANY_WITHIN for earlier, later in zip(times, times[MANY_DEATHS - 1 :], strict=False)
        )

    @property
    def warnings(self) -> list[str]:
        """Sentences for a banner; none when all is well."""
        said = {
            "Nothing is being judged again: the background worker is silent. Start Legworthy again.": (
                not self.worker_alive
            ),
            "A part of the service died three times within a minute and was started again each time."
            " The verdicts shown may be late.": self.keeps_dying,
            "The record of what died lately cannot be read.": self.deaths is None,
            f"Given up after five tries: {counted(self.given_up, 'piece')} of background work.": self.given_up > 0,
        }
        return [sentence for sentence, holds in said.items() if holds]


def service_state(*, at: datetime) -> ServiceState:
    """The service at this moment. One query and one small file.

    The heartbeat is a piece of due work itself, so that it stops when work stops, not only when a process ends.
    """
    seen = DueWork.objects.aggregate(
        heartbeat=Max("done_at", filter=Q(task=HEARTBEAT)),
        under_lease=Count("pk", filter=Q(state=State.LEASED, leased_until__gt=at)),
        given_up=Count("pk", filter=Q(state=State.GIVEN_UP)),
        waiting_since=Min("due_at", filter=Q(state__in=[State.DUE, State.FAILED], due_at__lte=at)),
    )
    deaths = read_deaths(deaths_file())
    return ServiceState(
        worker_alive=seen["under_lease"] > 0 or _is_fresh(seen["heartbeat"], at),
        last_heartbeat=seen["heartbeat"],
        deaths=deaths and tuple(death for death in deaths if at - death.at <= SHOWN_FOR),
        given_up=seen["given_up"],
        waiting_since=seen["waiting_since"],
    )


def deaths_file() -> Path:
    return Path(settings.DATA) / "deaths.json"


def read_deaths(file: Path) -> tuple[Death, ...] | None:
    """Deaths in the order they happened; none without a file, None for one that cannot be read."""
    try:
        rows = json.loads(file.read_text(encoding="utf-8"))
        return tuple(Death(datetime.fromisoformat(row["at"]), row["part"], row["status"]) for row in rows)
    except FileNotFoundError:
        return ()
    except (OSError, ValueError, KeyError, TypeError):
        return None


def _is_fresh(heartbeat: datetime | None, at: datetime) -> bool:
    """A heartbeat from the future says that the clock was turned back: then it proves nothing."""
    return heartbeat is not None and -CLOCK_SLACK <= at - heartbeat < SILENT_AFTER
