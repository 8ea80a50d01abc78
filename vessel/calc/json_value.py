"""Values as JSON keeps them: times and dates as text, decimals as text, not known as null."""

import math
from collections.abc import Mapping
from datetime import UTC, date, datetime
from decimal import Decimal

LARGEST_WHOLE = 2**53 - 1


def stamp(moment: datetime | None) -> str | None:
    """A moment as UTC text to the microsecond, always of one length: 2026-11-25T10:53:00.000000Z.

    Source: [rfc3339]
    """
    if moment is None:
        return None
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def json_value(value: object) -> object:
    """The value as canonical JSON can carry it and give it back; anything else becomes its text.

    Source: [rfc8785]
    """
    if isinstance(value, datetime):
        return stamp(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, bool) or value is None:
        return value
    if isinstance(value, int):
        return value if abs(value) <= LARGEST_WHOLE else str(value)
    if isinstance(value, float):
        return None if math.isnan(value) else value if abs(value) < LARGEST_WHOLE else str(value)
    if isinstance(value, Decimal):
        return str(value)
    if isinstance(value, Mapping):
        return {str(key): json_value(part) for key, part in value.items()}
    if isinstance(value, list | tuple):
        return [json_value(part) for part in value]
    return str(getattr(value, "code", value))
