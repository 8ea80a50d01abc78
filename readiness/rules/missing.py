"""What is missing, said once: rules starved by one missing thing are one finding, and say whether it will settle.

Also the answers of a rule that is not asked, or that holds for every departure alike.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial

import numpy as np

from readiness.rules.facts import Facts
from readiness.rules.forecast_lacks import lack_of, lacking
from readiness.rules.judgement import Cause, Judgement, Outcome, Outcomes, Words, constant
from readiness.rules.passage import Passage
from readiness.rules.record import NOT_KNOWN, Array
from readiness.rules.telling import by_departure
from vessel.units import Flags

FORECAST: Cause = ("forecast", "")
LATE_ARRIVAL: Cause = ("late arrival", "")
NOBODY: Cause = ("crew", "nobody")


def late_at(passage: Passage) -> Array:
    """Late arrival, [departure]; NaN where it cannot be told."""
    return np.asarray(passage.late.node_at[:, -1])


def untimed(passage: Passage) -> Flags:
    """Where nobody can tell when she arrives by plan, or at the latest."""
    return np.asarray(np.isnan(late_at(passage)) | np.isnan(passage.plan.node_at[:, -1]))


def people_or_times(facts: Facts, passage: Passage) -> tuple[Cause, Flags]:
    """What starves a count of people: that nobody is down to sail, or that nobody can tell when she arrives."""
    return (LATE_ARRIVAL, untimed(passage)) if facts.people else (NOBODY, np.ones(passage.departures, np.bool_))


def late_arrival_missing(rule: str, passage: Passage, matters: Flags | bool = True) -> Iterator[Judgement]:
    """A finding where nobody can tell when she would arrive, so that what must hold until then is not known."""
    missing = untimed(passage) & matters
    if missing.any():
        yield Judgement(
            rule=rule,
            cause=LATE_ARRIVAL,
            outcome=unknown_where(missing),
            demand=NOT_KNOWN,
            limit=NOT_KNOWN,
            unit="",
            say=partial(_say_late, passage),
            applies=missing,
            starved_by=LATE_ARRIVAL,
            starved=missing,
        )


def forecast_missing(
    rule: str, facts: Facts, passage: Passage, wanted: Flags, values: Array, what: str
) -> Iterator[Judgement]:
    """A finding where a rule needs `what` of the forecast, `values[departure, step]`, and it is not there.

    It settles itself where the forecast does not reach so far yet; a gap inside what it covers does not. Departures
    whose late arrival is not known have that as their finding instead.
    """
    yield from late_arrival_missing(rule, passage, wanted)
    gap = np.isnan(values)
    inside = np.asarray((gap & passage.weather.reached).any(axis=-1))
    missing = wanted & ~untimed(passage)
    if missing.any():
        yield Judgement(
            rule=rule,
            cause=FORECAST,
            outcome=unknown_where(missing),
            demand=NOT_KNOWN,
            limit=NOT_KNOWN,
            unit="",
            say=partial(_say_forecast, facts, passage, what, inside),
            ripens=missing & ~inside,
            applies=missing,
        )


def unknown(rule: str, cause: Cause, passage: Passage, words: Words, where: Flags | bool = True) -> Judgement:
    """A finding that something is not known, whatever the departure."""
    flags = np.broadcast_to(np.asarray(where, bool), passage.departures)
    return unknown_at(rule, cause, flags, partial(_timed, passage, words))


def unknown_at(rule: str, cause: Cause, where: Flags, say: Callable[[int], Words]) -> Judgement:
    """A finding that something is not known at some departures, in words of its own for each."""
    return Judgement(
        rule=rule,
        cause=cause,
        outcome=unknown_where(where),
        demand=NOT_KNOWN,
        limit=NOT_KNOWN,
        unit="",
        say=say,
        applies=where,
    )


def not_asked(rule: str, passage: Passage, title: str, why: str) -> Judgement:
    """The answer of a rule that does not apply to this leg."""
    return Judgement(
        rule=rule,
        cause=(rule, ""),
        outcome=constant(Outcome.PASSED, passage.departures),
        demand=NOT_KNOWN,
        limit=NOT_KNOWN,
        unit="",
        say=lambda _: Words(title=title, sentence=why),
        applies=False,
    )


def harbour_move(rule: str, passage: Passage, title: str) -> Judgement:
    """The answer of a rule that only a leg outside asks."""
    return not_asked(rule, passage, title, "Harbour move: not asked.")


def unknown_where(missing: Flags) -> Outcomes:
    """Unknown at some departures, passed at the others."""
    return np.where(missing, np.int8(Outcome.UNKNOWN), np.int8(Outcome.PASSED)).astype(np.int8)


def _say_late(passage: Passage, index: int) -> Words:
    return Words(
        title="Late arrival not known",
        sentence="Nobody can tell when she would arrive, so what must hold until then is not known.",
        do="Give the speed, the streams and a departure at which she makes way.",
        by=by_departure(passage, index),
    )


def _say_forecast(facts: Facts, passage: Passage, what: str, inside: Flags, index: int) -> Words:
    why, things = lack_of(facts.water.forecast, what, inside=bool(inside[index]))
    words = Words(
        title=f"{what.capitalize()} not forecast",
        sentence="",
        by=by_departure(passage, index),
        evidence=(("forecast", ""),),
    )
    return lacking(words, why, things)


def _timed(passage: Passage, words: Words, index: int) -> Words:
    if np.isfinite(words.by):
        return words
    return replace(words, by=by_departure(passage, index))
