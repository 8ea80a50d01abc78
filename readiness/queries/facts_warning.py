"""The newest look at the weather warnings for her waters, read in the query of the leg."""

from typing import Any

import msgspec
from django.db.models import DateTimeField, JSONField, OuterRef, Subquery

from readiness.models import WarningLook
from readiness.rules.facts_water import Warnings, WeatherWarning

_NEWEST = WarningLook.objects.filter(vessel=OuterRef("vessel")).order_by("-looked_at", "-pk")

# Columns for a query over a model with a vessel; `warnings_of` reads them off its rows.
LOOK = {
    "look_source": Subquery(_NEWEST.values("source")[:1]),
    "looked_at": Subquery(_NEWEST.values("looked_at")[:1], output_field=DateTimeField()),
    "look_good_to": Subquery(_NEWEST.values("good_to")[:1], output_field=DateTimeField()),
    "look_items": Subquery(_NEWEST.values("items")[:1], output_field=JSONField()),
}


def warnings_of(row: Any) -> Warnings | None:
    """The newest look at the warnings; None where nobody has looked, or where one of them is damaged. No query.

    A look that lost a warning would read better than it was, so no part of a damaged one is used.
    """
    if row.looked_at is None:
        return None
    try:
        items = msgspec.convert(row.look_items, tuple[WeatherWarning, ...])
    except msgspec.ValidationError:
        return None
    return Warnings(source=row.look_source, looked_at=row.looked_at, good_to=row.look_good_to, items=items)
