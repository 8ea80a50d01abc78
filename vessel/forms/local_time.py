"""A field for a time by the harbour's clock: asks which, where the clocks show it twice, and refuses one they never show."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.utils.datastructures import MultiValueDict

from vessel.calc.local_clock import meant_by
from vessel.calc.wording import clock, with_utc, zone_name

TYPED = "%Y-%m-%dT%H:%M"
WHICH = ("first", "second")


class LocalTimeInput(forms.DateTimeInput):
    """The browser's own date and clock; under it, only when it is asked, which of two times is meant."""

    input_type = "datetime-local"
    template_name = "vessel/local_time.html"

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(format=TYPED, **kwargs)
        self.asked: list[tuple[str, str]] = []
        self.zone = "UTC"

    def get_context(self, name: str, value: Any, attrs: dict[str, Any] | None) -> dict[str, Any]:
        text, which = value if isinstance(value, tuple) else (value, "")
        context = super().get_context(name, text, attrs)
        told = "" if self.asked else time_told(str(text or ""), self.zone)
        context["widget"] |= {
            "asked": self.asked, "which": which, "which_name": f"{name}_which", "zone": self.zone, "told": told,
        }  # fmt: skip
        return context

    def value_from_datadict(
        self, data: Mapping[str, Any], files: MultiValueDict[str, Any], name: str
    ) -> tuple[str, str]:
        text = super().value_from_datadict(data, files, name)
        return str(text or ""), str(data.get(f"{name}_which", ""))

    def value_omitted_from_data(self, data: Mapping[str, Any], files: Any, name: str) -> bool:  # noqa: ARG002
        return name not in data


class LocalTimeField(forms.Field):
    """Gives the moment in UTC, or None where it may stay empty. `zone` is the harbour's."""

    widget = LocalTimeInput

    def __init__(self, *, zone: str, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.zone = zone
        self.widget.zone = zone

    def prepare_value(self, value: Any) -> Any:
        if not isinstance(value, datetime):
            return value
        there = value.astimezone(ZoneInfo(self.zone))
        return there.strftime(TYPED), WHICH[there.fold]

    def clean(self, value: Any) -> datetime | None:
        text, which = value or ("", "")
        if not text.strip():
            self.validate(None)
            return None
        return self._settled(_wall(text.strip()), which)

    def _settled(self, wall: datetime, which: str) -> datetime:
        moments = meant_by(wall, self.zone)
        if not moments:
            raise forms.ValidationError(f"The clocks jump over {wall:%H:%M} on that day. Take a time before or after.")
        if len(moments) == 1:
            return moments[0]
        self._ask(moments)
        if which not in WHICH:
            raise forms.ValidationError(f"The clocks show {wall:%H:%M} twice on that day. Say which one.")
        return moments[WHICH.index(which)]

    def _ask(self, moments: tuple[datetime, ...]) -> None:
        told = [
            f"the {word}, {zone_name(at.timestamp(), self.zone)} ({clock(at.timestamp(), 'UTC')} UTC)"
            for word, at in zip(WHICH, moments, strict=True)
        ]
        self.widget.asked = list(zip(WHICH, told, strict=True))


def time_told(text: str, zone: str) -> str:
    """What a typed local time comes to, "Sat 15 May 07:30 (06:30 UTC)"; "" while it is none, or two."""
    try:
        moments = meant_by(_wall(text), zone)
    except forms.ValidationError:
        return ""
    if not moments:
        return "The clocks jump over this time."
    return " or ".join(with_utc(moment.timestamp(), zone) for moment in moments)


def _wall(text: str) -> datetime:
    try:
        wall = datetime.fromisoformat(text)
    except ValueError as reason:
        raise forms.ValidationError("This is not a date and time. Write it like 2027-05-15 07:30.") from reason
    if wall.tzinfo is not None:
        raise forms.ValidationError("Leave out the zone: the time is by the harbour's clock, like 2027-05-15 07:30.")
    return wall.replace(second=0, microsecond=0)
