"""Knowing where she is: two ways of fixing the position, one of them off the ship's electrical supply."""

from collections.abc import Iterator

from readiness.rules.circumstances import all_of, circumstances, negated
from readiness.rules.facts import Facts
from readiness.rules.judgement import Judgement, Outcome, Rule, Subject, Waive
from readiness.rules.limits import Limits
from readiness.rules.means import Counted, Means, means_of, two_and_one_independent
from readiness.rules.means_told import Counting, means_judged
from readiness.rules.missing import harbour_move
from readiness.rules.passage import Passage
from readiness.rules.state import states

COUNTING = Counting(
    "position_fixing", "Fixing the position", "ways of fixing the position", "2 needed, one independent"
)


def position_fixing(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:  # noqa: ARG001
    """The means that the function Position and depth counts.

    Source: [solas-v34]
    """
    if facts.leg.harbour_move:
        yield harbour_move(COUNTING.rule, passage, COUNTING.title)
        return
    means, answer = position_counted(facts, passage)
    yield from means_judged(facts, passage, states(facts, passage), COUNTING, means, answer)


def position_counted(facts: Facts, passage: Passage) -> tuple[Means, Counted]:
    """The means and what their number answers: by day, in good visibility and near a refuge, one is a condition."""
    means, around = means_of(facts, states(facts, passage), "position"), circumstances(facts, passage)
    easy = all_of(negated(around.night), negated(around.poor_visibility), around.near)
    return means, two_and_one_independent(means, easy)


RULE = Rule(
    id="position_fixing",
    title="Knowing where she is",
    subject=Subject.BOAT,
    formula="number of means in service or degraded: two with one off the ship's supply pass; one, or none independent, "
    "is a condition by day with 2 nmi of visibility and near a refuge, else no-go; none is no-go",
    source="[solas-v34] [practice]",
    worst=Outcome.NO_GO,
    judge=position_fixing,
    limits=("near_m",),
    waive={Outcome.NO_GO: Waive.ONE_LEG, Outcome.CONDITION: Waive.ONE_LEG},
)
