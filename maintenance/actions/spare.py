"""Counting the stock: taking out, putting in, counting again."""

from datetime import datetime

from django.db import transaction

from maintenance.models import Spare
from vessel.actions.author import By
from vessel.actions.particulars import change
from vessel.errors import BadInput, Refused


@transaction.atomic
def count_spare(*, spare_id: int, seen_version: int, quantity: float, by: By, at: datetime) -> Spare:
    """The stock was counted: this many are there."""
    if not 0 <= quantity < float("inf"):
        raise BadInput("A count is nought or more. Nothing was changed.")
    spare = Spare.objects.select_related("vessel").get(pk=spare_id)
    return change(spare, vessel=spare.vessel, seen_version=seen_version, by=by, at=at, quantity=quantity, counted_at=at)


@transaction.atomic
def use_spare(*, spare_id: int, quantity: float, by: By, at: datetime) -> Spare:
    """Take some out (below zero: put some in). Refused when less is there, or nobody has counted."""
    spare = Spare.objects.select_for_update().select_related("vessel").get(pk=spare_id)
    if spare.quantity is None:
        raise Refused(f"Nobody has counted {spare.part}; count it first. Nothing was changed.")
    left = spare.quantity - quantity
    if not 0 <= left < float("inf"):
        raise Refused(f"Only {spare.quantity:g} {spare.unit} of {spare.part} is there. Nothing was changed.")
    return change(spare, vessel=spare.vessel, seen_version=spare.version, by=by, at=at, quantity=left)
