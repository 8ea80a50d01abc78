"""Items that are not proved: which a leg needs, which test each owes, and whether it fits before departure."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from readiness.calc.success_tree import Level, Tree, culprits, links
from readiness.rules.dewatering import dewatering_counted
from readiness.rules.facts import Facts
from readiness.rules.facts_boat import Job, Test
from readiness.rules.judgement import Cause, Outcome, Outcomes, graded
from readiness.rules.last_means import items_without_reserve, last_means_counted
from readiness.rules.lights_and_sound import part_links, parts_asked
from readiness.rules.means import items_behind
from readiness.rules.passage import Passage
from readiness.rules.position_fixing import position_counted
from readiness.rules.put_right import test_of
from readiness.rules.required import ANSWERED_ELSEWHERE, REQUIRED, links_left, required
from readiness.rules.state import States, states
from readiness.rules.telling import BEFORE_DEPARTURE_S
from readiness.rules.words_of_trade import JobStatus, TestPlace
from vessel.units import MINUTE, Array, Flags

Needed = Iterator[tuple[str, Flags]]


@dataclass(frozen=True, eq=False)
class Owed:
    """One test that is owed, and for which items."""

    cause: Cause
    title: str
    test: Test
    codes: tuple[str, ...]
    untested: Flags  # [departure]
    needed: Flags  # [departure]


def tests_owed(facts: Facts, passage: Passage) -> Iterator[Owed]:
    """Every test that is owed: one for each job that is done but not tested, one for each other item not proved."""
    held, needed = states(facts, passage), needed_items(facts, passage)
    nowhere = np.zeros(passage.departures, bool)
    by_jobs = set[str]()
    for job in facts.boat.jobs or ():
        if job.status == JobStatus.DONE_UNTESTED:
            codes = _codes(held, job)
            by_jobs.update(codes)
            wanted = np.any([nowhere, *(needed.get(code, nowhere) for code in codes)], axis=0)
            item = held.items[codes[0]] if codes else None
            title = f"{job.title} ({job.key})"
            yield Owed(("job", job.key), title, test_of(job, item), codes, ~nowhere, np.asarray(wanted))
    for code, item in held.items.items():
        untested = held.level[held.rows[code]] == Level.NOT_PROVED
        if untested.any() and code not in by_jobs:
            test = Test(text=item.proof, where=item.proof_where, minutes=item.proof_minutes)
            wanted = needed.get(code, nowhere)
            yield Owed(("equipment", code), item.name, test, (code,), np.asarray(untested), wanted)


def needed_items(facts: Facts, passage: Passage) -> dict[str, Flags]:
    """Items whose test would better a required function or a count of means, and where, [departure]."""
    held = states(facts, passage)
    found: dict[str, Flags] = {}
    for source in (_by_functions(facts, passage, held), _by_counts(facts, passage, held)):
        for code, here in source:
            found[code] = found.get(code, np.zeros(passage.departures, bool)) | here
    return found


def outcome_of(facts: Facts, passage: Passage, owed: Owed) -> Outcomes:
    """Needed: a condition where the test fits alongside, or belongs to the first hour at sea; else unknown."""
    left = time_left_s(facts, passage, owed.test)
    fits = graded(left, (np.less, 0.0, Outcome.UNKNOWN))
    alongside = np.maximum(fits, np.int8(Outcome.CONDITION))
    by_place = {
        TestPlace.ALONGSIDE: alongside,
        TestPlace.AT_SEA: np.full(passage.departures, Outcome.CONDITION, np.int8),
        None: np.full(passage.departures, Outcome.UNKNOWN, np.int8),
    }
    wanted = np.where(owed.needed, by_place[owed.test.where], np.int8(Outcome.ADVICE))
    return np.where(owed.untested, wanted, np.int8(Outcome.PASSED)).astype(np.int8)


def time_left_s(facts: Facts, passage: Passage, test: Test) -> Array:
    """Time to spare once the test is done a quarter of an hour before departure; NaN where its length is not known."""
    minutes = test.minutes if test.minutes >= 0 else np.nan
    return np.asarray(passage.departure_at - BEFORE_DEPARTURE_S - facts.judged_at.timestamp() - minutes * MINUTE)


def _codes(held: States, job: Job) -> tuple[str, ...]:
    named = (*job.takes_out, *((job.opens_equipment,) if job.opens_equipment else ()))
    return tuple(code for code in dict.fromkeys(named) if code in held.items)


def _by_functions(facts: Facts, passage: Passage, held: States) -> Needed:
    for key in REQUIRED:
        needed = required(facts, passage, key) != 0.0
        whole = key in ANSWERED_ELSEWHERE or key == "keep_water_out"
        for link in links(held.trees[key]) if whole else links_left(held, key):
            yield from _not_proved(held, link, needed)
    if not facts.leg.harbour_move:
        for name, asked in parts_asked(facts, passage).items():
            for link in part_links(held, name):
                yield from _not_proved(held, link, asked != 0.0)


def _not_proved(held: States, link: Tree, needed: Flags) -> Needed:
    here = (held.of(link) == Level.NOT_PROVED) & needed
    if here.any():
        for code, guilty in culprits(link, held.level, held.rows).items():
            yield code, guilty & here


def _by_counts(facts: Facts, passage: Passage, held: States) -> Needed:
    counts = [dewatering_counted(facts, passage)]
    if not facts.leg.harbour_move:
        counts.append(position_counted(facts, passage))
        yield from items_without_reserve(held, last_means_counted(facts, passage), Level.NOT_PROVED)
    for means, answer in counts:
        for code, behind in items_behind(held, means, Level.NOT_PROVED):
            yield code, behind & answer.tests_wanted
