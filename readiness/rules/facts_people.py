"""Facts of the people aboard, the one ashore, and the papers."""

from datetime import date
from typing import Annotated

from readiness.rules.record import Moment, Real, Record, unit
from readiness.rules.words_of_trade import Skill


class Span(Record, frozen=True):
    """Half-open time aboard, [from, until)."""

    start: Moment | None
    end: Moment | None


class Person(Record, frozen=True):
    """One person of the leg. `fit`, `confirmed` null: not known. `free_to_stay`: has no train to catch."""

    name: str
    skipper: bool
    skills: tuple[Skill, ...]
    fit: bool | None
    confirmed: bool | None
    aboard: tuple[Span, ...]
    must_leave_at: Moment | None
    free_to_stay: bool
    jacket_size: str

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.free_to_stay and self.must_leave_at is not None:
            raise ValueError(f"{self.name} cannot be free to stay and have a time to leave")


class Contact(Record, frozen=True):
    """The person ashore who has the plan."""

    name: str
    told_at: Moment | None
    acknowledged: bool | None
    overdue_at: Moment | None


class Clause(Record, frozen=True):
    """A condition of a policy: due by a day, met or not (null: not known)."""

    text: str
    due_on: date | None
    met: bool | None


class Box(Record, frozen=True):
    """An area between two parallels and two meridians; west may lie east of the date line."""

    south_deg: Annotated[Real, unit("deg")]
    north_deg: Annotated[Real, unit("deg")]
    west_deg: Annotated[Real, unit("deg")]
    east_deg: Annotated[Real, unit("deg")]


class Policy(Record, frozen=True):
    """A hull or liability policy: days, waters and months it covers, and its conditions."""

    name: str
    from_on: date | None
    through_on: date | None
    area: Box | None
    months: tuple[int, ...]
    night_covered: bool | None
    single_handed_covered: bool | None
    clauses: tuple[Clause, ...]
