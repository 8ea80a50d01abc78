"""Writing down, changing and taking away the plain things of a vessel: tanks, loads, papers, charts and the like.

Deeds with more to them (a defect mended, a job finished) have files of their own; these are their common ground.
"""

from collections.abc import Mapping
from datetime import datetime
from typing import Any, TypeVar

from django.db import models, transaction

from vessel.actions.author import By
from vessel.actions.history import record
from vessel.actions.version import check, save_changed
from vessel.calc.change_words import column_words
from vessel.calc.json_value import json_value
from vessel.errors import Refused
from vessel.models import Person, Vessel
from vessel.models.versioned import Versioned, column_labels

Row = TypeVar("Row", bound=Versioned)


@transaction.atomic
def write_down(kind: type[Row], /, *, vessel: Vessel, by: By, at: datetime, **fields: Any) -> Row:
    """A new row of a vessel, checked, with its line in history. Raises BadInput with what must hold."""
    if "vessel" in {field.name for field in kind._meta.fields}:  # noqa: SLF001 Django's own way to ask
        fields["vessel"] = vessel
    row = kind(**fields)
    check(row)
    row.save(force_insert=True)
    written = {name: [None, json_value(value)] for name, value in fields.items() if name != "vessel"}
    shown, private = parted(kind, written)
    record(
        vessel=vessel,
        what=f"{noun_of(row).capitalize()} written down: {label_of(row)}.",
        by=by,
        at=at,
        noun=noun_of(row),
        noun_key=key_of(row),
        changes=shown,
        private=private,
    )
    return row


@transaction.atomic
def change(row: Row, /, *, vessel: Vessel, seen_version: int, by: By, at: datetime, **changes: Any) -> Row:
    """The row with some columns changed, if it still is the version that was seen; its line in history tells both."""
    old_label, old_key = label_of(row), key_of(row)
    changed = save_changed(row, seen_version, **changes)
    if changed:
        shown, private = parted(type(row), changed)
        record(
            vessel=vessel,
            what=f"{noun_of(row).capitalize()} {old_label} changed: {_columns(type(row), changed)}.",
            by=by,
            at=at,
            noun=noun_of(row),
            noun_key=old_key,
            changes=shown,
            private=private,
        )
    return row


@transaction.atomic
def take_away(row: Versioned, /, *, vessel: Vessel, seen_version: int, by: By, at: datetime) -> None:
    """Remove a row that nothing leans on; history keeps that it was there. Refused while something leans on it."""
    label, key, noun = label_of(row), key_of(row), noun_of(row)
    try:
        deleted, _ = models.QuerySet(type(row)).filter(pk=row.pk, version=seen_version).delete()
    except models.ProtectedError as error:
        raise Refused(f"{label} is still in use, so it was kept. Free it first.") from error
    if not deleted:
        raise Refused(f"{label} was changed by somebody else meanwhile, so it was kept. Load it again.")
    record(vessel=vessel, what=f"{noun.capitalize()} taken away: {label}.", by=by, at=at, noun=noun, noun_key=key)


def noun_of(row: models.Model) -> str:
    """What the row is, as people say it."""
    return str(row._meta.verbose_name)  # noqa: SLF001 Django's own way to ask


def key_of(row: models.Model) -> str:
    """How history finds the row again: its code, key or name aboard, a person's token, else its number."""
    for name in ("code", "key", "token", "name"):
        if text := getattr(row, name, None):
            return str(text)[:40]
    return str(row.pk)


def label_of(row: models.Model) -> str:
    """How a sentence of history calls the row; a person by token."""
    return row.token if isinstance(row, Person) else str(row)


def parted(kind: type[Versioned], changes: Mapping[str, list[object]]) -> tuple[dict[str, list[object]], str | None]:
    """The changes that history shows, and the private ones as text."""
    shown = {name: values for name, values in changes.items() if name not in kind.private_columns}
    private = [f"{name}: {before} → {after}" for name, (before, after) in changes.items() if name not in shown]
    return shown, "; ".join(private) or None


def _columns(kind: type[Versioned], changed: Mapping[str, object]) -> str:
    """What the changed columns are called."""
    words = (column_words(name, column_labels(kind)) for name in changed)
    return ", ".join(word[:1].lower() + word[1:] for word in words)
