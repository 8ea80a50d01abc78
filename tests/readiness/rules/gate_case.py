"""A gate and what stands about it, made up for the tests of gates."""

from typing import Any

import numpy as np
from msgspec.structs import replace

from readiness.calc.tidal_stream import Stream
from readiness.calc.tide import TideTable
from readiness.calc.window import Windows
from readiness.rules.facts_water import Gate, Level, Station
from readiness.rules.gates import Setting, gate_windows_of
from readiness.rules.passage import Tide
from readiness.rules.words_of_trade import GateKind
from tests.factories.worked_water import gate as any_gate
from tests.factories.worked_water import tide_station
from vessel.units import DAY, HOUR, KNOT, Array

NAN = float("nan")
START = 1000 * DAY
HIGH = START + np.array([-6.2, 6.2, 18.6, 31.0]) * HOUR


def station(**parts: Any) -> Station:
    return replace(tide_station(), **({"levels": (Level(name="mean high water springs", height_m=4.5),)} | parts))


def tide() -> Tide:
    """Rises and falls by straight lines between 1 m and 5 m: a metre in 1.55 h."""
    at = np.sort(np.concatenate([HIGH, HIGH + 6.2 * HOUR, HIGH[:1] - 6.2 * HOUR]))
    high = np.isin(at, HIGH)
    height = np.where(high, 5.0, 1.0)
    return Tide(
        height=lambda when: np.interp(np.asarray(when, float), at, height, left=np.nan, right=np.nan),
        events=TideTable(at, height, high),
    )


def gate(kind: GateKind, **parts: Any) -> Gate:
    held = any_gate("gate", "Gate", kind, "morrowick")
    without_sill = kind == GateKind.LOCK and np.isnan(parts.get("level_m", NAN))
    return replace(held, **({"keeps_hours": False, "zero": None if without_sill else "chart datum"} | parts))


def setting(**parts: Any) -> Setting:
    fields: dict[str, Any] = {
        "draught_m": 1.2, "air_draught_m": 3.0, "under_keel_m": 0.3, "zone": "Europe/Lisbon", "station": station(),
        "tide": tide(), "stream": None,
    }  # fmt: skip
    return Setting(**(fields | parts))


def windows(held: Gate, where: Setting, start: float = START, end: float = START + DAY) -> Windows:
    found = gate_windows_of(held, where, start, end)
    assert found is not None
    return found


def risen_to(height_m: float) -> float:
    """Seconds before high water at which the tide has risen to a height."""
    return (5.0 - height_m) / 4.0 * 6.2 * HOUR


def stream(*rates_kn: float, every_s: float = HOUR) -> Stream:
    """Toward the east and back in turn."""
    signs: Array = np.where(np.arange(len(rates_kn)) % 2, -1.0, 1.0)
    return Stream(
        START + every_s * np.arange(float(len(rates_kn))), np.array(rates_kn) * KNOT * signs, np.zeros(len(rates_kn)),
        START + every_s * len(rates_kn),
    )  # fmt: skip
