"""Taking away a gate, harbour, tide station or stream table that nothing uses."""

from datetime import datetime

from django.db import models, transaction

from readiness.queries.coast_use import CoastRow, users_of
from vessel.actions.author import By
from vessel.actions.particulars import take_away
from vessel.errors import Refused

MOST_NAMED = 6


@transaction.atomic
def take_coast_away(*, row: CoastRow, seen_version: int, by: By, at: datetime) -> None:
    """The row with its own parts is removed; history keeps that it was there. Refused with what uses it."""
    kind: type[CoastRow] = type(row)
    list(models.QuerySet(kind).select_for_update().filter(pk=row.pk).values_list("pk"))
    if users := users_of(row):
        raise Refused(f"{row} is still used by {listed(users)}, so it was kept. Free it there first.")
    take_away(row, vessel=row.vessel, seen_version=seen_version, by=by, at=at)


def listed(users: list[str]) -> str:
    """Names in a sentence, the first few of many."""
    more = len(users) - MOST_NAMED
    return ", ".join(users[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")
