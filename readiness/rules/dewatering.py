"""Ways of getting water out: two that work, one of them off the ship's electrical supply."""

from collections.abc import Iterator

from readiness.rules.circumstances import circumstances
from readiness.rules.facts import Facts
from readiness.rules.judgement import Judgement, Outcome, Rule, Subject, Waive
from readiness.rules.limits import Limits
from readiness.rules.means import Counted, Means, at_least_one, means_of, two_and_one_independent
from readiness.rules.means_told import Counting, means_judged
from readiness.rules.passage import Passage
from readiness.rules.state import states

COUNTING = Counting("dewatering", "Getting water out", "ways of getting water out", "2 needed, one independent")
IN_HARBOUR = Counting("dewatering", "Getting water out", "ways of getting water out", "1 needed on a harbour move")


def dewatering(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:  # noqa: ARG001
    """The means that the function Get water out counts. Also asked on a harbour move, where one will do.

    Source: [cfr46-119]
    """
    means, answer = dewatering_counted(facts, passage)
    counting = IN_HARBOUR if facts.leg.harbour_move else COUNTING
    yield from means_judged(facts, passage, states(facts, passage), counting, means, answer)


def dewatering_counted(facts: Facts, passage: Passage) -> tuple[Means, Counted]:
    """The means and what their number answers."""
    means = means_of(facts, states(facts, passage), "get_water_out")
    if facts.leg.harbour_move:
        return means, at_least_one(means)
    return means, two_and_one_independent(means, circumstances(facts, passage).easy)


RULE = Rule(
    id="dewatering",
    title="Ways of getting water out",
    subject=Subject.BOAT,
    formula="number of means in service or degraded: two with one off the ship's supply pass; one, or none independent, "
    "is a condition by day in sheltered water and near a refuge, else no-go; none is no-go; on a harbour move one passes",
    source="[cfr46-119] [practice]",
    worst=Outcome.NO_GO,
    judge=dewatering,
    limits=("near_m",),
    waive={Outcome.NO_GO: Waive.ONE_LEG, Outcome.CONDITION: Waive.ONE_LEG},
)
