"""The engine can drive the boat: every link of the function Drive."""

from collections.abc import Iterator

import numpy as np

from readiness.rules.facts import Facts
from readiness.rules.function_state import Asked, function_judgements
from readiness.rules.judgement import Judgement, Outcome, Rule, Subject
from readiness.rules.limits import Limits
from readiness.rules.passage import Passage
from readiness.rules.state import states


def engine_drives(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:  # noqa: ARG001
    """Drive in service; also asked on a harbour move.

    Source: [practice]
    """
    asked = Asked("engine_drives", "Drive", np.ones(passage.departures))
    yield from function_judgements(facts, passage, asked, states(facts, passage).trees["drive"])


RULE = Rule(
    id="engine_drives",
    title="The engine can drive the boat",
    subject=Subject.BOAT,
    formula="state of the function Drive: in service passes, degraded is a condition, not proved is left to the tests "
    "that are owed, not known is unknown, lost is no-go",
    source="[practice]",
    worst=Outcome.NO_GO,
    judge=engine_drives,
)
