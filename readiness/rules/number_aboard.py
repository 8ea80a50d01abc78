"""How many are aboard, against what the boat may carry and what she needs."""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from readiness.rules.facts import Facts
from readiness.rules.hands import fewest_if_timed, most
from readiness.rules.judgement import Judgement, Outcome, Outcomes, Rule, Subject, Waive, Words, graded
from readiness.rules.limits import Limits
from readiness.rules.missing import LATE_ARRIVAL, NOBODY
from readiness.rules.passage import Passage
from readiness.rules.record import NOT_KNOWN, Array

RULE_ID = "number_aboard"


def number_aboard(facts: Facts, passage: Passage, _limits: Limits) -> Iterator[Judgement]:
    """Two judgements: too many at any time, too few all the way.

    Source: [practice]
    """
    vessel = facts.boat.vessel
    greatest, least = most(facts, passage), fewest_if_timed(facts, passage)
    carried, needed = _number(vessel.max_persons), _number(vessel.min_crew)
    too_many = graded(greatest, (np.greater, carried, Outcome.NO_GO))
    too_few = graded(least, (np.less, needed, Outcome.NO_GO))
    yield _judgement("most", greatest, carried, too_many, f"she may carry {_word(carried)}", never=True)
    few = _judgement("fewest", least, needed, too_few, f"she needs {_word(needed)} all the way", never=False)
    if facts.people:
        yield replace(few, starved_by=LATE_ARRIVAL, starved=np.isnan(least) & bool(np.isfinite(needed)))
    else:
        yield replace(few, cause=NOBODY, say=lambda _: nobody(facts), never_waived=True)


def nobody(facts: Facts) -> Words:
    """The one thing to do before anybody is down to sail: what starves every rule that counts people."""
    return Words(
        title="Nobody is down to sail",
        sentence="Nobody is down to sail this leg, so neither watches, helm nor hands can be judged.",
        do="Tick who sails.",
        minutes=2.0,
        evidence=(("who sails", facts.leg.key),),
    )


def _number(count: int | None) -> float:
    return NOT_KNOWN if count is None else float(count)


def _counted(count: float) -> str:
    return "A number not known" if np.isnan(count) else f"{count:.0f}"


def _word(count: float) -> str:
    return "a number nobody has stated" if np.isnan(count) else f"{count:.0f}"


def _judgement(which: str, count: Array, limit: float, outcome: Outcomes, against: str, *, never: bool) -> Judgement:
    def say(index: int) -> Words:
        return Words(
            title=f"{_counted(count[index])} aboard",
            sentence=f"{_counted(count[index])} aboard; {against}.",
            do="Change the crew, or state the number." if outcome[index] else "",
        )

    return Judgement(
        rule=RULE_ID,
        cause=("people", which),
        outcome=outcome,
        demand=count,
        limit=limit,
        unit="people",
        say=say,
        never_waived=never,
    )


RULE = Rule(
    id=RULE_ID,
    title="Number aboard",
    subject=Subject.PEOPLE,
    formula="More than she may carry at any time, or fewer than she needs all the way: no-go.",
    source="[practice]",
    worst=Outcome.NO_GO,
    judge=number_aboard,
    waive={Outcome.NO_GO: Waive.ONE_LEG},
)
