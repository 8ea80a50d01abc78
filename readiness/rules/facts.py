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
    """How many there are of each thing whose loss from the document would look like good news.

    Things that hang on another are counted over all of those: `feeds` over all equipment, `opens` over all jobs.
    """

    equipment: int
    feeds: int
    functions: int
    defects: int | None
    located: int | None  # defects that say what they are on
    jobs: int | None
    takes_out: int | None
    opens: int | None
    services: int | None
    loads: int
    discharges: int
    tanks: int
    fuel_runs: int
    speeds: int
    sea_speeds: int
    consumables: int
    added: int
    lifejackets: int
    beacons: int
    people: int
    spans: int
    policies: int | None
    clauses: int
    points: int
    gates: int
    streams: int
    warnings: int | None
    calls: int  # gates named by points and places
    events: int  # high and low waters, and constants, of all stations


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
        super().__post_init__()
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
        **_of_boat(boat), **_of_work(boat), people=len(people), spans=sum(len(person.aboard) for person in people),
        policies=None if policies is None else len(policies),
        clauses=sum(len(policy.clauses) for policy in policies or ()),
        points=len(leg.points), gates=len(water.gates), streams=len(water.streams),
        warnings=None if water.warnings is None else len(water.warnings.items),
        calls=sum(point.gate is not None for point in leg.points) + sum(len(place.gates) for place in water.places),
        events=sum(len(station.event_at) + len(station.constituents) for station in water.stations),
    )  # fmt: skip


def _of_boat(boat: Boat) -> dict[str, Any]:
    return {
        "equipment": len(boat.equipment),
        "feeds": sum(len(item.fed_by) for item in boat.equipment),
        "functions": len(boat.functions),
        "loads": len(boat.loads),
        "discharges": len(boat.crank.discharged_at) if boat.crank is not None else 0,
        "tanks": len(boat.fuel),
        "fuel_runs": len(boat.fuel_runs),
        "speeds": len(boat.vessel.speed_table),
        "sea_speeds": len(boat.vessel.sea_speeds),
        "consumables": len(boat.consumables),
        "added": sum(len(one.added) for one in boat.consumables),
        "lifejackets": len(boat.lifejackets),
        "beacons": len(boat.beacons),
    }


def _of_work(boat: Boat) -> dict[str, Any]:
    """Counts of lists that may not be known as a whole."""
    defects, jobs = boat.defects, boat.jobs
    return {
        "defects": None if defects is None else len(defects),
        "located": None if defects is None else sum(one.equipment is not None for one in defects),
        "jobs": None if jobs is None else len(jobs),
        "takes_out": None if jobs is None else sum(len(job.takes_out) for job in jobs),
        "opens": None if jobs is None else sum(len(job.opens) + (job.opens_equipment is not None) for job in jobs),
        "services": None if boat.services is None else len(boat.services),
    }


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
        facts = msgspec.json.decode(document, type=Facts, dec_hook=decode_hook)
        _all_stated(document)
    except (msgspec.ValidationError, msgspec.DecodeError, ValueError, RecursionError) as error:
        # the names in it are the document's own: as long as it likes, with whatever in them
        plain = "".join(letter if letter.isprintable() else "?" for letter in str(error)[:300])
        raise BadInput(f"These facts cannot be read: {plain}. Nothing was judged.") from error
    return facts


class _Stated(msgspec.Struct):
    limits: dict[str, float]


def _all_stated(document: bytes) -> None:
    """A limit that was lost must not fall back to its default: it may have been the stricter one."""
    stated = msgspec.json.decode(document, type=_Stated).limits
    lost = [name for name in Limits.__struct_fields__ if name not in stated]
    if lost:
        raise ValueError(f"no limit {lost[0]} is stated - at `$.limits`")


def schema() -> dict[str, Any]:
    """The JSON Schema of the document."""
    return msgspec.json.schema(Facts, schema_hook=schema_hook)
