"""The newest look at the weather warnings for her waters, read in the query of the leg."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.db.models import DateTimeField, JSONField, OuterRef, Subquery

from readiness.models import WarningLook
from readiness.rules.facts_water import Warnings, WeatherWarning
from readiness.rules.words_of_trade import WarningKind

_NEWEST = WarningLook.objects.filter(vessel=OuterRef("vessel")).order_by("-looked_at", "-pk")

# Columns for a query over a model with a vessel; `warnings_of` reads them off its rows.
LOOK = {
    "look_source": Subquery(_NEWEST.values("source")[:1]),
    "looked_at": Subquery(_NEWEST.values("looked_at")[:1], output_field=DateTimeField()),
    "look_good_to": Subquery(_NEWEST.values("good_to")[:1], output_field=DateTimeField()),
    "look_items": Subquery(_NEWEST.values("items")[:1], output_field=JSONField()),
}


def warnings_of(row: Any) -> Warnings | None:
    """The newest look at the warnings; None where nobody has looked. No query."""
    if row.looked_at is None:
        return None
    return Warnings(
        source=row.look_source,
        looked_at=row.looked_at,
        good_to=row.look_good_to,
        items=tuple(map(_warning, row.look_items)),
    )


def _warning(item: Mapping[str, Any]) -> WeatherWarning:
    return WeatherWarning(
        kind=WarningKind(item["kind"]),
        area=item["area"],
        start=_moment(item["start"]),
        end=_moment(item["end"]),
        text=item["text"],
    )


def _moment(text: str | None) -> datetime | None:
    return None if text is None else datetime.fromisoformat(text)
