"""People of a vessel: what they can do, when they come, and how rested the newest word of it says they are."""

from dataclasses import dataclass
from datetime import datetime

from django.db.models import OuterRef, Prefetch, Subquery

from vessel.models import Availability, Person, Rest

SKILLS = {
    "can_helm": "helm",
    "can_night": "night",
    "can_lead": "leads a watch",
    "can_lines": "lines",
    "can_engine": "engine",
    "can_radio": "radio",
    "can_first_aid": "first aid",
}


@dataclass(frozen=True, slots=True)
class PersonTold:
    """One person with the skills in words, the stays to come, and the rest told last."""

    person: Person
    skills: tuple[str, ...]
    stays: tuple[Availability, ...]
    rest: Rest | None


def people_of(vessel_id: int, at: datetime) -> list[PersonTold]:
    """Everybody, skippers first, with the stays that are not over. Three queries."""
    newest = Rest.objects.filter(person=OuterRef("pk")).order_by("-at", "-pk").values("pk")[:1]
    coming = Availability.objects.filter(aboard_until__gt=at).order_by("aboard_from")
    rows = (
        Person.objects.filter(vessel_id=vessel_id)
        .annotate(newest_rest=Subquery(newest))
        .prefetch_related(Prefetch("availabilities", queryset=coming))
        .order_by("-is_skipper", "pk")
    )
    people = list(rows)
    rests = Rest.objects.in_bulk([row.newest_rest for row in people if row.newest_rest])
    return [_told(row, rests.get(row.newest_rest)) for row in people]


def _told(row: Person, rest: Rest | None) -> PersonTold:
    skills = tuple(words for column, words in SKILLS.items() if getattr(row, column))
    return PersonTold(row, skills, tuple(row.availabilities.all()), rest)
