"""Fitting equipment, saying what feeds it, proving that it works."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from django.db import transaction

from vessel.actions.author import By, token_of
from vessel.actions.history import record
from vessel.actions.particulars import change, write_down
from vessel.errors import BadInput
from vessel.models import Equipment, FeedChoice, Proof, ProofPlace, Vessel


@transaction.atomic
def add_equipment(*, vessel: Vessel, by: By, at: datetime, fed_by: str = "", **fields: Any) -> Equipment:
    """A new item. `fed_by` names the feeds any one of which will do: "EL-05|EL-06"."""
    item = write_down(Equipment, vessel=vessel, by=by, at=at, **fields)
    _set_feeds(item, _feeds(vessel, fed_by))
    return item


@transaction.atomic
def change_equipment(
    *, equipment_id: int, seen_version: int, by: By, at: datetime, fed_by: str | None = None, **changes: Any
) -> Equipment:
    """Change an item, and what feeds it where `fed_by` is given."""
    item = Equipment.objects.select_related("vessel").get(pk=equipment_id)
    before = feed_text(item)
    change(item, vessel=item.vessel, seen_version=seen_version, by=by, at=at, **changes)
    if fed_by is not None:
        _set_feeds(item, _feeds(item.vessel, fed_by))
        if (after := feed_text(item)) != before:
            _tell(item, f"{item.code} is now fed by {after or 'nothing'}.", by, at, {"fed_by": [before, after]})
    return item


@transaction.atomic
def prove_equipment(
    *,
    equipment_id: int,
    text: str,
    by: By,
    at: datetime,
    passed: bool = True,
    where: str = ProofPlace.ALONGSIDE,
    happened_at: datetime | None = None,
) -> Proof:
    """Write down a test of an item and how it came out. A test in the future is refused."""
    item = Equipment.objects.select_related("vessel").get(pk=equipment_id)
    if happened_at is not None and happened_at > at:
        raise BadInput(f"The test of {item.code} lies in the future, so it was not written down. Mend the time.")
    if not text.strip():
        raise BadInput(f"Say how {item.code} was tested; nothing was written down.")
    proof = Proof.objects.create(
        equipment=item,
        at=happened_at or at,
        passed=passed,
        text=text.strip(),
        where=where,
        by=token_of(by=by, vessel_id=item.vessel_id),
    )
    outcome = "proved" if passed else "failed its test"
    changes: dict[str, list[object]] = {"passed": [None, passed], "where": [None, where]}
    _tell(item, f"{item} {outcome}: {proof.text.rstrip('.')}.", by, at, changes, happened_at)
    return proof


def feed_text(item: Equipment) -> str:
    """The feeds of an item as typed: "EL-05|EL-06". One query."""
    codes = FeedChoice.objects.filter(equipment=item).order_by("feed__code").values_list("feed__code", flat=True)
    return "|".join(codes)


def _feeds(vessel: Vessel, fed_by: str) -> list[Equipment]:
    codes = [code.strip() for code in fed_by.split("|") if code.strip()]
    known = {item.code: item for item in Equipment.objects.filter(vessel=vessel, code__in=codes)}
    if unknown := [code for code in codes if code not in known]:
        raise BadInput(f"Fed by {unknown[0]}: no such equipment aboard. Nothing was changed.")
    return [known[code] for code in dict.fromkeys(codes)]


def _set_feeds(item: Equipment, feeds: Sequence[Equipment]) -> None:
    if item in feeds:
        raise BadInput(f"{item.code} cannot feed itself. Nothing was changed.")
    item.feed_choices.exclude(feed__in=feeds).delete()
    for feed in feeds:
        FeedChoice.objects.get_or_create(equipment=item, feed=feed)


def _tell(
    item: Equipment,
    what: str,
    by: By,
    at: datetime,
    changes: dict[str, list[object]],
    happened_at: datetime | None = None,
) -> None:
    record(
        vessel=item.vessel, what=what, by=by, at=at, noun="equipment", noun_key=item.code,
        changes=changes, happened_at=happened_at,
    )  # fmt: skip
