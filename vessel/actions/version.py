"""Saving a changed row without overwriting somebody else's change, and saying a broken rule in plain words."""

import re
from typing import Any

from django.core.exceptions import ValidationError
from django.db import models

from vessel.calc.change_words import column_words, value_words
from vessel.calc.constraint_words import constraint_words
from vessel.calc.json_value import json_value
from vessel.errors import BadInput, StaleVersion
from vessel.models.versioned import Versioned, column_labels

BROKEN = re.compile(r"Constraint “(?P<name>\w+)” is violated\.?")
CAPITAL = re.compile(r"(?<!^)(?=[A-Z])")


class ChangedMeanwhile(StaleVersion):
    """`yours` and `theirs` map each field to the text you sent and the text that stands now, which is `version`."""

    def __init__(self, message: str, yours: dict[str, object], theirs: dict[str, object], version: int = 0) -> None:
        super().__init__(message)
        self.version = version
        self.yours = yours
        self.theirs = theirs


def save_changed(row: Versioned, seen_version: int, **changes: Any) -> dict[str, list[object]]:
    """Set the fields and save, only if the row is still the version that was seen; the version grows by one.

    Gives what changed as {field: [before, after]}; nothing changed, nothing saved. Raises ChangedMeanwhile with both
    texts, or BadInput when the row would break a rule; the row in the database is then untouched.
    """
    kind = type(row)
    now: Versioned = models.QuerySet(kind).get(pk=row.pk)
    before = {name: getattr(now, name) for name in changes}
    if now.version != seen_version:
        yours, theirs = _texts(changes), _texts(before)
        raise ChangedMeanwhile(
            f"{now} was changed by somebody else while you had it open. Theirs is kept, yours was not saved."
            f" Compare: {_side_by_side(kind, yours, theirs)}.",
            yours,
            theirs,
            now.version,
        )
    for name, value in changes.items():
        setattr(now, name, value)
    check(now)
    changed = {name: getattr(now, name) for name in changes if getattr(now, name) != before[name]}
    if changed:
        _update(kind, now, seen_version, changed, before)
    for name in changes:
        setattr(row, name, getattr(now, name))
    row.version = now.version
    return {name: [_text(before[name]), _text(value)] for name, value in changed.items()}


def _update(
    kind: type[Versioned], now: Versioned, seen_version: int, changed: dict[str, Any], before: dict[str, Any]
) -> None:
    held: models.QuerySet[Versioned] = models.QuerySet(kind).filter(pk=now.pk, version=seen_version)
    if not held.update(**changed, version=seen_version + 1):
        raise ChangedMeanwhile(
            f"{now} was changed by somebody else at the same moment. Theirs is kept, yours was not saved.",
            _texts(changed),
            _texts(before),
            seen_version + 1,
        )
    now.version = seen_version + 1


def check(row: models.Model) -> None:
    """Raises BadInput with one sentence a person can read when the row would break a rule of the database."""
    try:
        row.full_clean()
    except ValidationError as error:
        raise BadInput(f"Not saved: {'; '.join(_sentences(type(row), error))}. Nothing was changed.") from error
    _check_one_vessel(row)


def _check_one_vessel(row: models.Model) -> None:
    """Nothing of one vessel may point at a thing of another."""
    own = getattr(row, "vessel_id", None)
    for field in row._meta.fields:  # noqa: SLF001 Django's own way to ask
        other = getattr(row, field.name) if field.is_relation and own is not None else None
        if getattr(other, "vessel_id", own) != own:
            raise BadInput(f"Not saved: {field.verbose_name} {other} belongs to another vessel. Nothing was changed.")


def _sentences(kind: type[models.Model], error: ValidationError) -> list[str]:
    labels, said = column_labels(kind), []
    for field, messages in error.message_dict.items():
        for message in messages:
            rule = BROKEN.fullmatch(message)
            text = rule_words(kind, rule["name"]) if rule else message.rstrip(".").replace("_", " ")
            said.append(text if field == "__all__" else f"{column_words(field, labels)}: {text}")
    return said


def rule_words(kind: type[models.Model], name: str) -> str:
    """A rule of the database of this name as a sentence without its full stop: "Draught must be above zero"."""
    noun = CAPITAL.sub("_", kind.__name__).lower()
    return constraint_words(name, noun, column_labels(kind), _bounds(kind, name))


def _bounds(kind: type[models.Model], name: str) -> tuple[float, float] | None:
    """The least and the most a column may hold by a rule made with `within`."""
    for rule in kind._meta.constraints:  # noqa: SLF001 Django's own way to ask
        if rule.name == name and isinstance(rule, models.CheckConstraint) and isinstance(rule.condition, models.Q):
            ends = [part for part in rule.condition.children if isinstance(part, tuple)]
            found = {lookup.rpartition("__")[2]: end for lookup, end in ends}
            return (found["gte"], found["lte"]) if {"gte", "lte"} <= found.keys() else None
    return None


def _text(value: object) -> object:
    return json_value(value)


def _texts(values: dict[str, Any]) -> dict[str, object]:
    return {name: _text(value) for name, value in values.items()}


def _side_by_side(kind: type[Versioned], yours: dict[str, object], theirs: dict[str, object]) -> str:
    labels = column_labels(kind)
    return (
        "; ".join(
            f"{column_words(name, labels)}: yours “{value_words(name, yours[name], 'UTC')}”, "
            f"theirs “{value_words(name, theirs[name], 'UTC')}”"
            for name in yours
            if yours[name] != theirs[name]
        )
        or "both say the same"
    )
