"""People: what they can do, when they are aboard, how rested they are."""

from typing import Any

from django import forms

from vessel.forms.local_time import LocalTimeField
from vessel.forms.plain import OnceForm, VersionForm
from vessel.models import Answer, Availability, Fitness, JacketSize, Person, Vessel
from vessel.queries.person import SKILLS

FIT = [("", "not asked"), *Fitness.choices]
ANSWERS = [(Answer.YES, "yes, confirmed"), (Answer.NO, "cannot come"), (Answer.NOT_KNOWN, "not answered")]
TIMES = ("aboard_from", "aboard_until", "must_leave_at")
COLUMNS = ("name", "is_skipper", *SKILLS, "fit", "fit_note", "jacket_size")


class PersonForm(VersionForm):
    """One person. What is not ticked is not counted on."""

    version = forms.IntegerField(widget=forms.HiddenInput, required=False)
    name = forms.CharField(
        label="Name", max_length=80, error_messages={"required": "Write a name, such as: Tam Ferrow."}
    )
    is_skipper = forms.BooleanField(label="Can be her skipper", required=False)
    fit = forms.ChoiceField(label="Fit to sail", choices=FIT, required=False)
    fit_note = forms.CharField(
        label="Private note", max_length=2000, required=False, widget=forms.Textarea(attrs={"rows": 2}),
        help_text="Medicine, next of kin and the like. Seen by owner and skipper only; it goes into no handover.",
    )  # fmt: skip
    jacket_size = forms.ChoiceField(label="Lifejacket", choices=JacketSize.choices)

    def __init__(self, *args: Any, person: Person | None = None, **kwargs: Any) -> None:
        stands: dict[str, object] = {"jacket_size": JacketSize.ADULT}
        if person is not None:
            stands = {name: getattr(person, name) for name in (*COLUMNS, "version")}
        super().__init__(*args, initial=stands, **kwargs)
        for column, words in SKILLS.items():
            self.fields[column] = forms.BooleanField(label=words.capitalize(), required=False)

    @property
    def ticks(self) -> list[forms.BoundField]:
        """Every skill."""
        return [self[name] for name in ("is_skipper", *SKILLS)]

    def columns(self) -> dict[str, Any]:
        """What was typed, under the names of the columns."""
        given = {name: self.cleaned_data[name] for name in COLUMNS}
        return {**given, "fit": given["fit"] or None}


class StayForm(VersionForm):
    """A stay aboard and what they said to it. Times by the clock of the home harbour."""

    version = forms.IntegerField(widget=forms.HiddenInput, required=False)
    aboard_from = LocalTimeField(zone="UTC", label="Aboard from")
    aboard_until = LocalTimeField(zone="UTC", label="Until")
    must_leave_at = LocalTimeField(zone="UTC", label="Must leave by", required=False)
    free_to_stay = forms.BooleanField(label="Has nothing to catch, could stay longer", required=False)
    answer = forms.ChoiceField(label="Answer", choices=ANSWERS, widget=forms.RadioSelect, initial=Answer.NOT_KNOWN)

    def __init__(self, *args: Any, vessel: Vessel, stay: Availability | None = None, **kwargs: Any) -> None:
        stands = {name: getattr(stay, name) for name in (*TIMES, "free_to_stay", "answer", "version")} if stay else {}
        super().__init__(*args, initial=stands, **kwargs)
        for name in TIMES:
            old = self.fields[name]
            self.fields[name] = LocalTimeField(zone=vessel.home_zone, label=str(old.label), required=old.required)

    def clean(self) -> dict[str, Any]:
        given: dict[str, Any] = super().clean() or {}
        starts, ends = given.get("aboard_from"), given.get("aboard_until")
        if starts and ends and starts >= ends:
            self.add_error("aboard_until", "This is not after the time they come aboard.")
        if given.get("free_to_stay") and given.get("must_leave_at"):
            self.add_error(
                "must_leave_at", "Who must leave by a time has something to catch: leave one of the two out."
            )
        return given

    def columns(self) -> dict[str, Any]:
        """What was typed of the stay itself."""
        return {name: self.cleaned_data[name] for name in (*TIMES, "free_to_stay")}


class RestForm(OnceForm):
    """Rest up to now, as told."""

    rest_24_h = forms.FloatField(label="Rest in the last 24 hours, h", min_value=0, max_value=24)
    longest_unbroken_h = forms.FloatField(label="Longest unbroken part of it, h", min_value=0, max_value=24)
    rest_7_days_h = forms.FloatField(label="Rest in the last 7 days, h", min_value=0, max_value=168, required=False)
    other_work_h = forms.FloatField(label="Other work today, h", min_value=0, max_value=24, required=False)

    def clean(self) -> dict[str, Any]:
        given: dict[str, Any] = super().clean() or {}
        whole, part = given.get("rest_24_h"), given.get("longest_unbroken_h")
        if whole is not None and part is not None and part > whole:
            self.add_error("longest_unbroken_h", f"The longest part cannot be more than all of it, {whole:g} h.")
        return given

    def hours(self) -> dict[str, float]:
        """The hours told; what was left out stays not known."""
        return {name: value for name, value in self.cleaned_data.items() if name != "once" and value is not None}


class SeenForm(VersionForm):
    """A button that changes one row: briefed, taken away, erased."""
