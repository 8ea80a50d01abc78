"""Changing a harbour with its shelter, and the keys of what is written down on pages."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from django.db import models, transaction
from django.utils.text import slugify

from readiness.actions.coast import same_vessel
from readiness.models import Harbour, ShelterSector
from vessel.actions.author import By
from vessel.actions.history import record
from vessel.actions.particulars import change
from vessel.actions.version import check
from vessel.models import Vessel

LONGEST_KEY = 60

Sectors = Sequence[tuple[float, float]]


@transaction.atomic
def change_harbour(
    *, harbour: Harbour, seen_version: int, by: By, at: datetime, shelter: Sectors | None = None, **changes: Any
) -> Harbour:
    """The harbour with some columns changed, and its sectors of shelter where they are given.

    Raises ChangedMeanwhile, or BadInput where it would break a rule; then nothing is changed.
    """
    vessel = harbour.vessel
    same_vessel(vessel, changes.get("tide_station"))
    change(harbour, vessel=vessel, seen_version=seen_version, by=by, at=at, **changes)
    held = [(one.from_deg, one.to_deg) for one in ShelterSector.objects.filter(harbour=harbour)]
    if shelter is not None and sorted(held) != sorted(set(shelter)):
        _shelter(harbour, held, sorted(set(shelter)), by, at)
    return harbour


def _shelter(harbour: Harbour, held: Sectors, shelter: Sectors, by: By, at: datetime) -> None:
    ShelterSector.objects.filter(harbour=harbour).delete()
    for from_deg, to_deg in shelter:
        sector = ShelterSector(harbour=harbour, from_deg=from_deg, to_deg=to_deg)
        check(sector)
        sector.save(force_insert=True)
    record(
        vessel=harbour.vessel, what=f"Shelter of {harbour.name} changed.", by=by, at=at, noun="harbour",
        noun_key=harbour.key[:40], changes={"shelter": [[list(one) for one in held], [list(one) for one in shelter]]},
    )  # fmt: skip


def free_key(kind: type[models.Model], vessel: Vessel, name: str) -> str:
    """A key made of the name that no row of the vessel has yet. One query."""
    stem = slugify(name)[: LONGEST_KEY - 4] or "unnamed"
    rows: models.QuerySet[models.Model] = models.QuerySet(kind).filter(vessel=vessel, key__startswith=stem)
    taken = set(rows.values_list("key", flat=True))
    numbered = (f"{stem}-{number}" for number in range(2, len(taken) + 3))
    return stem if stem not in taken else next(key for key in numbered if key not in taken)
