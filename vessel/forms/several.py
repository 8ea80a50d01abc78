"""Several rows ticked from a list."""

from typing import TYPE_CHECKING, Any

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import Model, QuerySet

if TYPE_CHECKING:
    Ticks = forms.ModelMultipleChoiceField[Any]
else:
    Ticks = forms.ModelMultipleChoiceField

LONGEST_KEY = 18  # digits of the largest key that every database can look up


class SeveralField(Ticks):
    """A key that no row can have is no choice; asked of the database it would be an error."""

    def clean(self, value: Any) -> "QuerySet[Model]":
        """The rows ticked. Raises ValidationError."""
        for key in value if isinstance(value, list | tuple) else ():
            if len(str(key)) > LONGEST_KEY:
                told = {"value": str(key)[:LONGEST_KEY]}
                raise ValidationError(self.error_messages["invalid_choice"], code="invalid_choice", params=told)
        return super().clean(value)
