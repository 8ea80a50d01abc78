"""Who sails a leg, and who is her skipper for it."""

from typing import Any

from django import forms

from readiness.models import Leg
from vessel.forms.plain import VersionForm
from vessel.forms.several import SeveralField
from vessel.models import Person


class SailForm(VersionForm):
    """Ticks for those who sail, one of them the skipper."""

    sails = SeveralField(queryset=Person.objects.none(), label="Who sails", required=False)
    skipper: "forms.ModelChoiceField[Person]" = forms.ModelChoiceField(
        queryset=Person.objects.none(), label="Skipper", required=False
    )

    def __init__(self, *args: Any, leg: Leg, **kwargs: Any) -> None:
        rows = list(leg.crew_rows.all())
        skipper = next((row.person_id for row in rows if row.skipper), None)
        stands = {"version": leg.version, "sails": [row.person_id for row in rows], "skipper": skipper}
        super().__init__(*args, initial=stands, **kwargs)
        for name in ("sails", "skipper"):
            self.fields[name].queryset = Person.objects.filter(vessel_id=leg.vessel_id)  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        given: dict[str, Any] = super().clean() or {}
        sails, skipper = given.get("sails"), given.get("skipper")
        if sails and skipper is None:
            self.add_error("skipper", "Say who of them is her skipper on this leg.")
        elif skipper is not None and sails is not None and skipper not in sails:
            self.add_error("skipper", f"{skipper} is her skipper but does not sail. Tick both, or pick another.")
        return given

    def crew(self) -> list[Person]:
        """Those who sail, the skipper first."""
        skipper = self.cleaned_data["skipper"]
        return sorted(self.cleaned_data["sails"], key=lambda person: (person != skipper, person.pk))
