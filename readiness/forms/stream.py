"""A stream table as somebody changes it: its particulars, and its rows as lines of figures."""

import re
from itertools import pairwise
from typing import Any

from django import forms

from readiness.models import StreamTable, TideStation
from vessel.calc.quantity import parse_quantity
from vessel.errors import BadInput
from vessel.forms.plain import VersionForm
from vessel.forms.quantity import AngleField, QuantityField, as_typed
from vessel.units import HOUR, KNOT

LINE = "From hours after high water (before: minus), set in degrees, knots at neaps, knots at springs: −6.5 90 1.5 4.0"
BOUNDS = (("h", -14.0, 14.0), ("deg", 0.0, 360.0), ("kn", 0.0, 20.0), ("kn", 0.0, 20.0))
COLUMNS = ("from_high_water_s", "set_deg", "rate_neaps_mps", "rate_springs_mps")
FACTORS = (HOUR, 1.0, KNOT, KNOT)
BEYOND = [("", "carried on"), ("held", "held")]
NAMES = ("name", "tide_station", "neaps_range_m", "springs_range_m", "lat_deg", "lon_deg", "source")
Row = dict[str, float]


class RowsField(forms.CharField):
    """One row a line, in the order of the hours; each holds until the next."""

    widget = forms.Textarea(attrs={"rows": 8, "autocomplete": "off"})

    def clean(self, value: Any) -> list[Row]:
        lines = [line for line in super().clean(value).splitlines() if line.strip()]
        rows = [_row(number, line) for number, line in enumerate(lines, start=1)]
        for number, (before, after) in enumerate(pairwise(rows), start=2):
            if after["from_high_water_s"] <= before["from_high_water_s"]:
                raise forms.ValidationError(f"Line {number}: the hours do not rise.")
        return rows

    def prepare_value(self, value: Any) -> Any:
        return "\n".join(map(_line, value)) if isinstance(value, list) else value

    def has_changed(self, initial: Any, data: Any) -> bool:
        return str(data or "").split() != str(self.prepare_value(initial) or "").split()


def _row(number: int, line: str) -> Row:
    words = re.split(r"[,;\s]+", line.strip())
    if len(words) != len(BOUNDS):
        raise forms.ValidationError(f"Line {number}: four figures stand in a line. {LINE}.")
    figures = []
    for word, (unit, low, high) in zip(words, BOUNDS, strict=True):
        try:
            figure = float(parse_quantity(word, unit))
        except BadInput as reason:
            raise forms.ValidationError(f"Line {number}: {reason}") from reason
        if not low <= figure <= high:
            raise forms.ValidationError(f"Line {number}: {word} is not between {low:g} and {high:g} {unit}.")
        figures.append(figure)
    return {name: figure * factor for name, figure, factor in zip(COLUMNS, figures, FACTORS, strict=True)}


def _line(row: Row) -> str:
    return " ".join(f"{row[name] / factor:.6g}" for name, factor in zip(COLUMNS, FACTORS, strict=True))


class StreamChangeForm(VersionForm):
    """A table and its rows; a steady stream has one row and hangs on no port."""

    name = forms.CharField(label="Name", max_length=120)
    tide_station: "forms.ModelChoiceField[TideStation]" = forms.ModelChoiceField(queryset=TideStation.objects.none())
    neaps_range_m = QuantityField(label="Range of the tide at neaps", unit="m", required=False)
    springs_range_m = QuantityField(label="Range of the tide at springs", unit="m", required=False)
    beyond = forms.ChoiceField(label="Rates beyond neaps and springs", choices=BEYOND, required=False)
    lat_deg = AngleField(label="Latitude", axis="latitude", required=False)
    lon_deg = AngleField(label="Longitude", axis="longitude", required=False)
    rows = RowsField(label="Rows", help_text=f"{LINE}.")
    source = forms.CharField(label="Where this is from", required=False, max_length=200)

    def __init__(self, *args: Any, table: StreamTable, **kwargs: Any) -> None:
        super().__init__(*args, initial=stream_initial(table), **kwargs)
        self.fields["tide_station"] = forms.ModelChoiceField(
            label="Hours are from high water at", queryset=TideStation.objects.filter(vessel=table.vessel_id),
            required=not table.steady, empty_label="no port",
        )  # fmt: skip
        for name in ("tide_station", "neaps_range_m", "springs_range_m", "beyond") if table.steady else ():
            del self.fields[name]

    def columns(self) -> dict[str, Any]:
        """What was typed, by column of the table."""
        given = as_typed(self)
        held = {"rates_held_beyond": given["beyond"] == "held"} if "beyond" in given else {}
        return {**{name: given[name] for name in NAMES if name in given}, **held}

    def new_rows(self) -> list[Row] | None:
        """The rows as typed; None where nobody touched them, so that they stay to the last digit."""
        rows: list[Row] = self.cleaned_data["rows"]
        return rows if "rows" in self.changed_data else None


def stream_initial(table: StreamTable) -> dict[str, Any]:
    """A stream table as its form shows it."""
    shown = {name: getattr(table, f"{name}_id", None) or getattr(table, name) for name in (*NAMES, "version")}
    rows = list(table.rows.order_by("from_high_water_s").values(*COLUMNS))
    return {**shown, "beyond": "held" if table.rates_held_beyond else "", "rows": rows}
