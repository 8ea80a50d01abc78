"""Fields that take what they are for and nothing like it: no "1" for 1, no number for a text, no NaN, no stray name."""

import math
from typing import Any

from rest_framework import serializers


class Strict(serializers.Serializer[Any]):
    """Refuses names it does not know, so that a misspelt one is never quietly left out."""

    def to_internal_value(self, data: Any) -> Any:
        strangers = sorted(set(data) - set(self.fields)) if isinstance(data, dict) else []
        if strangers:
            known = ", ".join(self.fields) or "none"
            raise serializers.ValidationError(
                {str(name): f"is not known here; known are: {known}" for name in strangers}
            )
        return super().to_internal_value(data)


class Text(serializers.CharField):
    """Text only."""

    def to_internal_value(self, data: Any) -> str:
        if not isinstance(data, str):
            raise serializers.ValidationError("must be a text")
        return str(super().to_internal_value(data))


class Truth(serializers.BooleanField):
    """True or false only."""

    def to_internal_value(self, data: Any) -> bool:
        if not isinstance(data, bool):
            raise serializers.ValidationError("must be true or false")
        return data


class Number(serializers.FloatField):
    """A finite number; what is not known goes out as null."""

    def to_internal_value(self, data: Any) -> float:
        try:
            number = math.nan if isinstance(data, bool | str) else float(data)
        except (TypeError, OverflowError):
            number = math.nan
        if not math.isfinite(number):
            raise serializers.ValidationError("must be a number")
        return number

    def to_representation(self, value: Any) -> Any:
        number = float(value)
        return number if math.isfinite(number) else None


def in_s(value: float | None, unit_s: float) -> float | None:
    """A stored duration in seconds; None where it is not known."""
    return value * unit_s if value is not None and math.isfinite(value) else None
