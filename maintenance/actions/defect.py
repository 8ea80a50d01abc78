"""Reporting a defect, following it, mending it. A mended defect stays in the books."""

from datetime import datetime
from typing import Any

from django.db import transaction

from maintenance.actions.numbering import next_number
from maintenance.models import Defect, Effect
from vessel.actions.attachment import store_photo
from vessel.actions.author import By, token_of
from vessel.actions.equipment import prove_equipment
from vessel.actions.history import record
from vessel.actions.particulars import change
from vessel.actions.version import check, save_changed
from vessel.errors import BadInput, Refused
from vessel.models import Attachment, Equipment, Vessel

CLOSING = frozenset({"closed_at", "closed_by", "how_mended", "number", "vessel", "opened_at", "opened_by"})


def report_defect(
    *,
    vessel: Vessel,
    title: str,
    by: By,
    at: datetime,
    equipment: Equipment | None = None,
    effect: str | None = None,
    photo: bytes | None = None,
    **more: Any,
) -> Defect:
    """Open DEF-n, with a photo where there is one. Effect or equipment left out stay "not known", never "none".

    The photo is checked and stored first; if it is refused nothing is written. Raises BadInput.
    """
    stored = store_photo(data=photo, at=at) if photo else None
    return _open(vessel, title, by, at, stored, equipment=equipment, effect=effect, **more)


@transaction.atomic
def _open(vessel: Vessel, title: str, by: By, at: datetime, photo: Attachment | None, **fields: Any) -> Defect:
    defect = Defect(
        vessel=vessel,
        number=next_number(Defect.objects, vessel),
        title=title.strip(),
        opened_at=at,
        opened_by=token_of(by=by, vessel_id=vessel.pk),
        **fields,
    )
    check(defect)
    defect.save(force_insert=True)
    if photo is not None:
        defect.photos.add(photo)
    changes = {name: [None, value] for name, value in fields.items() if value is not None}
    if photo is not None:
        changes["photo"] = [None, photo.sha256]
    _tell(defect, f"{defect} reported: {_effect_words(defect)}.", by, at, changes)
    return defect


def _effect_words(defect: Defect) -> str:
    if defect.effect is None:
        return "its effect is not known"
    if defect.effect == Effect.NONE:
        return "no effect on what she can do"
    what = defect.equipment.code if defect.equipment else "equipment not named"
    limit = f", {defect.limit_text.rstrip('.')}" if defect.limit_text else ""
    return f"{defect.effect} {what}{limit}"


@transaction.atomic
def change_defect(*, defect_id: int, seen_version: int, by: By, at: datetime, **changes: Any) -> Defect:
    """Change what is known of a defect; mending and reopening are deeds of their own."""
    defect = Defect.objects.select_related("vessel").get(pk=defect_id)
    if barred := sorted(CLOSING & changes.keys()):
        raise BadInput(f"{barred[0].replace('_', ' ')} cannot be typed over; mend or reopen the defect instead.")
    change(defect, vessel=defect.vessel, seen_version=seen_version, by=by, at=at, **changes)
    return defect


@transaction.atomic
def correct_defect(
    *, defect_id: int, seen_version: int, effect: str | None, equipment: Equipment | None, limit_text: str, by: By,
    at: datetime,
) -> Defect:  # fmt: skip
    """What an open defect does, to what, and within which limit it still works. Raises ChangedMeanwhile, Refused."""
    defect = Defect.objects.select_related("vessel").get(pk=defect_id)
    _refuse_closed(defect)
    return change_defect(
        defect_id=defect_id, seen_version=seen_version, by=by, at=at, effect=effect, equipment=equipment,
        limit_text=limit_text.strip(),
    )  # fmt: skip


def add_photo(*, defect_id: int, photo: bytes, by: By, at: datetime) -> Defect:
    """Add a photo to a defect."""
    stored = store_photo(data=photo, at=at)
    with transaction.atomic():
        defect = Defect.objects.select_related("vessel").get(pk=defect_id)
        defect.photos.add(stored)
        _tell(defect, f"A photo was added to {defect.code}.", by, at, {"photo": [None, stored.sha256]})
    return defect


@transaction.atomic
def check_defect(*, defect_id: int, by: By, at: datetime, found: str, engine_hours: float | None = None) -> Defect:
    """The defect was looked at again: what was found, and the hour meter."""
    defect = Defect.objects.select_for_update().select_related("vessel").get(pk=defect_id)
    _refuse_closed(defect)
    save_changed(defect, defect.version, checked_at=at, checked_engine_hours=engine_hours)
    _tell(defect, f"{defect.code} checked: {found.strip().rstrip('.') or 'no change'}.", by, at, {})
    return defect


@transaction.atomic
def mend_defect(*, defect_id: int, seen_version: int, proof: str, by: By, at: datetime) -> Defect:
    """Close a defect with how it was mended and proved; its item is proved with it, unless it had no effect.

    Refused while a job on it is still open.
    """
    defect = Defect.objects.select_related("vessel", "equipment").get(pk=defect_id)
    _refuse_closed(defect)
    if not proof.strip():
        raise BadInput(f"Say how {defect.code} was mended and proved; it stays open.")
    undone = [job.code for job in defect.jobs.exclude(status__in=("proved", "dropped")).order_by("number")]
    if undone:
        raise Refused(f"{defect.code} stays open: {', '.join(undone)} is not proved yet. Prove or drop it first.")
    closer = token_of(by=by, vessel_id=defect.vessel_id)
    save_changed(defect, seen_version, closed_at=at, closed_by=closer, how_mended=proof.strip())
    _tell(defect, f"{defect} mended: {proof.strip().rstrip('.')}.", by, at, {"how_mended": [None, proof.strip()]})
    if defect.equipment is not None and defect.effect != Effect.NONE:
        prove_equipment(equipment_id=defect.equipment.pk, text=f"{defect.code} mended: {proof.strip()}", by=by, at=at)
    return defect


@transaction.atomic
def propose_mending(*, defect_id: int, proof: str, by: By, at: datetime) -> Defect:
    """Somebody aboard says how it was mended; it stays open until owner or skipper closes it."""
    defect = Defect.objects.select_related("vessel").get(pk=defect_id)
    _refuse_closed(defect)
    if not proof.strip():
        raise BadInput(f"Say how {defect.code} was mended and tried; nothing was written.")
    _tell(
        defect,
        f"{defect.code} is said to be mended and waits for the skipper: {proof.strip().rstrip('.')}.",
        by,
        at,
        {},
    )
    return defect


@transaction.atomic
def reopen_defect(*, defect_id: int, seen_version: int, reason: str, by: By, at: datetime) -> Defect:
    """Open a mended defect again; how it had been mended stays in history."""
    defect = Defect.objects.select_related("vessel").get(pk=defect_id)
    if defect.closed_at is None:
        raise Refused(f"{defect.code} is open already; nothing was changed.")
    if not reason.strip():
        raise BadInput(f"Say why {defect.code} is opened again; it stays closed.")
    changed = save_changed(defect, seen_version, closed_at=None, closed_by=None, how_mended=None)
    _tell(defect, f"{defect} opened again: {reason.strip().rstrip('.')}.", by, at, changed)
    return defect


def _refuse_closed(defect: Defect) -> None:
    if defect.closed_at is not None:
        raise Refused(f"{defect.code} was mended on {defect.closed_at:%d %B %Y} already. Open it again first.")


def _tell(defect: Defect, what: str, by: By, at: datetime, changes: dict[str, list[object]]) -> None:
    record(vessel=defect.vessel, what=what, by=by, at=at, noun="defect", noun_key=defect.code, changes=changes)
