"""A coastline from a file, and taking one away."""

from django import forms
from django.core.files.uploadedfile import UploadedFile

from readiness.feeds.coastline import MOST_BYTES
from vessel.forms.plain import OnceForm, VersionForm


class TakeCoastlineForm(OnceForm):
    """One of the same name is replaced."""

    name = forms.CharField(label="Name", max_length=60, error_messages={"required": "Name it, such as: Ostrel coast."})
    file = forms.FileField(
        label="GeoJSON file",
        error_messages={"required": "Choose the file."},
        widget=forms.FileInput(attrs={"accept": ".geojson,.json,application/geo+json"}),
    )
    source = forms.CharField(label="Where it is from", max_length=200, required=False)

    def clean_file(self) -> "UploadedFile[bytes]":
        file: UploadedFile[bytes] = self.cleaned_data["file"]
        if (file.size or 0) > MOST_BYTES:
            raise forms.ValidationError(
                f"This file is longer than {MOST_BYTES // 1_000_000} MB. Cut it to your coast. Nothing was taken in."
            )
        return file


class AwayForm(VersionForm):
    """A coastline is no longer held."""
