"""What our forms have in common: no colons, the first wrong field in focus, sent twice saved once, nothing typed lost."""

from typing import Any, cast
from uuid import uuid4

from django import forms
from django.http import QueryDict

from vessel.actions.version import ChangedMeanwhile
from vessel.errors import Refused

NOT_WORDS = frozenset({"once", "csrfmiddlewaretoken"})


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


class OnceForm(PlainForm):
    """A form that writes: it carries a key of its own, so that sending it again does not do the deed again."""

    once = forms.CharField(required=False, max_length=64, widget=forms.HiddenInput)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs["initial"] = {"once": uuid4().hex, **(kwargs.get("initial") or {})}
        super().__init__(*args, **kwargs)

    def words(self) -> dict[str, str]:
        """What was typed, as text: whether a form sent again says the same."""
        sent = cast("QueryDict", self.data).lists()
        return {name: " ".join(map(str, typed)) for name, typed in sent if name not in NOT_WORDS}

    def ask_again(self, **instead: object) -> None:
        """Show the form again with all that was typed; sent from here it is another form, and `instead` holds."""
        typed = cast("QueryDict", self.data).copy()
        for name, value in {"once": uuid4().hex, **instead}.items():
            typed[self.add_prefix(name)] = str(value)
        self.data = typed

    def refuse(self, reason: Refused, field: str | None = None) -> None:
        """Say at the form why the deed was refused; `field` takes the sentence where it is about one."""
        self.add_error(field if field in self.fields else None, str(reason))


class VersionForm(OnceForm):
    """A form that changes a row: it carries the version it was filled from."""

    version = forms.IntegerField(widget=forms.HiddenInput)

    def refuse(self, reason: Refused, field: str | None = None) -> None:
        """A row changed meanwhile: both texts stand on the page, and saving again saves yours knowingly."""
        super().refuse(reason, field)
        if isinstance(reason, ChangedMeanwhile):
            self.ask_again(version=reason.version)
