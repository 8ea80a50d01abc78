"""Taking a vessel into the books, and changing her particulars."""

from datetime import datetime
from typing import Any

from django.contrib.auth.models import AbstractBaseUser
from django.db import transaction

from vessel.actions.author import By
from vessel.actions.history import record
from vessel.actions.particulars import change
from vessel.actions.version import check
from vessel.models import Membership, Role, Vessel


@transaction.atomic
def register_vessel(*, owner: AbstractBaseUser, at: datetime, **particulars: Any) -> Vessel:
    """A new vessel with her owner's membership; her history begins."""
    vessel = Vessel(**particulars)
    check(vessel)
    vessel.save(force_insert=True)
    Membership.objects.create(user_id=owner.pk, vessel=vessel, role=Role.OWNER)
    number = f", builder's number {vessel.builders_number}" if vessel.builders_number else ""
    record(
        vessel=vessel,
        what=f"The history of {vessel.name}{number} begins.",
        by=owner,
        at=at,
        noun="vessel",
        noun_key=vessel.name,
        changes={name: [None, value] for name, value in particulars.items()},
    )
    return vessel


def change_vessel(*, vessel_id: int, seen_version: int, by: By, at: datetime, **changes: Any) -> Vessel:
    """Change particulars; raises ChangedMeanwhile or BadInput, and then nothing is changed."""
    vessel = Vessel.objects.get(pk=vessel_id)
    return change(vessel, vessel=vessel, seen_version=seen_version, by=by, at=at, **changes)
