"""Following a leg: let go, where she is, how it ended."""

from typing import Any

from django import forms

from readiness.models import Leg, LegStatus
from vessel.forms.local_time import LocalTimeField
from vessel.forms.plain import OnceForm
from vessel.forms.quantity import AngleField

ENDS = {
    LegStatus.PLANNED: [(LegStatus.CALLED_OFF, "called off before she left")],
    LegStatus.UNDER_WAY: [(LegStatus.ARRIVED, "arrived"), (LegStatus.TURNED_BACK, "turned back, and is in again")],
}


class DepartForm(OnceForm):
    """She has let go."""

    departed_at = LocalTimeField(zone="UTC", label="Let go at", required=False)

    def __init__(self, *args: Any, leg: Leg, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["departed_at"] = LocalTimeField(zone=leg.departure.zone, label="Let go at", required=False)


class PositionForm(OnceForm):
    """Where she is, as read off."""

    lat = AngleField(axis="latitude", label="Latitude")
    lon = AngleField(axis="longitude", label="Longitude")
    text = forms.CharField(label="What else", max_length=400, required=False)


class EndForm(OnceForm):
    """How it ended."""

    status = forms.ChoiceField(label="She", widget=forms.RadioSelect)
    ended_at = LocalTimeField(zone="UTC", label="At", required=False)
    outcome = forms.CharField(
        label="How it went", max_length=2000, required=False, widget=forms.Textarea(attrs={"rows": 3}),
        help_text="What was different from the plan, and why.",
    )  # fmt: skip

    def __init__(self, *args: Any, leg: Leg, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        ends = ENDS.get(LegStatus(leg.status), [])
        first = ends[0][0] if len(ends) == 1 else None
        self.fields["status"] = forms.ChoiceField(
            label="The leg is", choices=ends, widget=forms.RadioSelect, initial=first,
            error_messages={"required": "Say how it ended."},
        )  # fmt: skip
        zone = leg.departure.zone if leg.status == LegStatus.PLANNED else leg.arrival.zone
        self.fields["ended_at"] = LocalTimeField(zone=zone, label="At", required=False)
