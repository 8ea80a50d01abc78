"""What breaks a constraint, read off its name where the name is one of the house's shapes."""

from collections.abc import Iterable
from typing import Any

from django.apps import apps
from django.db.models import BaseConstraint, CheckConstraint, Model, UniqueConstraint

SHAPES = {"_is_not_empty": "", "_is_a_known_word": "?", "_is_above_zero": 0, "_is_not_below_zero": -1}


def checks_of(app: str, kinds: Iterable[type[Model]]) -> list[tuple[type[Model], BaseConstraint]]:
    """Every check constraint of these models."""
    return [
        (kind, constraint)
        for kind in apps.get_app_config(app).get_models()
        if kind in kinds
        for constraint in kind._meta.constraints
        if isinstance(constraint, CheckConstraint)
    ]


def uniques_of(kinds: Iterable[type[Model]]) -> list[tuple[type[Model], UniqueConstraint]]:
    """Every unique constraint of these models."""
    return [
        (kind, constraint)
        for kind in kinds
        for constraint in kind._meta.constraints
        if isinstance(constraint, UniqueConstraint)
    ]


def breaking(kind: type[Model], name: str) -> dict[str, Any] | None:
    """The change that breaks a constraint of one of the shapes; None for any other."""
    for ending, value in SHAPES.items():
        if name.endswith(ending):
            stem = name.removesuffix(ending)
            return {max((f.name for f in kind._meta.fields if stem.endswith(f"_{f.name}")), key=len): value}
    return None
