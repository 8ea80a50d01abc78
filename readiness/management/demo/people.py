"""The people who sail in her, and when they are aboard."""

from django.contrib.auth.models import User

from readiness.management.demo.moment import DemoMoment
from vessel.actions.author import By
from vessel.actions.person import add_person, add_stay, answer_stay
from vessel.models import Person, Vessel

ALL = ("helm", "night", "lead", "lines", "engine", "radio", "first_aid")


def demo_people(vessel: Vessel, owner: User, moment: DemoMoment) -> dict[str, Person]:
    """Ines, Tam and Odile are coming; Jory has been asked and has not answered."""
    at = moment.ago(days=150)
    made = {
        name.split()[0]: add_person(
            vessel=vessel, by=owner, at=at, name=name, fit="yes", is_skipper=name == "Ines Roke",
            user=owner if name == "Ines Roke" else None, **{f"can_{skill}": True for skill in skills},
        )
        for name, skills in (
            ("Ines Roke", ALL), ("Tam Ferrow", ("helm", "night", "lead", "lines", "radio")),
            ("Odile Marr", ("helm", "lines")), ("Jory Pask", ("lines",)),
        )
    }  # fmt: skip
    _stay(made["Ines"], owner, moment, -30.0, 300.0, answer="yes")
    _stay(made["Tam"], owner, moment, -26.0, 130.0, answer="yes")
    _stay(made["Odile"], owner, moment, 12.0, 110.0, answer="yes")
    _stay(made["Jory"], owner, moment, 12.0, 60.0, answer="not_known")
    return made


def _stay(person: Person, owner: By, moment: DemoMoment, start_h: float, end_h: float, answer: str) -> None:
    """Aboard from so many hours after the planned departure until so many."""
    at = moment.ago(days=2)
    stay = add_stay(
        person_id=person.pk, by=owner, at=at, aboard_from=moment.after_departure(hours=start_h),
        aboard_until=moment.after_departure(hours=end_h), free_to_stay=True,
    )  # fmt: skip
    if answer != "not_known":
        answer_stay(stay_id=stay.pk, seen_version=stay.version, answer=answer, by=owner, at=at)
