"""The differences of a secondary port as somebody types them: single, by ratios, or by columns as they are printed."""

import re
from abc import ABC, abstractmethod
from typing import Any

from django import forms

from readiness.models import TideStation
from vessel.calc.quantity import parse_quantity
from vessel.errors import BadInput
from vessel.forms.plain import OnceForm
from vessel.forms.quantity import QuantityField
from vessel.units import HOUR, MINUTE

TIMES = ("high_s", "low_s")
SINGLE = (*TIMES, "high_m", "low_m")
RATIOS = ("high_ratio", "low_ratio")
COLUMNS = ("high_times", "low_times", "high_levels", "low_levels")
CLOCK = re.compile(r"([01]\d|2[0-3]):?([0-5]\d)\s+(\S.*)", re.ASCII)
LEVEL = re.compile(r"(\S+?)(?:\s*m)?\s+(\S.*)")
TIMES_EXAMPLE = "One clock time a line and the minutes later, such as: 06:00 +23. Minutes alone hold at all times."
LEVELS_EXAMPLE = (
    "The height there and the metres higher here, such as: 4.2 +0.3, one line for springs and one for neaps."
)
TWO_WAYS = "The differences are given in two ways. Give single figures, ratios of height, or tables: one of these."

Pair = tuple[float, float]


class PairsField(ABC, forms.CharField):
    """Lines of a place and a difference; one difference alone holds everywhere, and its place is zero."""

    widget = forms.Textarea(attrs={"rows": 4, "autocomplete": "off"})

    def clean(self, value: Any) -> list[Pair]:
        lines = [line.strip() for line in super().clean(value).splitlines() if line.strip()]
        return [self._pair(line, alone=len(lines) == 1) for line in lines]

    def _pair(self, line: str, *, alone: bool) -> Pair:
        try:
            return self.pair(line, alone=alone)
        except BadInput as reason:
            raise forms.ValidationError(f"“{line[:40]}”: {reason}") from reason

    @abstractmethod
    def pair(self, line: str, *, alone: bool) -> Pair:
        """Place and difference of a line. Raises BadInput."""


class TimesField(PairsField):
    """Seconds after midnight and seconds later."""

    def pair(self, line: str, *, alone: bool) -> Pair:
        match = CLOCK.fullmatch(line)
        if match is not None:
            return int(match[1]) * HOUR + int(match[2]) * MINUTE, parse_quantity(match[3], "min") * MINUTE
        if alone and ":" not in line:
            return 0.0, parse_quantity(line, "min") * MINUTE
        raise BadInput(TIMES_EXAMPLE)


class LevelsField(PairsField):
    """Metres at the reference and metres higher."""

    def pair(self, line: str, *, alone: bool) -> Pair:
        match = LEVEL.fullmatch(line)
        if match is not None and match[2] != "m":
            return parse_quantity(match[1], "m"), parse_quantity(match[2], "m")
        if alone:
            return 0.0, parse_quantity(line, "m")
        raise BadInput(LEVELS_EXAMPLE)


class DifferencesForm(OnceForm):
    """Three ways to write differences down, of which one is used; what is left out of it is not known."""

    reference: "forms.ModelChoiceField[TideStation]" = forms.ModelChoiceField(queryset=TideStation.objects.none())
    high_s = QuantityField(label="High water later by", unit="min", per=MINUTE, required=False)
    low_s = QuantityField(label="Low water later by", unit="min", per=MINUTE, required=False)
    high_m = QuantityField(label="High water higher by", unit="m", required=False, help_text="Lower with a minus.")
    low_m = QuantityField(label="Low water higher by", unit="m", required=False)
    high_ratio = forms.FloatField(label="High water, its height there times", required=False, min_value=0, max_value=10)
    low_ratio = forms.FloatField(label="Low water, its height there times", required=False, min_value=0, max_value=10)
    clock_ahead_s = QuantityField(
        label="Clock of these times, ahead of UTC by", unit="h", per=HOUR, required=False,
        help_text="The clock the tables are printed in, 0 for UTC; behind UTC with a minus.",
    )  # fmt: skip
    high_times = TimesField(label="High water, in time", required=False, help_text=TIMES_EXAMPLE)
    low_times = TimesField(label="Low water, in time", required=False)
    high_levels = LevelsField(label="High water, in height", required=False, help_text=LEVELS_EXAMPLE)
    low_levels = LevelsField(label="Low water, in height", required=False)

    def ways(self) -> list[str]:
        """In which of the ways something was typed."""
        given = self.cleaned_data
        typed = {
            "single": any(given.get(name) is not None for name in ("high_m", "low_m")),
            "ratios": any(given.get(name) is not None for name in RATIOS),
            "columns": any(given.get(name) for name in COLUMNS) or given.get("clock_ahead_s") is not None,
        }
        found = [way for way, is_typed in typed.items() if is_typed]
        times = any(given.get(name) is not None for name in TIMES)
        return [*found, "single"] if times and found in ([], ["columns"]) else found

    def has_tables(self) -> bool:
        """Whether something was typed into the tables: then they stand open."""
        return any(self.data.get(name) for name in (*COLUMNS, "clock_ahead_s"))

    def differences(self) -> dict[str, Any]:
        """What was typed, in the shape that a station keeps."""
        given = self.cleaned_data
        ways = self.ways()
        if ways == ["columns"]:
            return {"form": "columns", "clock_ahead_s": given["clock_ahead_s"], **self._waters()}
        names = (*TIMES, *RATIOS) if ways == ["ratios"] else SINGLE
        return {"form": "ratios" if ways == ["ratios"] else "single", **{name: given[name] for name in names}}

    def _waters(self) -> dict[str, dict[str, list[float]]]:
        given = self.cleaned_data
        return {
            water: {
                **_columns(given[f"{water}_times"], "clock_s", "late_s"),
                **_columns(given[f"{water}_levels"], "reference_m", "more_m"),
            }
            for water in ("high", "low")
        }


def _columns(pairs: list[Pair], place: str, more: str) -> dict[str, list[float]]:
    return {place: [pair[0] for pair in pairs], more: [pair[1] for pair in pairs]}
