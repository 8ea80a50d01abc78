"""Harbours and gates as people write them down; what is left empty stays not known."""

import re
from datetime import time
from typing import Any

from django import forms

from readiness.models import Gate, Harbour, StreamTable, TideStation
from readiness.models.closed_list import choices
from readiness.rules.words_of_trade import GateKind
from vessel.calc.wording import POINTS
from vessel.forms.known import KnownField
from vessel.forms.plain import VersionForm
from vessel.forms.quantity import AngleField, QuantityField, as_typed
from vessel.forms.set_up import zone_choices
from vessel.models import Vessel
from vessel.units import HOUR, KNOT, MINUTE

ALL_ROUND = "all round"
BEARING = re.compile(r"\s*([NESW]{1,3}|\d{1,3})\s*°?\s*", re.IGNORECASE)
SHELTER_EXAMPLE = "One stretch of wind a line, clockwise, such as: N to E, or 225 to 360; or: all round."


class ShelterField(forms.CharField):
    """Sectors of wind as (from, to) in degrees, clockwise."""

    widget = forms.Textarea(attrs={"rows": 2})

    def clean(self, value: Any) -> list[tuple[float, float]]:
        return [_sector(line) for line in super().clean(value).splitlines() if line.strip()]

    def prepare_value(self, value: Any) -> Any:
        if not isinstance(value, list):
            return value
        return "\n".join(ALL_ROUND if to - start >= 360 else f"{start:03.0f} to {to:03.0f}" for start, to in value)


def _sector(line: str) -> tuple[float, float]:
    if line.strip().lower() == ALL_ROUND:
        return 0.0, 360.0
    ends = [BEARING.fullmatch(part) for part in re.split(r"\bto\b|\bthrough\b|-|–", line, flags=re.IGNORECASE)]
    bearings = [_bearing(end[1]) for end in ends if end is not None]
    if len(ends) != 2 or len(bearings) != 2 or not all(0 <= bearing <= 360 for bearing in bearings):
        raise forms.ValidationError(f"“{line.strip()[:40]}” is no stretch of wind. {SHELTER_EXAMPLE}")
    return bearings[0], bearings[1]


def _bearing(text: str) -> float:
    word = text.upper()
    if word in POINTS:
        return POINTS.index(word) * 22.5
    return float(text) if text.isdecimal() else -1.0


def clock_input() -> forms.TimeInput:
    """The browser's own clock, by the minute."""
    return forms.TimeInput(attrs={"type": "time"}, format="%H:%M")


def day_second(value: time | None) -> float | None:
    """A time of day as seconds after midnight."""
    return None if value is None else value.hour * HOUR + value.minute * MINUTE


def zone_field(vessel: Vessel) -> forms.ChoiceField:
    """Which clock a place keeps; those of her home and her harbours are offered first."""
    used = Harbour.objects.filter(vessel=vessel).order_by("zone").values_list("zone", flat=True).distinct()
    return forms.ChoiceField(label="Time zone", choices=zone_choices([vessel.home_zone, *used]))


class HarbourForm(VersionForm):
    """A harbour, anchorage or quay."""

    name = forms.CharField(label="Name", max_length=120)
    lat_deg = AngleField(label="Latitude", axis="latitude")
    lon_deg = AngleField(label="Longitude", axis="longitude")
    zone = forms.ChoiceField(label="Time zone", choices=zone_choices)
    tide_station: "forms.ModelChoiceField[TideStation]" = forms.ModelChoiceField(queryset=TideStation.objects.none())
    charted_m = QuantityField(
        label="Depth at the berth below chart datum", unit="m", required=False,
        help_text="As charted, such as 2.2 m; a berth that dries 0.9 m is −0.9 m.",
    )  # fmt: skip
    shelter = ShelterField(label="Shelters from winds", required=False, help_text=SHELTER_EXAMPLE)
    familiar = KnownField(label="Have you been in before?")
    lit = KnownField(label="Is the way in lit?")
    night_price = forms.DecimalField(
        label="Price of a night for this boat", required=False, min_value=0, max_digits=8, decimal_places=2
    )
    note = forms.CharField(label="Note", required=False, max_length=4000, widget=forms.Textarea(attrs={"rows": 3}))
    source = forms.CharField(label="Where this is from", required=False, max_length=200)

    def __init__(self, *args: Any, vessel: Vessel, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        stations = TideStation.objects.filter(vessel=vessel)
        self.fields["tide_station"] = forms.ModelChoiceField(
            label="Tide station", queryset=stations, required=False, empty_label="not known"
        )
        self.fields["zone"] = zone_field(vessel)

    def columns(self) -> dict[str, Any]:
        """What was typed, by column of the harbour."""
        return {name: value for name, value in as_typed(self).items() if name not in NOT_COLUMNS}


NOT_COLUMNS = frozenset({"once", "version", "shelter", "opens_local", "closes_local"})
HOURS = ("before_s", "after_s", "free_flow_before_s", "free_flow_after_s")


class GateForm(VersionForm):
    """A lock, sill, bar, bridge or narrows: each kind uses its own part of the form."""

    name = forms.CharField(label="Name", max_length=120)
    kind = forms.ChoiceField(label="Kind", choices=choices(GateKind))
    tide_station: "forms.ModelChoiceField[TideStation]" = forms.ModelChoiceField(queryset=TideStation.objects.none())
    before_s = QuantityField(label="Works from so long before high water", unit="h", per=HOUR, least=0, required=False)
    after_s = QuantityField(label="until so long after", unit="h", per=HOUR, least=0, required=False)
    free_flow_before_s = QuantityField(
        label="Straight through from so long before high water", unit="h", per=HOUR, least=0, required=False
    )
    free_flow_after_s = QuantityField(label="until so long after ", unit="h", per=HOUR, least=0, required=False)
    level_m = QuantityField(
        label="Height of the sill or bar, or headroom of the bridge", unit="m", required=False,
        help_text="A bar 0.6 m below chart datum is −0.6 m.",
    )  # fmt: skip
    zero = forms.CharField(
        label="Height is above", required=False, max_length=80, help_text="Chart datum, mean level, or a named level."
    )
    fixed = KnownField(label="A bridge that never opens?")
    most_sea_m = QuantityField(label="Highest sea the bar is crossed in", unit="m", least=0, required=False)
    stream_table: "forms.ModelChoiceField[StreamTable]" = forms.ModelChoiceField(queryset=StreamTable.objects.none())
    most_rate_mps = QuantityField(label="Most stream in the narrows", unit="kn", per=KNOT, least=0, required=False)
    keeps_hours = KnownField(label="Does a keeper keep hours?")
    opens_local = forms.TimeField(label="Keeper from", required=False, widget=clock_input())
    closes_local = forms.TimeField(label="Keeper until", required=False, widget=clock_input())
    last_entry_s = QuantityField(label="Last entry before it shuts", unit="min", per=MINUTE, least=0, required=False)
    hands = forms.IntegerField(label="Hands besides the helm", required=False, min_value=0, max_value=20)
    wait_place: "forms.ModelChoiceField[Harbour]" = forms.ModelChoiceField(queryset=Harbour.objects.none())
    keeper_contact = forms.CharField(label="How to reach the keeper", required=False, max_length=200)
    source = forms.CharField(label="Where this is from", required=False, max_length=200)

    def __init__(self, *args: Any, vessel: Vessel, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        asked: dict[str, tuple[str, Any]] = {
            "tide_station": ("Tide station", TideStation.objects.filter(vessel=vessel)),
            "stream_table": ("Stream table of the narrows", StreamTable.objects.filter(vessel=vessel)),
            "wait_place": ("Where to wait for it", Harbour.objects.filter(vessel=vessel)),
        }
        for name, (label, rows) in asked.items():
            self.fields[name] = forms.ModelChoiceField(
                label=label, queryset=rows, required=False, empty_label="not known"
            )

    def columns(self) -> dict[str, Any]:
        """What was typed, by column of the gate; the keeper's hours in seconds after midnight."""
        given = as_typed(self)
        hours = {f"{name}_s": day_second(given[name]) for name in ("opens_local", "closes_local")}
        kept = {name: value for name, value in given.items() if name not in NOT_COLUMNS}
        return {**kept, "zero": given["zero"] or None, **hours}


class WayGateForm(GateForm):
    """A gate on the way, that no harbour has: it keeps a clock of its own."""

    zone = forms.ChoiceField(label="Time zone", choices=zone_choices)

    def __init__(self, *args: Any, vessel: Vessel, **kwargs: Any) -> None:
        super().__init__(*args, vessel=vessel, **kwargs)
        self.fields["zone"] = zone_field(vessel)


def gate_form_of(gate: Gate) -> type[GateForm]:
    """The form a gate is changed with."""
    return GateForm if gate.harbour_id else WayGateForm


def gate_initial(gate: Gate) -> dict[str, Any]:
    """A gate as its form shows it."""
    names = [name for name in gate_form_of(gate).base_fields if name not in NOT_COLUMNS]
    shown = {name: getattr(gate, f"{name}_id", None) or getattr(gate, name) for name in names}
    hours = {name: _clock(getattr(gate, f"{name}_s")) for name in ("opens_local", "closes_local")}
    return {**shown, **hours, "version": gate.version}


def harbour_initial(harbour: Harbour) -> dict[str, Any]:
    """A harbour as its form shows it."""
    names = [name for name in HarbourForm.base_fields if name not in NOT_COLUMNS]
    shown = {name: getattr(harbour, f"{name}_id", None) or getattr(harbour, name) for name in names}
    sectors = [(one.from_deg, one.to_deg) for one in harbour.shelter_sectors.all()]
    return {**shown, "shelter": sectors, "version": harbour.version}


def _clock(seconds: float | None) -> time | None:
    if seconds is None:
        return None
    return time(int(seconds // HOUR) % 24, int(seconds % HOUR // MINUTE))
