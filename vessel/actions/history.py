"""The one door through which history is written."""

import secrets
from collections.abc import Mapping
from datetime import datetime

from django.db import transaction

from vessel.actions.author import By, token_of
from vessel.calc.history_chain import entry_hash, private_hash
from vessel.calc.json_value import json_value, stamp
from vessel.errors import Refused
from vessel.models import HistoryEntry, HistoryPrivate, Vessel


@transaction.atomic
def record(
    *,
    vessel: Vessel,
    what: str,
    by: By,
    at: datetime,
    noun: str,
    noun_key: str,
    changes: Mapping[str, object] | None = None,
    private: str | None = None,
    happened_at: datetime | None = None,
) -> HistoryEntry:
    """Add one entry to the vessel's history, in the transaction of the deed it tells.

    `what` is a sentence that names nobody; `private` (names, reasons) stands outside the chain and is bound into it by
    a salted hash. `changes` maps a field to [before, after]. Numbers have no gaps: the vessel's row is locked.
    """
    Vessel.objects.select_for_update().get(pk=vessel.pk)
    last = HistoryEntry.objects.filter(vessel_id=vessel.pk).order_by("-number").first()
    number = last.number + 1 if last else 1
    entry = HistoryEntry(
        vessel_id=vessel.pk,
        number=number,
        at=at,
        happened_at=happened_at,
        by=token_of(by=by, vessel_id=vessel.pk),
        what=what,
        noun=noun,
        noun_key=noun_key,
        changes=json_value(changes or {}),
        private_hash=_keep_private(vessel, number, private),
        previous_hash=last.hash if last else "",
    )
    entry.hash = entry_hash(covered_fields(entry))
    entry.save(force_insert=True)
    return entry


def covered_fields(entry: HistoryEntry) -> dict[str, object]:
    """The entry as the chain covers it."""
    return {
        "number": entry.number,
        "at": stamp(entry.at),
        "happened_at": stamp(entry.happened_at),
        "by": entry.by,
        "what": entry.what,
        "noun": entry.noun,
        "noun_key": entry.noun_key,
        "changes": entry.changes,
        "private_hash": entry.private_hash,
        "previous_hash": entry.previous_hash,
    }


def _keep_private(vessel: Vessel, number: int, text: str | None) -> str:
    if not text:
        return ""
    salt = secrets.token_hex(32)
    HistoryPrivate.objects.create(vessel_id=vessel.pk, number=number, text=text, salt=salt, words=len(text.split()))
    return private_hash(text, salt)


@transaction.atomic
def strike_out_private(*, vessel: Vessel, number: int, by: By, at: datetime) -> HistoryPrivate:
    """Remove the private text of one entry and its salt; the chain stays whole and the gap stays visible."""
    row = HistoryPrivate.objects.select_for_update().filter(vessel_id=vessel.pk, number=number).first()
    if row is None or row.struck_at is not None:
        raise Refused(f"Entry {number} holds no private text, so nothing was removed.")
    row.text = row.salt = None
    row.struck_at, row.struck_by = at, token_of(by=by, vessel_id=vessel.pk)
    row.save()
    record(
        vessel=vessel,
        what=f"Private text of entry {number} was struck out ({row.words} words).",
        by=by,
        at=at,
        noun="history",
        noun_key=str(number),
    )
    return row
