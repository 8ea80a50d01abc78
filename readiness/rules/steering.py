"""She steers: every link of the function Steer, the emergency way counted as a second means."""

from collections.abc import Iterator

import numpy as np

from readiness.rules.facts import Facts
from readiness.rules.function_state import Asked, function_judgements
from readiness.rules.judgement import Judgement, Outcome, Rule, Subject
from readiness.rules.limits import Limits
from readiness.rules.passage import Passage
from readiness.rules.state import states


def steering(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:  # noqa: ARG001
    """Steer in service; also asked on a harbour move.

    Source: [practice]
    """
    asked = Asked("steering", "Steer", np.ones(passage.departures))
    yield from function_judgements(facts, passage, asked, states(facts, passage).trees["steer"])


RULE = Rule(
    id="steering",
    title="She steers",
    subject=Subject.BOAT,
    formula="state of the function Steer: in service passes, degraded is a condition, not proved is left to the tests "
    "that are owed, not known is unknown, lost is no-go",
    source="[practice]",
    worst=Outcome.NO_GO,
    judge=steering,
)
