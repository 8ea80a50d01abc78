"""The skipper's word on a verdict, a condition that is met, and a waiver."""

from typing import Any, cast

from django import forms
from django.http import QueryDict

from readiness.models import DecisionWord, Leg
from vessel.forms.local_time import LocalTimeField
from vessel.forms.plain import OnceForm
from vessel.forms.several import SeveralField
from vessel.models import Person


class Ticked(forms.MultipleChoiceField):
    """What was ticked, whatever it is: the deed finds it in the verdict or refuses."""

    widget = forms.CheckboxSelectMultiple

    def valid_value(self, value: Any) -> bool:  # noqa: ARG002
        return True


class DecideForm(OnceForm):
    """Go or stay, on the verdict that was shown."""

    shown = forms.CharField(max_length=64, widget=forms.HiddenInput)
    word = forms.ChoiceField(choices=DecisionWord.choices, widget=forms.HiddenInput)
    accepted = Ticked(label="Conditions", required=False)
    reason = forms.CharField(
        label="Why", required=False, max_length=2000, widget=forms.Textarea(attrs={"rows": 2}),
        help_text="Needed to go against the verdict. For yourself and whoever reads the log.",
    )  # fmt: skip

    @property
    def ticked(self) -> list[str]:
        """The conditions that were ticked, as they were sent."""
        return list(cast("QueryDict", self.data).getlist("accepted"))


class MetForm(OnceForm):
    """A condition is met, and how one knows."""

    rule = forms.CharField(max_length=60, widget=forms.HiddenInput)
    cause = forms.CharField(max_length=160, widget=forms.HiddenInput)
    note = forms.CharField(
        label="How you know", max_length=400, required=False, widget=forms.TextInput(attrs={"autocomplete": "off"})
    )


class StrikeForm(OnceForm):
    """It was not met after all, or a waiver is taken back."""

    version = forms.IntegerField(required=False, widget=forms.HiddenInput)


class WaiverForm(OnceForm):
    """A no-go taken on oneself, in writing."""

    rule = forms.CharField(max_length=60, widget=forms.HiddenInput)
    cause = forms.CharField(max_length=160, widget=forms.HiddenInput)
    reason = forms.CharField(
        label="Why", max_length=2000, widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": "Write down why, such as: wind on the quarter all the way, in the lee of the land."},
    )  # fmt: skip
    instead = forms.CharField(
        label="What is done instead", max_length=2000, widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": "Write down what is done instead, such as: slow down and keep her head to it."},
    )  # fmt: skip
    told = SeveralField(queryset=Person.objects.none())

    def __init__(self, *args: Any, leg: Leg, until_date: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["told"] = SeveralField(
            label="Who aboard was told", queryset=leg.crew.all(), required=False, widget=forms.CheckboxSelectMultiple
        )
        if until_date:
            zone = leg.departure.zone
            note = f"90 days or the haul-out at most. By the clock of {zone.replace('_', ' ')}."
            self.fields["until"] = LocalTimeField(zone=zone, label="Until", help_text=note)
