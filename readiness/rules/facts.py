"""The facts: one frozen document, all a rule may see, readable without a database.

`decode` refuses what does not fit and names the place; `encode` and `decode` lose nothing, and not known survives
the trip. The counts guard the lists whose loss would look like good news: a document that lost a defect is
damaged, not better.
"""

from typing import Annotated, Any

import msgspec

from readiness.rules.facts_boat import Boat
from readiness.rules.facts_people import Contact, Person, Policy
from readiness.rules.facts_water import Departures, Leg, Water
from readiness.rules.limits import Limits
from readiness.rules.record import Moment, Real, Record, decode_hook, encode_hook, schema_hook, unit
from vessel.errors import BadInput

FORMAT = 1


class Waiver(Record, frozen=True):
    """A finding the skipper took on himself, in writing, with the value at which it lapses."""

    rule: str
    cause: str
    by: str
    at: Moment
    reason: str
    instead: str
    told: tuple[str, ...]
    value: Real
    limit: Real
    lapses_at_value: Real
    until: Moment | None
    departure_at: Moment
    leg_distance_m: Annotated[Real, unit("m")]
    crew: tuple[str, ...]


class Met(Record, frozen=True):
    """A condition that somebody says is met for one departure, with name and time."""

    rule: str
    cause: str
    by: str
    at: Moment
    departure_at: Moment
    note: str


class Counts(Record, frozen=True):
    """How many there are of each thing whose loss from the document would look like good news."""

    defects: int | None
    jobs: int | None
    services: int | None
    equipment: int
    loads: int
    people: int
    gates: int
    points: int
    consumables: int
    clauses: int


class Facts(Record, frozen=True):
    """All a rule may see."""

    format: int
    judged_at: Moment
    boat: Boat
    people: tuple[Person, ...]
    contact: Contact | None
    policies: tuple[Policy, ...] | None
    leg: Leg
    water: Water
    departures: Departures
    limits: Limits
    waivers: tuple[Waiver, ...]
    met: tuple[Met, ...]
    counts: Counts

    def __post_init__(self) -> None:
        if self.format != FORMAT:
            raise ValueError(f"format {self.format}, this program reads {FORMAT}")
        stated, found = msgspec.structs.asdict(self.counts), msgspec.structs.asdict(count(self))
        for name, number in found.items():
            if stated[name] != number:
                raise ValueError(f"{number} {name} are here, {stated[name]} are stated: part of the document is lost")


def count(facts: "Facts") -> Counts:
    """The counts as they stand in the lists."""
    return counts_of(facts.boat, facts.people, facts.policies, facts.leg, facts.water)


def counts_of(
    boat: Boat, people: tuple[Person, ...], policies: tuple[Policy, ...] | None, leg: Leg, water: Water
) -> Counts:
    """The counts of the parts of a document that is being put together."""
    return Counts(
        defects=None if boat.defects is None else len(boat.defects),
        jobs=None if boat.jobs is None else len(boat.jobs),
        services=None if boat.services is None else len(boat.services),
        equipment=len(boat.equipment), loads=len(boat.loads), people=len(people), gates=len(water.gates),
        points=len(leg.points), consumables=len(boat.consumables),
        clauses=sum(len(policy.clauses) for policy in policies or ()),
    )  # fmt: skip


def changed(facts: Facts, **parts: Any) -> Facts:
    """The same facts with some parts replaced; the counts follow."""
    fields = msgspec.structs.asdict(facts) | parts
    fields["counts"] = counts_of(fields["boat"], fields["people"], fields["policies"], fields["leg"], fields["water"])
    return Facts(**fields)


def encode(facts: Facts) -> bytes:
    """The document as JSON."""
    return msgspec.json.encode(facts, enc_hook=encode_hook)


def decode(document: bytes) -> Facts:
    """The facts of a JSON document. Raises BadInput with the path of the first bad value."""
    try:
        return msgspec.json.decode(document, type=Facts, dec_hook=decode_hook)
    except (msgspec.ValidationError, msgspec.DecodeError, ValueError) as error:
        raise BadInput(f"These facts cannot be read: {error}. Nothing was judged.") from error


def schema() -> dict[str, Any]:
    """The JSON Schema of the document."""
    return msgspec.json.schema(Facts, schema_hook=schema_hook)
