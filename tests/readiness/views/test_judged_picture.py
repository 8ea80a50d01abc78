"""The judged leg as the pictures want it: which gate is drawn against the tide."""

from typing import Any

import pytest
from msgspec.structs import replace

from readiness.rules.engine import judge
from readiness.rules.facts import Facts
from readiness.rules.words_of_trade import GateKind
from readiness.views.judged_picture import gate_of_choice
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import gate, leg

LOCK = "morrowick-lock"
BRIDGE = {"kind": GateKind.BRIDGE, "fixed": True, "level_m": 30.0, "zero": "chart datum"}


def past_the_sill(facts: Facts) -> Facts:
    """The sill of another harbour at the point before the lock."""
    *others, before, last = facts.leg.points
    return leg(facts, points=(*others, replace(before, gate="hallorn-sill"), last))


def test_the_lock_is_drawn_with_its_openings() -> None:
    drawn = gate_of_choice(judge(worked_example(1)), 0)

    assert drawn is not None
    assert drawn.open_words == "lock open"
    assert drawn.opens
    assert drawn.early < drawn.plan < drawn.late


@pytest.mark.parametrize(
    "parts",
    [
        BRIDGE,
        {"kind": GateKind.NARROWS, "stream": "skarn", "most_rate_mps": 1.0},
        {"station": "nowhere"},
    ],
    ids=["a bridge that never opens", "narrows", "a lock whose tide is not known"],
)
def test_a_gate_that_does_not_open_by_a_known_tide_is_not_drawn(parts: dict[str, Any]) -> None:
    assert gate_of_choice(judge(gate(worked_example(1), LOCK, **parts)), 0) is None


def test_where_the_last_gate_cannot_be_drawn_the_one_before_it_is() -> None:
    facts = gate(past_the_sill(worked_example(1)), LOCK, **BRIDGE)

    drawn = gate_of_choice(judge(facts), 0)

    assert drawn is not None
    assert drawn.open_words == "sill open"
