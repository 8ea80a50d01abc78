"""Her speed table, a run with its litres, and the speed she keeps in a sea, as people write them down."""

import re
from typing import Any

from django import forms

from readiness.actions.fuel_use import UnlikelyRun
from vessel.errors import BadInput, Refused
from vessel.forms.local_time import LocalTimeField
from vessel.forms.plain import OnceForm, VersionForm
from vessel.forms.quantity import QuantityField, TypedField, as_typed
from vessel.models import SeaSpeed, SpeedPoint, Vessel
from vessel.units import KNOT

RPM = re.compile(r"(\d{1,5})\s*(rpm|r\.p\.m\.|/min|1/min)?", re.IGNORECASE)
FASTEST_KN = 40.0  # no row of her table is faster [own]
NOT_COLUMNS = frozenset({"once", "version"})


class RpmField(TypedField):
    """A whole number of revolutions a minute, above 0."""

    def read(self, text: str) -> float:
        match = RPM.fullmatch(text.strip())
        if match is None or int(match[1]) == 0:
            raise BadInput(f"“{text}” is no engine speed. Write a whole number, such as 1800 rpm.")
        return int(match[1])

    def written(self, value: float) -> str:
        return f"{value:g} rpm"


class AboveZeroField(QuantityField):
    """A quantity that is never nothing."""

    def read(self, text: str) -> float:
        value = super().read(text)
        if value <= 0:
            raise BadInput(f"“{text}” must be above 0 {self.unit}.")
        return value


class ShareField(QuantityField):
    """A share of her speed, typed in per cent: 1 to 100."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(unit="%", per=0.01, **kwargs)

    def read(self, text: str) -> float:
        share = super().read(text)
        if not 0.01 <= share <= 1:
            raise BadInput(f"“{text}” is not from 1 to 100 % of her speed. Write it like 90 %.")
        return share


class RowForm(VersionForm):
    """A row of a table; `row` is the one that is changed."""

    def __init__(self, *args: Any, row: SpeedPoint | SeaSpeed | None = None, **kwargs: Any) -> None:
        stands = {name: getattr(row, name) for name in (*self.base_fields, "version") if hasattr(row, name)}
        super().__init__(*args, initial=stands if row else {"version": 0}, **kwargs)

    def refuse(self, reason: Refused, field: str | None = None) -> None:
        """What is wrong with the row is told at `field`; that somebody else changed it, of all of it."""
        super().refuse(reason, field if isinstance(reason, BadInput) else None)

    def columns(self) -> dict[str, Any]:
        """What was typed, by column."""
        return {name: value for name, value in as_typed(self).items() if name not in NOT_COLUMNS}


class SpeedPointForm(RowForm):
    """One engine speed: how fast and how thirsty."""

    rpm = RpmField(label="Engine speed", error_messages={"required": "Write the engine speed, such as 1800 rpm."})
    speed_mps = AboveZeroField(
        label="Speed through still water", unit="kn", per=KNOT, most=FASTEST_KN,
        help_text="Loaded, with a clean hull, such as 7 kn.",
        error_messages={"required": "Write the speed, such as 7 kn."},
    )  # fmt: skip
    burn_l_per_h = AboveZeroField(
        label="Fuel burnt", unit="L/h", required=False,
        help_text="Such as 9 L/h. While one row has none, what she burns is not known at any speed.",
    )  # fmt: skip
    measured_on = forms.DateField(
        label="Measured on", required=False, widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )
    note = forms.CharField(label="Note", required=False, max_length=200)


class SeaSpeedForm(RowForm):
    """The share of her speed that she keeps in a sea of one height."""

    height_m = AboveZeroField(
        label="Effective height of the sea", unit="m", help_text="Significant height as the stream makes it, such as 1 m.",
        error_messages={"required": "Write the height, such as 1 m."},
    )  # fmt: skip
    ahead = ShareField(
        label="Kept with the sea ahead", help_text="Of her speed in still water, such as 90 %.",
        error_messages={"required": "Write the share kept, such as 90 %."},
    )  # fmt: skip
    abeam = ShareField(label="Kept with it abeam", error_messages={"required": "Write the share kept, such as 96 %."})
    astern = ShareField(
        label="Kept with it astern", error_messages={"required": "Write the share kept, such as 100 %."}
    )


class FuelUseForm(OnceForm):
    """A run between two readings of the hour meter, with the litres it took to fill up again."""

    ended_at: forms.Field = forms.DateTimeField()
    from_engine_hours = QuantityField(
        label="Engine hours at its start", unit="h", least=0, help_text="By the hour meter, such as 1204.5 h.",
        error_messages={"required": "Write the hours at its start, such as 1204.5 h."},
    )  # fmt: skip
    to_engine_hours = QuantityField(
        label="Engine hours at its end", unit="h", least=0,
        error_messages={"required": "Write the hours at its end, such as 1213.5 h."},
    )  # fmt: skip
    used_l = AboveZeroField(
        label="Fuel used", unit="L", help_text="From full tank to full tank, or between two dips, such as 82 L.",
        error_messages={"required": "Write the litres, such as 82 L."},
    )  # fmt: skip
    mean_rpm = RpmField(
        label="Mean engine speed", required=False, help_text="Or the speed below. Where both are given, this counts."
    )
    mean_speed_mps = AboveZeroField(
        label="Mean speed through the water",
        unit="kn",
        per=KNOT,
        most=FASTEST_KN,
        required=False,
        help_text="Such as 7 kn.",
    )
    note = forms.CharField(label="Note", required=False, max_length=200)
    is_so = forms.BooleanField(label="It is so", required=False)

    def __init__(self, *args: Any, vessel: Vessel, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["ended_at"] = LocalTimeField(
            zone=vessel.home_zone, label="Ended", error_messages={"required": "Say when the run ended."}
        )

    def clean(self) -> dict[str, Any]:
        given: dict[str, Any] = super().clean() or {}
        start, end = given.get("from_engine_hours"), given.get("to_engine_hours")
        if start is not None and end is not None and end <= start:
            self.add_error("to_engine_hours", f"The meter must rise over a run: this is not above {start:g} h.")
        pair = ("mean_rpm", "mean_speed_mps")
        if not any(given.get(name) or name in self.errors for name in pair):
            self.add_error("mean_rpm", "Give this or the mean speed: without one the run tells nothing of the table.")
        return given

    def refuse(self, reason: Refused, field: str | None = None) -> None:
        """A run that is hardly possible is asked about at the tick that says it is so."""
        super().refuse(reason, "is_so" if isinstance(reason, UnlikelyRun) else field)

    def columns(self) -> dict[str, Any]:
        """What was typed, as the deed asks for it."""
        return {name: value for name, value in self.cleaned_data.items() if name not in NOT_COLUMNS}
