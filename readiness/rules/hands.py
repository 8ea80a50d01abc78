"""Who is aboard when, and who of them is fit: counts over the departures.

A person who has said no is not counted; one who has not answered is counted here and asked for by `crew_changes`.
"""

import numpy as np

from readiness.rules.facts import Facts
from readiness.rules.facts_people import Person
from readiness.rules.passage import Passage
from readiness.rules.record import Array, epoch
from readiness.rules.words_of_trade import Skill
from vessel.units import Flags


def aboard_all_the_way(person: Person, passage: Passage) -> Flags:
    """Whether a person is known to be aboard from departure to the late arrival, [departure]."""
    return _covered(person, passage.departure_at, passage.late.arrives_at)


def aboard_at(person: Person, at: Array) -> Flags:
    """Whether a person is known to be aboard at each time."""
    return _covered(person, at, at)


def aboard_at_all(person: Person, passage: Passage) -> Flags:
    """Whether a person may be aboard at any time of the leg; where it is not known, yes."""
    if person.confirmed is False:
        return np.zeros(passage.departures, bool)
    start, end = passage.departure_at, passage.late.arrives_at
    spans = [(epoch(span.start), epoch(span.end)) for span in person.aboard]
    flags = np.zeros(passage.departures, bool)
    for begins, ends in spans:
        flags |= ~((end < begins) | (start >= ends))
    return flags


def fewest(facts: Facts, passage: Passage, *skills: Skill, fit: bool = False) -> Array:
    """People with all the skills aboard all the way, [departure]; only those known to be fit where `fit` is asked."""
    counted = [p for p in facts.people if set(skills) <= set(p.skills) and (p.fit is True or not fit)]
    return _sum([aboard_all_the_way(person, passage) for person in counted], passage.departures)


def most(facts: Facts, passage: Passage) -> Array:
    """People who may be aboard at some time, [departure]."""
    return _sum([aboard_at_all(person, passage) for person in facts.people], passage.departures)


def able_at(facts: Facts, at: Array) -> Array:
    """People aboard and fit at each time."""
    return _sum([aboard_at(person, at) for person in facts.people if person.fit is True], len(at))


def _covered(person: Person, start: Array, end: Array) -> Flags:
    if person.confirmed is False:
        return np.zeros(start.shape, bool)
    spans = [(epoch(span.start), epoch(span.end)) for span in person.aboard]
    flags = np.zeros(start.shape, bool)
    for begins, ends in spans:
        flags |= (start >= begins) & (end < ends)
    return flags


def _sum(flags: list[Flags], count: int) -> Array:
    return np.sum(flags, axis=0, dtype=np.float64) if flags else np.zeros(count)
