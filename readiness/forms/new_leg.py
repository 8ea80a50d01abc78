"""A new leg: straight between two harbours, after a route or track of a GPX file, or the way back of a leg."""

import base64
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import msgspec
from django import forms
from django.core.files.uploadedfile import UploadedFile

from readiness.feeds.gpx import MOST_BYTES
from readiness.forms.leg_plan import FASTEST_PLAN_KN
from readiness.forms.still_to_come import still_to_come
from readiness.models import Harbour, Leg
from vessel.forms.local_time import LocalTimeField
from vessel.forms.plain import OnceForm
from vessel.forms.quantity import QuantityField
from vessel.models import Vessel
from vessel.units import KNOT

WAYS = [
    ("straight", "straight from one harbour to the other, points put in afterwards"),
    ("gpx", "a route or track of a GPX file"),
    ("back", "the way back of a leg"),
]
LONGEST_LINES = 400_000  # characters of lines carried from one page to the next
MOST_LINES = 30
MOST_POINTS_OF_A_LINE = 100


class FoundLine(msgspec.Struct, frozen=True):
    """One route or track of a file, thinned: what is said of it, and its points (name, latitude, longitude)."""

    told: str
    points: list[tuple[str, float, float]]


@dataclass(frozen=True, slots=True)
class Unpacked:
    """Lines carried along in the form."""

    lines: tuple[FoundLine, ...] = ()


class NewLegForm(OnceForm):
    """`lines` carries what a file held while one of it is chosen, so that the file is sent once."""

    name = forms.CharField(label="Name of the leg", max_length=160, required=False)
    way = forms.ChoiceField(label="The way", choices=WAYS, initial="straight", widget=forms.RadioSelect)
    departure: "forms.ModelChoiceField[Harbour]" = forms.ModelChoiceField(queryset=Harbour.objects.none(), label="From")
    arrival: "forms.ModelChoiceField[Harbour]" = forms.ModelChoiceField(queryset=Harbour.objects.none(), label="To")
    leg: "forms.ModelChoiceField[Leg]" = forms.ModelChoiceField(queryset=Leg.objects.none(), label="Way back of")
    file = forms.FileField(
        label="GPX file", required=False, widget=forms.ClearableFileInput(attrs={"accept": ".gpx,application/gpx+xml"})
    )
    lines = forms.CharField(required=False, max_length=LONGEST_LINES, widget=forms.HiddenInput)
    line = forms.IntegerField(required=False, min_value=0, max_value=MOST_LINES)
    planned_at = LocalTimeField(zone="UTC", label="Planned departure")
    speed_mps = QuantityField(
        unit="kn", per=KNOT, least=0.1, most=FASTEST_PLAN_KN, label="Speed through the water", required=False
    )

    def __init__(self, *args: Any, vessel: Vessel, at: datetime | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.at = at
        harbours, legs = (
            Harbour.objects.filter(vessel=vessel),
            Leg.objects.filter(vessel=vessel).order_by("-planned_at"),
        )
        for end, label in (("departure", "From"), ("arrival", "To")):
            self.fields[end] = forms.ModelChoiceField(
                queryset=harbours, label=label, required=False, empty_label="choose a harbour"
            )
        self.fields["leg"] = forms.ModelChoiceField(
            queryset=legs, label="Way back of", required=False, empty_label="choose a leg"
        )
        self.zone = self._zone(harbours, legs) or vessel.home_zone or "UTC"
        self.fields["planned_at"] = LocalTimeField(zone=self.zone, label="Planned departure")

    def _zone(self, harbours: Any, legs: Any) -> str:
        """The clock at the place of departure, where one is chosen."""
        is_back = self.data.get("way") == "back"
        picked = str(self.data.get("leg" if is_back else "departure", ""))
        if not picked.isdecimal():
            return ""
        row = (legs.select_related("arrival") if is_back else harbours).filter(pk=picked).first()
        return str(row.arrival.zone if is_back else row.zone) if row else ""

    def clean_planned_at(self) -> datetime | None:
        return still_to_come(self.cleaned_data["planned_at"], self.at, self.zone)

    def clean_file(self) -> "UploadedFile[bytes] | None":
        file: UploadedFile[bytes] | None = self.cleaned_data["file"]
        if file and (file.size or 0) > MOST_BYTES:
            raise forms.ValidationError(f"This file is longer than {MOST_BYTES // 1_000_000} MB. Nothing was taken in.")
        return file

    def clean_lines(self) -> Unpacked:
        return unpacked(self.cleaned_data["lines"])

    def clean(self) -> dict[str, Any]:
        given: dict[str, Any] = super().clean() or {}
        way = given.get("way")
        wanted = {"back": ("leg",), "gpx": ("departure", "arrival"), "straight": ("departure", "arrival")}.get(
            way or "", ()
        )
        for name in wanted:
            if not given.get(name) and name not in self.errors:
                self.add_error(name, "Choose the leg." if name == "leg" else "Choose a harbour.")
        if way == "gpx" and not given.get("file") and not (given.get("lines") or Unpacked()).lines:
            self.add_error("file", "Choose the GPX file.")
        return given


def packed(lines: Sequence[FoundLine]) -> str:
    """Lines as text for a hidden field."""
    return base64.b64encode(msgspec.msgpack.encode(list(lines))).decode()


def unpacked(text: str) -> Unpacked:
    """The lines again; ValidationError for text that is not ours."""
    if not text:
        return Unpacked()
    try:
        lines = msgspec.msgpack.decode(base64.b64decode(text, validate=True), type=list[FoundLine])
    except (ValueError, msgspec.MsgspecError) as reason:
        raise forms.ValidationError("What the file held was lost on the way. Choose the file again.") from reason
    sound = len(lines) <= MOST_LINES and all(
        2 <= len(line.points) <= MOST_POINTS_OF_A_LINE
        and all(abs(lat) <= 90 and abs(lon) <= 180 and len(name) <= 200 for name, lat, lon in line.points)
        for line in lines
    )
    if not sound:
        raise forms.ValidationError("What the file held was lost on the way. Choose the file again.")
    return Unpacked(tuple(lines))
