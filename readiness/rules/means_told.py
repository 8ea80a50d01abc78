"""A count of means as a judgement, in words: how many work, which do not, and what brings one back."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

import numpy as np

from readiness.calc.success_tree import Level
from readiness.rules.facts import Facts
from readiness.rules.function_state import cause_of, evidence_of, requirement_missing, why
from readiness.rules.judgement import Judgement, Outcome, Words
from readiness.rules.means import Counted, Means
from readiness.rules.missing import late_arrival_missing
from readiness.rules.passage import Passage
from readiness.rules.put_right import remedies_for
from readiness.rules.record import NOT_KNOWN
from readiness.rules.state import States
from readiness.rules.telling import by_departure, first_worst, hand_for
from readiness.rules.words_of_trade import Skill
from vessel.calc.wording import number


@dataclass(frozen=True)
class Counting:
    """What is counted: "ways of getting water out"."""

    rule: str
    title: str
    ways: str
    needed: str


def means_judged(
    facts: Facts, passage: Passage, held: States, counting: Counting, means: Means, answer: Counted
) -> Iterator[Judgement]:
    """The judgement of a count, and what is missing to decide it."""
    index = first_worst(answer.outcome)
    failing = _failing(held, means, index) if answer.outcome.any() else ()
    yield Judgement(
        rule=counting.rule,
        cause=cause_of(held, failing[0]) if failing else ("function", counting.title),
        outcome=answer.outcome,
        demand=means.number().astype(np.float64),
        limit=2.0,
        unit="ways",
        say=partial(_say, facts, passage, held, counting, means, answer),
        never_waived=means.number(Level.UNKNOWN) == 0,
    )
    yield from late_arrival_missing(counting.rule, passage)
    yield from requirement_missing(counting.rule, facts, passage, answer.undecided, ("visibility_m",))


def _failing(held: States, means: Means, index: int) -> tuple[str, ...]:
    """Items that hold a member below working, in the order of the members."""
    members = (member for member, works in zip(means.members, means.working(), strict=True) if not works[index])
    return tuple(dict.fromkeys(code for member in members for code in held.guilty(member, index)))


def _say(
    facts: Facts, passage: Passage, held: States, counting: Counting, means: Means, answer: Counted, index: int
) -> Words:
    works = int(means.number()[index])
    count = f"{number(works)} of {len(means.members)} {counting.ways} work"
    off = "one off the ship's supply" if means.any_independent()[index] else "none off the ship's supply"
    sums = ((f"{counting.ways.capitalize()} that work, {counting.needed}", f"{number(works)}, {off}"),)
    outcome = answer.outcome[index]
    if outcome == Outcome.PASSED:
        return Words(title=counting.title, sentence=f"{count}, {off}.", sums=sums, margin=_margin(works))
    failing = _failing(held, means, index)
    remedies = remedies_for(facts, held, failing)
    said = f": {'; '.join(why(held, code) for code in failing[:2])}" if failing else ""
    return Words(
        title=f"{counting.title}: {'not known' if outcome == Outcome.UNKNOWN else 'too few'}",
        sentence=f"{count}, {off}{said}.",
        do=f"{remedies[0].text}." if remedies else "Bring one more way back into service.",
        by=by_departure(passage, index),
        who=hand_for(facts, Skill.ENGINE),
        minutes=min((remedy.minutes for remedy in remedies), default=NOT_KNOWN),
        sums=sums,
        evidence=evidence_of(held, failing),
        remedies=remedies,
    )


def _margin(works: int) -> str:
    return f"{works - 2} to spare" if works > 2 else "none to spare"
