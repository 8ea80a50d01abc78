"""A tide station as somebody writes it down, by file or by hand, and a stream table by file."""

from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from django import forms

from readiness.feeds.tide_clock import DATE_ORDERS
from readiness.feeds.tide_station import UNITS
from readiness.forms.tide_differences import TWO_WAYS, DifferencesForm
from readiness.models import TideStation, TideStationKind
from vessel.forms.known import KnownField
from vessel.forms.plain import OnceForm, VersionForm
from vessel.forms.quantity import QuantityField, as_typed
from vessel.forms.set_up import zone_choices
from vessel.models import Vessel

FILE, FIT, PORT = "file", "fit", "port"
KINDS = [
    (FILE, "a file of constants, or of high and low waters"),
    (FIT, "a file of observed heights, to be fitted"),
    (PORT, "differences on another port"),
]
AS_THE_FILE_SAYS = ("", "as the file says")
BY_FILE_OR_TYPED = "Give the differences by file or type them, not both."


class WrittenForm(OnceForm):
    """How a file of tides is written where it does not say so itself."""

    zone = forms.ChoiceField(
        label="Clock of the times in the file", choices=lambda: [AS_THE_FILE_SAYS, *zone_choices()[1:]], required=False
    )
    unit = forms.ChoiceField(
        label="Unit of the heights in the file",
        choices=[AS_THE_FILE_SAYS, *((unit, unit) for unit in UNITS)],
        required=False,
    )
    date_order = forms.ChoiceField(
        label="Dates like 03/04", choices=[AS_THE_FILE_SAYS, *((order, order) for order in DATE_ORDERS)], required=False
    )


class StationForm(DifferencesForm, WrittenForm):
    """What is left out is taken from the file, and where that does not say, it is not known."""

    name = forms.CharField(label="Name", max_length=120)
    what = forms.ChoiceField(label="Its tide comes from", choices=KINDS, widget=forms.RadioSelect)
    file = forms.FileField(label="File (CSV)", required=False)
    datum = forms.CharField(
        label="Heights are above", required=False, max_length=80, help_text="The datum, such as: chart datum."
    )
    mean_level_m = QuantityField(label="Mean level above that datum", unit="m", required=False)
    differences_applied = KnownField(label="A table of a secondary port: are its differences in the figures?")
    source = forms.CharField(label="Where this is from", required=False, max_length=400)
    valid_from = forms.DateField(label="Holds from", required=False, widget=forms.DateInput(attrs={"type": "date"}))
    valid_to = forms.DateField(
        label="Holds until the end of", required=False, widget=forms.DateInput(attrs={"type": "date"})
    )

    def __init__(self, *args: Any, vessel: Vessel, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        ports = TideStation.objects.filter(vessel=vessel).exclude(kind=TideStationKind.SECONDARY)
        self.fields["reference"] = forms.ModelChoiceField(
            label="Differences on", queryset=ports, required=False, empty_label="no other port"
        )

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        what = given.get("what")
        if what in (FILE, FIT) and not given.get("file"):
            self.add_error("file", "Choose the file.")
        if what == PORT and not given.get("reference"):
            self.add_error("reference", "Say which port the differences are on.")
        if what == PORT and given.get("file") and self.ways():
            self.add_error("file", BY_FILE_OR_TYPED)
        elif what == PORT and len(self.ways()) > 1:
            self.add_error(None, TWO_WAYS)
        return given

    def notes(self) -> dict[str, object]:
        """What was typed beside the file, as a station file says it."""
        given = self.cleaned_data
        told: dict[str, object] = {
            "name": given["name"], "datum": given["datum"], "timezone": given["zone"], "unit": given["unit"],
            "date_order": given["date_order"], "source": given["source"], "mean_level_m": given["mean_level_m"],
            **{name: given[name].isoformat() if given[name] else None for name in ("valid_from", "valid_to")},
        }  # fmt: skip
        return {name: value for name, value in told.items() if value not in ("", None)}


class ChangeForm(VersionForm):
    """What is said about a station; its figures stay, and come anew with a new station."""

    name = forms.CharField(label="Name", max_length=120)
    datum = forms.CharField(label="Heights are above", required=False, max_length=80)
    mean_level_m = QuantityField(label="Mean level above that datum", unit="m", required=False)
    differences_applied = KnownField(label="A table of a secondary port: are its differences in the figures?")
    source = forms.CharField(label="Where this is from", required=False, max_length=400)
    valid_from = forms.DateField(label="Holds from", required=False, widget=forms.DateInput(attrs={"type": "date"}))
    valid_to = forms.DateField(
        label="Holds until the end of", required=False, widget=forms.DateInput(attrs={"type": "date"})
    )

    def columns(self) -> dict[str, Any]:
        """What was typed, by column of the station; days nobody touched stay as they were, to the second."""
        given = as_typed(self)
        ends = {"valid_from": start_of(given["valid_from"]), "valid_to": end_of(given["valid_to"])}
        kept = {name: given[name] for name in ("name", "mean_level_m", "differences_applied", "source")}
        touched = {name: end for name, end in ends.items() if name in self.changed_data}
        return {**kept, "datum": given["datum"] or None, **touched}


def change_initial(station: TideStation) -> dict[str, Any]:
    """A station as its form shows it."""
    names = ("name", "datum", "mean_level_m", "differences_applied", "source", "version")
    last = station.valid_to - timedelta(seconds=1) if station.valid_to else None
    days = {"valid_from": station.valid_from and station.valid_from.date(), "valid_to": last and last.date()}
    return {**{name: getattr(station, name) for name in names}, **days}


class TableRowsForm(VersionForm, WrittenForm):
    """Another file of high and low waters for a printed table."""

    file = forms.FileField(label="File (CSV)", error_messages={"required": "Choose the file of high and low waters."})
    valid_to = forms.DateField(
        label="The figures hold until the end of", required=False, widget=forms.DateInput(attrs={"type": "date"})
    )
    field_order = ("file", "valid_to", "zone", "unit", "date_order")

    def notes(self) -> dict[str, object]:
        """What was typed beside the file, as a station file says it."""
        told = {"timezone": "zone", "unit": "unit", "date_order": "date_order"}
        return {name: self.cleaned_data[field] for name, field in told.items() if self.cleaned_data[field]}

    def columns(self) -> dict[str, Any]:
        """What changes with the rows; a day nobody touched stays as it was, to the second."""
        given = self.cleaned_data["valid_to"]
        return {"valid_to": end_of(given)} if "valid_to" in self.changed_data else {}


def table_rows_initial(station: TideStation) -> dict[str, Any]:
    """What the form of more rows begins with."""
    last = station.valid_to - timedelta(seconds=1) if station.valid_to else None
    return {"version": station.version, "valid_to": last and last.date()}


def start_of(day: date | None) -> datetime | None:
    """Where a day begins, UTC."""
    return None if day is None else datetime.combine(day, time(0), UTC)


def end_of(day: date | None) -> datetime | None:
    """Where a day ends, UTC."""
    return None if day is None else datetime.combine(day + timedelta(days=1), time(0), UTC)


class StreamForm(OnceForm):
    """A stream table by file; all of it stands in the file."""

    file = forms.FileField(label="File (CSV)", error_messages={"required": "Choose a stream table (CSV)."})
