"""Reporting, watching and mending a defect."""

from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile

from maintenance.models import Defect, Effect
from maintenance.queries.defect import equipment_of
from vessel.forms.plain import OnceForm, VersionForm
from vessel.models import Equipment, Vessel

LARGEST_PHOTO = 40 * 1024 * 1024  # bytes [own]
EFFECTS = [
    ("", "not known yet"),
    (Effect.NONE, "no effect"),
    (Effect.DEGRADES, "degrades it"),
    (Effect.DISABLES, "disables it"),
]


class ReportForm(OnceForm):
    """Only what is wrong must be said; what is left out stays not known."""

    title = forms.CharField(
        label="What is wrong?",
        max_length=200,
        error_messages={"required": "Say in a few words what is wrong, such as: stern line chafed near the eye."},
        widget=forms.Textarea(attrs={"rows": 3, "maxlength": 200}),
    )
    photo = forms.FileField(label="Photo", required=False, widget=forms.ClearableFileInput(attrs={"accept": "image/*"}))
    equipment: "forms.ModelChoiceField[Equipment]" = forms.ModelChoiceField(queryset=Equipment.objects.none())
    effect = forms.ChoiceField(label="What it does to it", choices=EFFECTS, required=False, widget=forms.RadioSelect)
    limit_text = forms.CharField(
        label="Works within this limit", max_length=200, required=False, help_text="Such as: drops out above 1,900 rpm."
    )

    def __init__(self, *args: Any, vessel: Vessel, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["equipment"] = forms.ModelChoiceField(
            label="Where", queryset=equipment_of(vessel.pk), required=False, empty_label="not known yet"
        )

    def clean_photo(self) -> "UploadedFile[bytes] | None":
        photo: UploadedFile[bytes] | None = self.cleaned_data["photo"]
        if photo and (photo.size or 0) > LARGEST_PHOTO:
            raise forms.ValidationError(
                "This photo is over 40 MB. Take it again at a smaller size; the words are kept."
            )
        return photo


class CorrectForm(VersionForm):
    """What a defect does, and to what: `row` fills it with what stands."""

    equipment: "forms.ModelChoiceField[Equipment]" = forms.ModelChoiceField(queryset=Equipment.objects.none())
    effect = forms.ChoiceField(label="What it does to it", choices=EFFECTS, required=False, widget=forms.RadioSelect)
    limit_text = forms.CharField(
        label="Works within this limit", max_length=200, required=False, help_text="Such as: drops out above 1,900 rpm."
    )

    def __init__(self, *args: Any, row: Defect, **kwargs: Any) -> None:
        names = ("version", "equipment", "effect", "limit_text")
        stands = {name: getattr(row, name) for name in names} | {"effect": row.effect or ""}
        super().__init__(*args, initial=stands, **kwargs)
        self.fields["equipment"] = forms.ModelChoiceField(
            label="Where", queryset=equipment_of(row.vessel_id), required=False, empty_label="not known"
        )

    def columns(self) -> dict[str, Any]:
        """What was typed, as the deed asks for it."""
        given = self.cleaned_data
        return {
            "equipment": given["equipment"], "effect": given["effect"] or None, "limit_text": given["limit_text"],
        }  # fmt: skip


class ReadingForm(OnceForm):
    """A reading as typed, with its unit or without."""

    typed = forms.CharField(label="Reading", max_length=60, widget=forms.TextInput(attrs={"autocomplete": "off"}))
    engine_hours = forms.FloatField(label="Engine hours now", required=False, min_value=0, localize=False)


class MendForm(VersionForm):
    """How it was mended and how it was proved."""

    proof = forms.CharField(
        label="How was it mended, and how was it tried?", max_length=2000, widget=forms.Textarea(attrs={"rows": 3})
    )


class ReopenForm(VersionForm):
    """Why it is opened again."""

    reason = forms.CharField(label="Why is it open again?", max_length=400)


class ProposeForm(OnceForm):
    """What the crew says of a defect that only owner or skipper close."""

    proof = forms.CharField(
        label="How was it mended, and how was it tried?", max_length=2000, widget=forms.Textarea(attrs={"rows": 3})
    )
