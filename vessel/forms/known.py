"""A question that may be left open: yes, no or not known."""

from typing import Any

from django import forms

YES_OR_NO = [("", "not known"), ("yes", "yes"), ("no", "no")]


class KnownField(forms.TypedChoiceField):
    """Yes, no or not known."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(
            choices=YES_OR_NO, coerce=lambda word: word == "yes", empty_value=None, required=False, **kwargs
        )

    def prepare_value(self, value: Any) -> Any:
        return {True: "yes", False: "no", None: ""}[value] if value in (True, False, None) else value
