"""A lifejacket in date, of the right size, for everyone who is aboard at any time of the leg."""

from collections.abc import Iterator
from datetime import timedelta
from functools import partial

import numpy as np
from msgspec.structs import replace

from readiness.rules.facts import Facts, changed
from readiness.rules.facts_boat import Lifejackets
from readiness.rules.facts_people import Person, Span
from readiness.rules.judgement import Judgement, Outcome, Outcomes, Remedy, Rule, Subject, Waive, Words, graded
from readiness.rules.limits import Limits
from readiness.rules.missing import late_arrival_missing, late_at, not_asked
from readiness.rules.passage import Passage
from readiness.rules.record import Array, epoch
from readiness.rules.telling import by_departure, day_in, end_of_day
from vessel.calc.wording import number
from vessel.units import Flags

ID, TITLE = "lifejackets", "A lifejacket for every person"
COUNT_THEM = "Count them by size and read their dates."


def lifejackets(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:  # noqa: ARG001
    """Jackets of each size against the people who need it. Also asked on a harbour move.

    Source: [practice]
    """
    yield from late_arrival_missing(ID, passage)
    sizes = tuple(dict.fromkeys(_size(person.jacket_size) for person in facts.people))
    for size in sizes:
        yield _of_size(facts, passage, size)
    if not sizes:
        yield not_asked(ID, passage, TITLE, "Nobody is on the crew list of this leg.")


def _of_size(facts: Facts, passage: Passage, size: str) -> Judgement:
    need = np.sum([_aboard(person, passage) for person in facts.people if _size(person.jacket_size) == size], axis=0)
    sure, perhaps = _jackets(facts, passage, size)
    short = graded(sure, (np.less, need, Outcome.NO_GO))
    hopeless = graded(perhaps, (np.less, need, Outcome.NO_GO))
    outcome = np.where(short == Outcome.PASSED, np.int8(Outcome.PASSED), np.maximum(hopeless, Outcome.UNKNOWN))
    return Judgement(
        rule=ID,
        cause=("lifejackets", size),
        outcome=outcome.astype(np.int8),
        demand=sure,
        limit=need,
        unit="jackets",
        say=partial(_say, facts, passage, size, outcome.astype(np.int8), need, sure),
    )


def _aboard(person: Person, passage: Passage) -> Array:
    """1 where somebody may be aboard during the leg, else 0: who has not called off and is not known to be elsewhere."""
    if person.confirmed is False:
        return np.zeros(passage.departures)
    if not person.aboard:
        return np.ones(passage.departures)
    meets: Flags = np.any([_overlaps(span, passage) for span in person.aboard], axis=0)
    return meets.astype(np.float64)


def _overlaps(span: Span, passage: Passage) -> Flags:
    """Whether a stay meets the leg; an end that is not known, or a late arrival that is not, counts as meeting it."""
    late = np.where(np.isnan(late_at(passage)), np.inf, late_at(passage))
    start, end = epoch(span.start), epoch(span.end)
    return np.asarray(~(start >= late) & ~(end <= passage.departure_at))


def _jackets(facts: Facts, passage: Passage, size: str) -> tuple[Array, Array]:
    """Jackets that surely fit and are in date, and those that perhaps do, [departure]."""
    sure, perhaps = np.zeros(passage.departures), np.zeros(passage.departures)
    zone, late = facts.boat.vessel.home_zone, late_at(passage)
    for jackets in facts.boat.lifejackets:
        fits = _size(jackets.size) == size != ""
        may_fit = fits or not size or not _size(jackets.size)
        count = float("inf") if jackets.count is None else max(0, jackets.count)
        good = graded(late, (np.greater_equal, end_of_day(jackets.good_through, zone), Outcome.NO_GO))
        good = np.where(np.isnan(late), np.int8(Outcome.PASSED), good)
        certain = fits and np.isfinite(count)
        sure += np.where(good == Outcome.PASSED, count, 0.0) if certain else 0.0
        perhaps += np.where(good != Outcome.NO_GO, count, 0.0) if may_fit else 0.0
    return sure, perhaps


def _size(text: str) -> str:
    return text.strip().casefold()


def _say(facts: Facts, passage: Passage, size: str, outcome: Outcomes, need: Array, sure: Array, index: int) -> Words:
    have, wanted = int(sure[index]), int(need[index])
    named = f"“{size}”" if size else "size not known"
    said = f"{number(have)} in-date lifejackets ({named}) for {number(wanted)} {'person' if wanted == 1 else 'people'}"
    sums = ((f"Lifejackets in date at late arrival, {number(wanted)} needed", number(have)),)
    if outcome[index] == Outcome.PASSED:
        return Words(title=TITLE, sentence=f"{said}.", sums=sums, margin=f"{have - wanted} to spare")
    unknown = outcome[index] == Outcome.UNKNOWN
    return Words(
        title="Lifejackets not known" if unknown else "Too few lifejackets",
        sentence=f"Only {said} surely fit." if unknown else f"Only {said}.",
        do=COUNT_THEM if unknown else "Service or borrow what is missing, or leave a person ashore.",
        by=by_departure(passage, index),
        sums=sums,
        evidence=tuple(("person", person.name) for person in facts.people if _size(person.jacket_size) == size),
        remedies=_remedies(passage, size, wanted - have, index),
    )


def _remedies(passage: Passage, size: str, short: int, index: int) -> tuple[Remedy, ...]:
    late = late_at(passage)[index]
    if not size or not np.isfinite(late):
        return ()
    text = f"Bring {number(short)} more in-date lifejackets, {size}"
    return (Remedy("load", text, partial(_brought, size, short, float(late))),)


def _brought(size: str, count: int, late: float, facts: Facts) -> Facts:
    day = day_in(late, facts.boat.vessel.home_zone)
    more = Lifejackets(size=size, count=count, good_through=None if day is None else day + timedelta(days=1))
    return changed(facts, boat=replace(facts.boat, lifejackets=(*facts.boat.lifejackets, more)))


RULE = Rule(
    id=ID,
    title=TITLE,
    subject=Subject.PEOPLE,
    formula="for each size, jackets in date through late arrival ≥ people aboard at any time of the leg; fewer is no-go; "
    "where a count, a date or a size that is not known could make it enough, unknown",
    source="[practice]",
    worst=Outcome.NO_GO,
    judge=lifejackets,
    waive={Outcome.NO_GO: Waive.NEVER},
)
