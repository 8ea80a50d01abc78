"""What is not known of a gate: it leaves its times not known, and it is named."""

from typing import Any

import pytest

from readiness.rules.gate_lacks import lacking
from readiness.rules.gates import gate_windows_of
from readiness.rules.words_of_trade import GateKind
from tests.readiness.rules.gate_case import NAN, START, gate, setting, stream
from vessel.units import DAY, HOUR

UNKNOWNS: list[tuple[GateKind, dict[str, Any], dict[str, Any], str]] = [
    (GateKind.LOCK, {"before_s": NAN}, {}, "how long before and after high water it works"),
    (GateKind.LOCK, {"after_s": NAN}, {}, "how long before and after high water it works"),
    (GateKind.LOCK, {}, {"tide": None}, "the tide there"),
    (GateKind.LOCK, {"level_m": 1.0, "zero": "a mark"}, {}, "what its height is measured from"),
    (GateKind.LOCK, {"level_m": 1.0}, {"draught_m": NAN}, "her draught"),
    (GateKind.SILL, {"level_m": NAN}, {}, "its height"),
    (GateKind.SILL, {"zero": None}, {}, "what its height is measured from"),
    (GateKind.SILL, {}, {"draught_m": NAN}, "her draught"),
    (GateKind.BAR, {}, {"tide": None}, "the tide there"),
    (GateKind.BAR, {"keeps_hours": None}, {}, "whether a keeper keeps hours"),
    (GateKind.BRIDGE, {"fixed": None}, {}, "whether it opens"),
    (GateKind.BRIDGE, {"fixed": False, "keeps_hours": True}, {}, "the keeper's hours and their time zone"),
    (GateKind.BRIDGE, {"fixed": True, "keeps_hours": None}, {"air_draught_m": NAN}, "her air draught"),
    (GateKind.BRIDGE, {"fixed": True, "level_m": NAN}, {}, "its height"),
    (GateKind.NARROWS, {}, {}, "the stream there"),
    (GateKind.NARROWS, {"most_rate_mps": NAN}, {"stream": stream(1.0)}, "the rate up to which it is passed"),
    (GateKind.NARROWS, {"keeps_hours": None}, {"stream": stream(1.0)}, "whether a keeper keeps hours"),
    (GateKind.LOCK, {"keeps_hours": True, "opens_local_s": 8 * HOUR, "closes_local_s": 17 * HOUR}, {"zone": ""},
     "the keeper's hours and their time zone"),
    (GateKind.LOCK, {"keeps_hours": True, "opens_local_s": 8 * HOUR, "closes_local_s": 17 * HOUR}, {"zone": "Nowhere"},
     "the keeper's hours and their time zone"),
    (GateKind.LOCK, {"keeps_hours": True, "opens_local_s": 8 * HOUR}, {}, "the keeper's hours and their time zone"),
]  # fmt: skip
WHOLE: dict[GateKind, dict[str, Any]] = {
    GateKind.LOCK: {"before_s": 3 * HOUR, "after_s": 2 * HOUR},
    GateKind.SILL: {"level_m": 1.0},
    GateKind.BAR: {"level_m": 1.0},
    GateKind.BRIDGE: {"level_m": 9.0, "fixed": False},
    GateKind.NARROWS: {"most_rate_mps": 2.0},
}


@pytest.mark.parametrize(("kind", "parts", "around", "lacks"), UNKNOWNS)
def test_whatever_is_not_known_leaves_the_gate_not_known_and_is_named(
    kind: GateKind, parts: dict[str, Any], around: dict[str, Any], lacks: str
) -> None:
    held, where = gate(kind, **(WHOLE[kind] | parts)), setting(**around)

    assert gate_windows_of(held, where, START, START + DAY) is None
    assert lacking(held, where) == lacks


@pytest.mark.parametrize("kind", list(GateKind))
def test_where_nothing_is_lacking_the_windows_are_told(kind: GateKind) -> None:
    held, where = gate(kind, **WHOLE[kind]), setting(stream=stream(1.0))

    assert gate_windows_of(held, where, START, START + DAY) is not None
    assert lacking(held, where) == ""


def test_a_lock_that_lost_the_height_of_its_sill_is_not_known() -> None:
    lost = gate(GateKind.LOCK, before_s=3 * HOUR, after_s=2 * HOUR, level_m=NAN, zero="chart datum")

    assert gate_windows_of(lost, setting(), START, START + DAY) is None
    assert lacking(lost, setting()) == "its height"
