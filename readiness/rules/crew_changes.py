"""Who has answered, and whose train leaves before the late arrival."""

from collections.abc import Iterator

import msgspec
import numpy as np

from readiness.rules.facts import Facts, changed
from readiness.rules.facts_people import Person
from readiness.rules.judgement import Judgement, Outcome, Remedy, Rule, Subject, Waive, Words, graded
from readiness.rules.limits import Limits
from readiness.rules.missing import LATE_ARRIVAL, harbour_move
from readiness.rules.passage import Passage
from readiness.rules.record import epoch
from readiness.rules.telling import by_departure, departure_zone
from vessel.calc.wording import with_utc

RULE_ID = "crew_changes"


def crew_changes(facts: Facts, passage: Passage, _limits: Limits) -> Iterator[Judgement]:
    """Two judgements for each person who has not said no: has answered; may stay until the late arrival.

    Source: [practice]
    """
    if facts.leg.harbour_move:
        yield harbour_move(RULE_ID, passage, "Crew joining and leaving")
        return
    for person in facts.people:
        if person.confirmed is not False:
            yield _answered(passage, person)
            yield _may_stay(facts, passage, person)


def _answered(passage: Passage, person: Person) -> Judgement:
    times_known = bool(person.aboard) and all(span.start and span.end for span in person.aboard)
    known = person.confirmed is True and times_known
    outcome = np.full(passage.departures, Outcome.PASSED if known else Outcome.UNKNOWN, np.int8)
    asked = "has not answered yet" if person.confirmed is None else "has not said when"

    def coming(facts: Facts) -> Facts:
        people = tuple(
            msgspec.structs.replace(one, confirmed=True) if one.name == person.name else one for one in facts.people
        )
        return changed(facts, people=people)

    def say(index: int) -> Words:
        return Words(
            title=f"{person.name} is coming" if known else f"{person.name} {asked}",
            sentence=f"{person.name} is coming." if known else f"{person.name} {asked}.",
            do="" if known else f"Ask {person.name}.",
            by=by_departure(passage, index),
            minutes=2.0,
            evidence=(("person", person.name),),
            remedies=()
            if known or not times_known
            else (Remedy("hand", f"{person.name} says yes", coming, minutes=2.0),),
        )

    return Judgement(
        rule=RULE_ID,
        cause=("person", person.name),
        outcome=outcome,
        demand=np.nan,
        limit=np.nan,
        unit="",
        say=say,
        ripens=not known and person.confirmed is None,
    )


def _may_stay(facts: Facts, passage: Passage, person: Person) -> Judgement:
    leaves = np.inf if person.free_to_stay and person.must_leave_at is None else epoch(person.must_leave_at)
    outcome = graded(passage.late.arrives_at, (np.greater, leaves, Outcome.CONDITION))

    def say(index: int) -> Words:
        late, zone = float(passage.late.arrives_at[index]), departure_zone(facts)
        if np.isinf(leaves):
            sentence = f"{person.name} is free to stay."
        elif np.isnan(leaves):
            sentence = f"When {person.name} must leave is not known."
        else:
            sentence = f"{person.name} must leave by {with_utc(leaves, zone)}; late arrival {with_utc(late, zone)}."
        return Words(
            title=f"{person.name}'s time",
            sentence=sentence,
            do=f"Leave earlier, or agree another train with {person.name}." if outcome[index] else "",
            minutes=5.0,
            evidence=(("person", person.name),),
        )

    return Judgement(
        rule=RULE_ID,
        cause=("person's time", person.name),
        outcome=outcome,
        demand=passage.late.arrives_at,
        limit=leaves if np.isfinite(leaves) else np.nan,
        unit="s since 1970",
        say=say,
        starved_by=LATE_ARRIVAL,
        starved=np.isnan(passage.late.arrives_at) & ~np.isnan(leaves),
    )


RULE = Rule(
    id=RULE_ID,
    title="Crew joining and leaving",
    subject=Subject.PEOPLE,
    formula="Somebody has not answered: unknown. Somebody must leave before the late arrival: condition.",
    source="[practice]",
    worst=Outcome.UNKNOWN,
    judge=crew_changes,
    waive={Outcome.CONDITION: Waive.ONE_LEG},
)
