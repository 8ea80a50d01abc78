"""Taking in a forecast by file or by hand, noting the warnings, and the addresses forecasts are fetched from."""

from datetime import UTC
from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile

from readiness.actions.forecast import ForecastOver
from readiness.feeds.grib_sections import MOST_BYTES
from readiness.models import ForecastFeed
from readiness.models.closed_list import choices
from readiness.models.forecast_feed import FeedKind
from readiness.rules.words_of_trade import Confidence
from vessel.errors import Refused
from vessel.forms.local_time import LocalTimeField
from vessel.forms.plain import OnceForm, PlainForm, VersionForm
from vessel.units import DAY, HOUR

SURE = [("", "not known"), *choices(Confidence)]
NONE_IN_FORCE = "no warnings in force"
LONGEST_TEXT = 20_000
BULLETIN = """issued 2027-05-14T16:00Z
source coast radio
area Outer Sound, 46 N 15.5 W to 47 N 13.5 W
from 2027-05-14T18:00Z to 2027-05-15T06:00Z
wind southwest 4 or 5, increasing 6 later
sea moderate
visibility good, occasionally poor
next 24 h
wind west 5
sea slight or moderate
visibility good"""
WARNING = "gale, Outer Sound, from 2027-05-14T20:00Z to 2027-05-15T06:00Z: southwest gale 8"


class SureField(forms.TypedChoiceField):
    """How sure the forecaster is, or not known."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(
            label="How sure is the forecaster?", choices=SURE, coerce=Confidence, empty_value=None, required=False,
            help_text="Low lowers the limits of wind, gust and sea to four fifths.", **kwargs,
        )  # fmt: skip


class EvenOverForm(OnceForm):
    """A forecast whose last time has gone by is taken in where that is ticked; it is asked only of such a one."""

    even_over = forms.BooleanField(label="Take it all the same: it is over", required=False)
    asks_even_over = False

    def refuse(self, reason: Refused, field: str | None = None) -> None:
        """Told that the forecast is over, it asks."""
        self.asks_even_over = isinstance(reason, ForecastOver)
        super().refuse(reason, "even_over" if self.asks_even_over else field)


class FileForm(PlainForm):
    """A forecast as GRIB or as a table."""

    file = forms.FileField(label="File", error_messages={"required": "Choose a GRIB file or a table (CSV)."})

    def clean_file(self) -> "UploadedFile[bytes]":
        file: UploadedFile[bytes] = self.cleaned_data["file"]
        if (file.size or 0) > MOST_BYTES:
            raise forms.ValidationError(
                f"This file is over {MOST_BYTES // 1_000_000} MB. Ask for a smaller area or fewer times."
            )
        return file


class KeepForm(EvenOverForm):
    """A file that was looked into is taken in."""

    key = forms.CharField(max_length=32, widget=forms.HiddenInput)
    source = forms.CharField(
        label="Source", max_length=200, help_text="Who made it: forecasts of one source are kept apart by this name."
    )
    confidence = SureField()


class BulletinForm(EvenOverForm):
    """The lines of a bulletin."""

    text = forms.CharField(
        label="Bulletin", max_length=LONGEST_TEXT, strip=False,
        widget=forms.Textarea(attrs={"rows": 12, "spellcheck": "false", "autocapitalize": "none"}),
        error_messages={"required": "Type the bulletin line by line, beginning with: issued, area, from."},
    )  # fmt: skip
    confidence = SureField()


class WarningsForm(OnceForm):
    """The warnings in force, one a line, or that there are none."""

    text = forms.CharField(
        label="Warnings, one a line", max_length=LONGEST_TEXT, required=False, strip=False,
        help_text=f"Such as: {WARNING}. Kinds: gale, storm, strong wind, thunder, other.",
        widget=forms.Textarea(attrs={"rows": 4}),
    )  # fmt: skip
    source = forms.CharField(label="Heard from", max_length=100, initial="coast radio")

    def __init__(self, *args: Any, zone: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["good_to"] = LocalTimeField(zone=zone, label="The bulletin speaks until")

    def written(self, *, none: bool) -> bytes:
        """What was said as the lines of a bulletin of warnings; one's own lines first, so that they keep their numbers."""
        given = self.cleaned_data
        said = NONE_IN_FORCE if none else given["text"]
        good_to = given["good_to"].astimezone(UTC)
        return f"{said}\nsource {given['source']}\ngood to {good_to:%Y-%m-%dT%H:%M}Z\n".encode()


class FeedForm(VersionForm):
    """An address that is asked for a forecast every so often."""

    name = forms.CharField(label="Name", max_length=80, help_text="Its forecasts are kept under this name.")
    address = forms.CharField(
        label="Address", max_length=2000, help_text="Begins with https://.",
        widget=forms.URLInput(attrs={"autocomplete": "off", "spellcheck": "false"}),
    )  # fmt: skip
    kind = forms.ChoiceField(label="Kind of file", choices=FeedKind.choices)
    every_h = forms.IntegerField(
        label="Asked every so many hours", min_value=1, max_value=int(7 * DAY / HOUR), initial=6
    )
    enabled = forms.BooleanField(label="Ask by itself", required=False, initial=True)

    def clean_address(self) -> str:
        address: str = self.cleaned_data["address"].strip()
        if not address.startswith("https://"):
            raise forms.ValidationError(
                "The address must begin with https://: anything else may be changed on its way."
            )
        return address

    def columns(self) -> dict[str, Any]:
        """What was typed, by column of the feed."""
        given = self.cleaned_data
        kept = {name: given[name] for name in ("name", "address", "kind", "enabled")}
        return {**kept, "every_s": given["every_h"] * int(HOUR)}


def feed_initial(feed: ForecastFeed) -> dict[str, Any]:
    """A feed as its form shows it."""
    shown = {name: getattr(feed, name) for name in ("name", "address", "kind", "enabled", "version")}
    return {**shown, "every_h": round(feed.every_s / HOUR)}
