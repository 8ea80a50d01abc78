"""What our forms have in common: no colons, and the first wrong field in focus."""

from typing import Any

from django import forms


class PlainForm(forms.Form):
    """A form whose answer to a mistake begins at the field."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("label_suffix", "")
        super().__init__(*args, **kwargs)

    def full_clean(self) -> None:
        super().full_clean()
        for name in self.fields:
            if name in self.errors:
                self.fields[name].widget.attrs["autofocus"] = True
                break
