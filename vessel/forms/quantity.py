"""Fields for what people type with a unit, and for a latitude or a longitude; both give plain SI numbers."""

from abc import ABC, abstractmethod
from typing import Any

from django import forms

from vessel.calc.position import EXAMPLE, Axis, latitude, longitude, parse_angle
from vessel.calc.quantity import parse_quantity
from vessel.errors import BadInput


class TypedField(ABC, forms.CharField):
    """Words that are read as a number; left empty it is None, "not known". What cannot be read is told at the field."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("max_length", 60)
        kwargs.setdefault("widget", forms.TextInput(attrs={"autocomplete": "off"}))
        super().__init__(**kwargs)

    def clean(self, value: Any) -> Any:
        text = super().clean(value)
        if not text:
            return None
        try:
            return self.read(text)
        except BadInput as reason:
            raise forms.ValidationError(str(reason)) from reason

    def prepare_value(self, value: Any) -> Any:
        return self.written(value) if isinstance(value, int | float) else value

    def has_changed(self, initial: Any, data: Any) -> bool:
        return str(data or "").strip() != str(self.prepare_value(initial) or "")

    @abstractmethod
    def read(self, text: str) -> float:
        """The number that was typed. Raises BadInput."""

    @abstractmethod
    def written(self, value: float) -> str:
        """A number as somebody would have typed it."""


def as_typed(form: forms.Form) -> dict[str, Any]:
    """What a form was sent; a number nobody touched is exactly what it was, though its field shows it rounded."""
    untouched = {
        name: form.initial[name]
        for name, field in form.fields.items()
        if isinstance(field, TypedField) and name in form.initial and name not in form.changed_data
    }
    return {**form.cleaned_data, **untouched}


class QuantityField(TypedField):
    """A quantity kept in SI; `unit` is what a bare number is in, `per` what one of it is in the unit kept.

    Outside `least` and `most` (in `unit`) it is refused.
    """

    def __init__(
        self, *, unit: str, per: float = 1.0, least: float | None = None, most: float | None = None, **kwargs: Any
    ) -> None:
        super().__init__(**kwargs)
        self.unit, self.per, self.least, self.most = unit, per, least, most

    def read(self, text: str) -> float:
        value = parse_quantity(text, self.unit)
        if self.least is not None and value < self.least:
            raise BadInput(f"“{text}” must be at least {self.least:g} {self.unit}.")
        if self.most is not None and value > self.most:
            raise BadInput(f"Is “{text}” right? More than {self.most:g} {self.unit} is not taken here.")
        return value * self.per

    def written(self, value: float) -> str:
        return f"{value / self.per:.6g} {self.unit}"


class AngleField(TypedField):
    """A latitude or a longitude in degrees, north and east positive."""

    def __init__(self, *, axis: Axis, **kwargs: Any) -> None:
        kwargs.setdefault("help_text", f"Like {EXAMPLE[axis]}.")
        super().__init__(**kwargs)
        self.axis: Axis = axis

    def read(self, text: str) -> float:
        return parse_angle(text, self.axis)

    def written(self, value: float) -> str:
        return latitude(value) if self.axis == "latitude" else longitude(value)
