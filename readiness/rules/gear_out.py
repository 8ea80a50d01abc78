"""Gear out of service: every required function that no other rule answers for, and what nobody can place."""

from collections.abc import Iterator
from functools import partial

import numpy as np

from readiness.calc.success_tree import Level
from readiness.rules.facts import Facts
from readiness.rules.facts_boat import Defect, Job
from readiness.rules.function_state import Asked, evidence_of, links_judged, why
from readiness.rules.judgement import Judgement, Outcome, Outcomes, Rule, Subject, Words
from readiness.rules.limits import Limits
from readiness.rules.missing import unknown
from readiness.rules.passage import Passage
from readiness.rules.reason import job_level
from readiness.rules.record import NOT_KNOWN
from readiness.rules.required import REQUIRED, links_left, required
from readiness.rules.state import AUTOPILOT, FUNCTIONS, States, states
from readiness.rules.words_of_trade import Effect

ID, TITLE = "gear_out", "Gear out of service"


def gear_out(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:  # noqa: ARG001
    """Required functions, the vessel's own functions as advice, and entries that name no listed item.

    Also asked on a harbour move, of what that requires.

    Source: [practice]
    """
    held = states(facts, passage)
    for key, function in REQUIRED.items():
        left = links_left(held, key)
        if left:
            asked = Asked(ID, function.name, required(facts, passage, key))
            yield from links_judged(facts, passage, asked, left)
    yield from _own_functions(facts, held)
    for defect in facts.boat.defects or ():
        yield from _defect_without_item(passage, held, defect)
    for job in facts.boat.jobs or ():
        yield from _job_without_item(passage, held, job)


def _own_functions(facts: Facts, held: States) -> Iterator[Judgement]:
    """Functions the program does not know: it cannot say when a leg requires them, so they are advice."""
    for function in facts.boat.functions:
        if function.is_group or function.key in {*FUNCTIONS, AUTOPILOT}:
            continue
        lost = held.of(held.trees[function.key]) > Level.DEGRADED
        outcome = np.where(lost, np.int8(Outcome.ADVICE), np.int8(Outcome.PASSED)).astype(np.int8)
        yield Judgement(
            rule=ID,
            cause=("function", function.key),
            outcome=outcome,
            demand=NOT_KNOWN,
            limit=NOT_KNOWN,
            unit="",
            say=partial(_say_own, held, function.key, function.name, outcome),
        )


def _say_own(held: States, key: str, name: str, outcome: Outcomes, index: int) -> Words:
    if outcome[index] == Outcome.PASSED:
        return Words(title=name, sentence=f"{name}: in service.")
    guilty = held.guilty(held.trees[key], index)
    return Words(
        title=f"{name} not in service",
        sentence=f"{name} is not in service: {'; '.join(why(held, code) for code in guilty[:2])}.",
        do="Decide for yourself whether this leg needs it: it is a function of your own.",
        evidence=evidence_of(held, guilty),
    )


def _defect_without_item(passage: Passage, held: States, defect: Defect) -> Iterator[Judgement]:
    if defect.effect == Effect.NONE or defect.equipment in held.items:
        return
    what = "no equipment" if not defect.equipment else f"{defect.equipment}, which is not on the equipment list"
    words = Words(
        title=f"Defect {defect.key} not placed",
        sentence=f"{defect.key} ({defect.title}) names {what}: nobody can tell what it takes out.",
        do="Say which piece of equipment it is on and what it takes from it.",
        evidence=(("defect", defect.key),),
    )
    yield unknown(ID, ("defect", defect.key), passage, words)


def _job_without_item(passage: Passage, held: States, job: Job) -> Iterator[Judgement]:
    lost = [code for code in job.takes_out if code not in held.items]
    if not lost or job_level(job) == Level.IN_SERVICE:
        return
    words = Words(
        title=f"Job {job.key} not placed",
        sentence=f"{job.key} ({job.title}) takes out {lost[0] or 'something'}, which is not on the equipment list.",
        do="Say which pieces of equipment it takes out.",
        evidence=(("job", job.key),),
    )
    yield unknown(ID, ("job", job.key), passage, words)


RULE = Rule(
    id=ID,
    title=TITLE,
    subject=Subject.BOAT,
    formula="each required function without a rule of its own, by its success tree: lost is no-go, not known is unknown, "
    "degraded is a condition, not proved is left to the tests that are owed; a defect or job that names no listed item "
    "is unknown; a function of the vessel's own is advice",
    source="[practice]",
    worst=Outcome.NO_GO,
    judge=gear_out,
    limits=("near_m", "cold_sea_c"),
)
