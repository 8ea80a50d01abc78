"""What must always be true of a gate."""

from typing import Any

import pytest

from readiness.models import Gate, Harbour
from readiness.rules.words_of_trade import GateKind
from tests.readiness.models.conftest import Refused


@pytest.fixture
def gate(harbour: Harbour) -> Gate:
    """A lock that is open at all hours the tide allows."""
    return Gate.objects.create(
        vessel=harbour.vessel, harbour=harbour, key="lock", name="Lock", kind="lock", before_s=10800, after_s=7200,
        keeps_hours=False, hands=2,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("changes", "rule"),
    [
        ({"key": ""}, "gate_key_is_not_empty"),
        ({"name": ""}, "gate_name_is_not_empty"),
        ({"kind": "weir"}, "gate_kind_is_a_known_word"),
        ({"before_s": -1.0}, "gate_before_s_is_not_below_zero"),
        ({"after_s": -1.0}, "gate_after_s_is_not_below_zero"),
        ({"last_entry_s": -1.0}, "gate_last_entry_s_is_not_below_zero"),
        ({"keeps_hours": True, "opens_local_s": 0.0}, "gate_opens_local_s_and_closes_local_s_pair"),
        ({"keeps_hours": True, "opens_local_s": -1.0, "closes_local_s": 1.0}, "gate_opens_local_s_is_within_bounds"),
        ({"keeps_hours": True, "opens_local_s": 1.0, "closes_local_s": 9e4}, "gate_closes_local_s_is_within_bounds"),
        ({"keeps_hours": False, "opens_local_s": 1.0, "closes_local_s": 2.0}, "gate_without_hours_has_none"),
    ],
)
def test_a_gate_that_breaks_a_rule_is_refused(gate: Gate, refused: Refused, changes: dict[str, Any], rule: str) -> None:
    for name, value in changes.items():
        setattr(gate, name, value)

    refused(gate, rule)


@pytest.mark.parametrize("keeps_hours", [True, None])
def test_hours_are_kept_where_it_keeps_hours_or_nobody_knows(gate: Gate, keeps_hours: bool | None) -> None:
    gate.keeps_hours, gate.opens_local_s, gate.closes_local_s = keeps_hours, 21600.0, 79200.0

    gate.save()

    assert Gate.objects.get().opens_local_s == 21600.0


@pytest.mark.parametrize("kind", list(GateKind))
def test_every_kind_the_rules_know_can_be_written_down(gate: Gate, kind: GateKind) -> None:
    gate.kind = kind

    gate.save()

    assert GateKind(Gate.objects.get().kind) is kind


def test_a_key_is_there_once_for_each_vessel(gate: Gate, refused: Refused) -> None:
    same = Gate(vessel=gate.vessel, harbour=gate.harbour, key="lock", name="Another", kind="sill")

    refused(same, "UNIQUE")
