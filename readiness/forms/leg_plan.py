"""Planning a leg: when, how fast, from where to where; who ashore knows; refuges, the keeper, a copy on another day."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django import forms

from readiness.forms.still_to_come import still_to_come
from readiness.models import Harbour, Leg
from vessel.forms.known import MEANT, WORD_FOR, KnownField
from vessel.forms.local_time import LocalTimeField
from vessel.forms.plain import OnceForm, VersionForm
from vessel.forms.quantity import QuantityField
from vessel.forms.several import SeveralField
from vessel.units import HOUR, KNOT

ANSWERS = [("", "not answered yet"), ("yes", "has answered"), ("no", "cannot")]
PROMISES = [("", "asked, not answered"), ("yes", "will help with the lines"), ("no", "will not")]
FASTEST_PLAN_KN = 30.0  # faster than the vessels this is made for [own]
PLAN = ("name", "planned_at", "speed_mps", "running_on_s", "harbour_move", "watch_plan_counts_autopilot")


class PlanForm(VersionForm):
    """The plan itself. What is left empty is not known."""

    name = forms.CharField(label="Name of the leg", max_length=160)
    departure: "forms.ModelChoiceField[Harbour]" = forms.ModelChoiceField(queryset=Harbour.objects.none(), label="From")
    arrival: "forms.ModelChoiceField[Harbour]" = forms.ModelChoiceField(queryset=Harbour.objects.none(), label="To")
    planned_at = LocalTimeField(zone="UTC", label="Planned departure")
    speed_mps = QuantityField(
        unit="kn", per=KNOT, least=0.1, most=FASTEST_PLAN_KN, label="Speed through the water", required=False
    )
    running_on_s = QuantityField(
        unit="h", per=HOUR, least=0, label="Further running before fuel can be bought", required=False
    )
    harbour_move = forms.BooleanField(label="No part of it outside harbour limits", required=False)
    watch_plan_counts_autopilot = KnownField(label="The watch plan counts on the autopilot")

    def __init__(
        self,
        *args: Any,
        leg: Leg,
        at: datetime | None = None,
        initial: Mapping[str, object] | None = None,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, initial={**filled(leg), **(initial or {})}, **kwargs)
        self.leg, self.at = leg, at
        harbours = Harbour.objects.filter(vessel_id=leg.vessel_id)
        for end in ("departure", "arrival"):
            self.fields[end].queryset = harbours  # type: ignore[attr-defined]
        picked = str(self.data.get("departure", ""))
        other = harbours.filter(pk=picked).first() if picked.isdecimal() else None
        self.fields["planned_at"] = LocalTimeField(zone=(other or leg.departure).zone, label="Planned departure")

    def clean_planned_at(self) -> datetime | None:
        """One that was not touched stands, gone by or not: the rest of the plan can be changed."""
        typed, stands = self.cleaned_data["planned_at"], self.leg.planned_at.replace(second=0, microsecond=0)
        if typed == stands:
            return self.leg.planned_at
        return still_to_come(typed, self.at, self.leg.departure.zone)

    def columns(self) -> dict[str, Any]:
        """What was typed, in SI, under the names of the leg's columns."""
        return {name: value for name, value in self.cleaned_data.items() if name not in {"once", "version"}}


def filled(leg: Leg) -> dict[str, object]:
    """The plan as it stands."""
    columns = (*PLAN, "version")
    return {**{name: getattr(leg, name) for name in columns}, "departure": leg.departure_id, "arrival": leg.arrival_id}


class ContactForm(VersionForm):
    """The person ashore who has the plan."""

    contact_name = forms.CharField(label="Name", max_length=80, required=False)
    contact_details = forms.CharField(
        label="How to reach them", max_length=200, required=False, help_text="Seen by owner and skipper only."
    )
    contact_told_at = LocalTimeField(zone="UTC", label="Told the plan at", required=False)
    answered = forms.ChoiceField(label="Answer", choices=ANSWERS, required=False, widget=forms.RadioSelect)
    overdue_at = LocalTimeField(zone="UTC", label="Overdue at", required=False)

    def __init__(self, *args: Any, leg: Leg, **kwargs: Any) -> None:
        stands = {
            name: getattr(leg, name) for name in ("version", "contact_name", "contact_details", "contact_told_at")
        }
        stands |= {"answered": WORD_FOR[leg.contact_acknowledged], "overdue_at": leg.overdue_at}
        super().__init__(*args, initial=stands, **kwargs)
        for name in ("contact_told_at", "overdue_at"):
            label = str(self.fields[name].label)
            self.fields[name] = LocalTimeField(zone=leg.departure.zone, label=label, required=False)

    def clean(self) -> dict[str, Any]:
        given: dict[str, Any] = super().clean() or {}
        if not given.get("contact_name") and (given.get("contact_told_at") or given.get("answered")):
            self.add_error("contact_name", "Say who was told, such as: Ruan Ash.")
        return given

    def columns(self) -> dict[str, Any]:
        """What was typed, under the names of the leg's columns."""
        given = {name: value for name, value in self.cleaned_data.items() if name not in {"once", "version"}}
        answered = given.pop("answered")
        return {**given, "contact_acknowledged": MEANT[answered]}


class RefugesForm(VersionForm):
    """Where she can run to."""

    refuges = SeveralField(
        queryset=Harbour.objects.none(), label="Refuges", required=False, widget=forms.CheckboxSelectMultiple
    )

    def __init__(self, *args: Any, leg: Leg, **kwargs: Any) -> None:
        chosen = list(leg.refuges.values_list("pk", flat=True))
        super().__init__(*args, initial={"version": leg.version, "refuges": chosen}, **kwargs)
        ends = (leg.departure_id, leg.arrival_id)
        others = Harbour.objects.filter(vessel_id=leg.vessel_id).exclude(pk__in=ends)
        self.fields["refuges"].queryset = others  # type: ignore[attr-defined]


class KeeperForm(OnceForm):
    """What the keeper of a gate said for this leg."""

    answer = forms.ChoiceField(label="The keeper", choices=PROMISES, required=False, widget=forms.RadioSelect)
    keeper = forms.CharField(label="Name of the keeper", max_length=80, required=False)


class CopyForm(OnceForm):
    """The same leg on another day."""

    name = forms.CharField(label="Name of the new leg", max_length=160)
    planned_at = LocalTimeField(zone="UTC", label="Planned departure")

    def __init__(self, *args: Any, leg: Leg, at: datetime | None = None, **kwargs: Any) -> None:
        super().__init__(*args, initial={"name": leg.name}, **kwargs)
        self.zone, self.at = leg.departure.zone, at
        self.fields["planned_at"] = LocalTimeField(zone=self.zone, label="Planned departure")

    def clean_planned_at(self) -> datetime | None:
        return still_to_come(self.cleaned_data["planned_at"], self.at, self.zone)
