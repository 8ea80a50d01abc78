"""A question that may be left open: yes, no or not known."""

from typing import Any

from django import forms

YES_OR_NO = [("", "not known"), ("yes", "yes"), ("no", "no")]
MEANT = {"yes": True, "no": False, "": None}
WORD_FOR = {meant: word for word, meant in MEANT.items()}


class KnownField(forms.TypedChoiceField):
    """Yes, no or not known."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(
            choices=YES_OR_NO, coerce=lambda word: word == "yes", empty_value=None, required=False, **kwargs
        )

    def prepare_value(self, value: Any) -> Any:
        return WORD_FOR[value] if value in (True, False, None) else value
