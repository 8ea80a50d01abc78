"""Who is aboard when, and who of them is fit: counts over the departures, at each moment; the fewest decides.

A person who has said no is not counted. One who has not answered is counted here on a leg outside, where
`crew_changes` asks for the answer; on a harbour move nobody asks, so only those who have said yes are counted.
"""

from collections.abc import Iterable

import numpy as np

from readiness.rules.facts import Facts, changed
from readiness.rules.facts_people import Person, Span
from readiness.rules.judgement import Remedy
from readiness.rules.passage import Passage
from readiness.rules.record import Array, epoch, moment
from readiness.rules.words_of_trade import Skill
from vessel.units import DAY, Flags


def fewest(facts: Facts, passage: Passage, *skills: Skill, fit: bool = False) -> Array:
    """People with all the skills, the fewest at any moment from departure to late arrival, [departure].

    Only those known to be fit where `fit` is asked; nobody where the late arrival is not known.
    """
    counted = [p for p in facts.people if set(skills) <= set(p.skills) and (p.fit is True or not fit)]
    at = _moments(facts, passage)
    return np.asarray(_sum([_aboard(facts, person, at) for person in counted], at.shape).min(axis=-1))


def fewest_if_timed(facts: Facts, passage: Passage) -> Array:
    """As `fewest`, but not known, rather than nobody, where people are down to sail and no late arrival is known."""
    timeless = np.isnan(passage.late.arrives_at) & bool(facts.people)
    return np.where(timeless, np.nan, fewest(facts, passage))


def most(facts: Facts, passage: Passage) -> Array:
    """People who may be aboard, the most at any moment from departure to late arrival, [departure]."""
    at = _moments(facts, passage)
    return np.asarray(_sum([_may_be_aboard(person, at) for person in facts.people], at.shape).max(axis=-1))


def able_at(facts: Facts, at: Array) -> Array:
    """People aboard and fit at each time."""
    return _sum([_aboard(facts, person, at) for person in facts.people if person.fit is True], at.shape)


def one_more(passage: Passage, index: int, *skills: Skill) -> Remedy:
    """The change "one more hand with these skills comes", aboard from the day before to the day after.

    What it would do is proved by judging; who it could be is for the skipper to find.
    """
    late = passage.late.arrives_at[index]
    end = late if np.isfinite(late) else passage.departure_at[index]
    span = Span(start=moment(float(passage.departure_at[index] - DAY)), end=moment(float(end + DAY)))

    def change(facts: Facts) -> Facts:
        hand = Person(
            name=f"Hand {len(facts.people) + 1}",
            skipper=False,
            skills=skills,
            fit=True,
            confirmed=True,
            aboard=(span,),
            must_leave_at=None,
            free_to_stay=True,
            jacket_size="adult",
        )
        return changed(facts, people=(*facts.people, hand))

    return Remedy("hand", f"One more hand comes, good for {' and '.join(skills)}", change)


def _moments(facts: Facts, passage: Passage) -> Array:
    """Departure, late arrival and each coming and going between them, [departure, moment]."""
    start, end = passage.departure_at[:, None], passage.late.arrives_at[:, None]
    edges = np.array([[edge for begins, ends in _spans(facts.people) for edge in (begins, ends)]])
    inside = np.where((edges > start) & (edges < end), edges, start)
    return np.concatenate([start, end, inside], axis=-1)


def _spans(people: Iterable[Person]) -> list[tuple[float, float]]:
    return [(epoch(span.start), epoch(span.end)) for person in people for span in person.aboard]


def _aboard(facts: Facts, person: Person, at: Array) -> Flags:
    """Whether a person is known to be aboard at each time."""
    counted = person.confirmed is True or (person.confirmed is None and not facts.leg.harbour_move)
    flags = np.zeros(at.shape, bool)
    for begins, ends in _spans([person]) if counted else ():
        flags |= (at >= begins) & (at < ends)
    return flags


def _may_be_aboard(person: Person, at: Array) -> Flags:
    """Whether a person may be aboard at each time; where it is not known, yes."""
    if person.confirmed is False:
        return np.zeros(at.shape, bool)
    flags = np.full(at.shape, not person.aboard)
    for begins, ends in _spans([person]):
        flags |= ~((at < begins) | (at >= ends))
    return flags


def _sum(flags: list[Flags], shape: tuple[int, ...]) -> Array:
    return np.sum(flags, axis=0, dtype=np.float64) if flags else np.zeros(shape)
