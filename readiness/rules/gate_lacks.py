"""What must be found out before the times of a gate can be told."""

from collections.abc import Callable, Mapping

import numpy as np

from readiness.rules.facts_water import Gate
from readiness.rules.gates import Setting, hours_of, never_opens, zero_m
from readiness.rules.telling import listed
from readiness.rules.words_of_trade import GateKind

Lack = tuple[str, Callable[[Gate, Setting], bool]]

TIDE: Lack = ("the tide there", lambda _gate, setting: setting.tide is None)
ABOUT: Lack = (
    "how long before and after high water it works",
    lambda gate, _: bool(np.isnan(gate.before_s + gate.after_s)),
)
LEVEL: Lack = ("its height", lambda gate, _: bool(np.isnan(gate.level_m)))
ZERO: Lack = (
    "what its height is measured from",
    lambda gate, setting: bool(np.isfinite(gate.level_m) and np.isnan(zero_m(setting.station, gate.zero))),
)
LOCK_SILL: Lack = (LEVEL[0], lambda gate, _: gate.zero is not None and bool(np.isnan(gate.level_m)))
DRAUGHT: Lack = ("her draught", lambda _gate, setting: bool(np.isnan(setting.draught_m)))
SILL_DRAUGHT: Lack = (DRAUGHT[0], lambda gate, setting: bool(np.isfinite(gate.level_m)) and DRAUGHT[1](gate, setting))
OPENS: Lack = ("whether it opens", lambda gate, _: gate.fixed is None)
RATE: Lack = ("the rate up to which it is passed", lambda gate, _: bool(np.isnan(gate.most_rate_mps)))
STREAM: Lack = ("the stream there", lambda _gate, setting: setting.stream is None)
KEEPER: Lack = ("whether a keeper keeps hours", lambda gate, _: gate.keeps_hours is None)
HOURS: Lack = (
    "the keeper's hours and their time zone",
    lambda gate, setting: bool(gate.keeps_hours) and hours_of(gate, setting.zone) is None,
)
AIR_DRAUGHT: Lack = ("her air draught", lambda _gate, setting: bool(np.isnan(setting.air_draught_m)))

KEEPING = (KEEPER, HOURS)
LACKS: Mapping[GateKind, tuple[Lack, ...]] = {
    GateKind.LOCK: (TIDE, ABOUT, LOCK_SILL, ZERO, SILL_DRAUGHT, *KEEPING),
    GateKind.SILL: (TIDE, LEVEL, ZERO, DRAUGHT, *KEEPING),
    GateKind.BAR: (TIDE, LEVEL, ZERO, DRAUGHT, *KEEPING),
    GateKind.BRIDGE: (OPENS, *KEEPING),
    GateKind.NARROWS: (STREAM, RATE, *KEEPING),
}
FIXED_BRIDGE = (TIDE, LEVEL, ZERO, AIR_DRAUGHT)


def lacking(gate: Gate, setting: Setting) -> str:
    """What is not known of it, as words after "not known:"; "" where its times can be told."""
    return lacking_of(FIXED_BRIDGE if never_opens(gate) else LACKS[gate.kind], gate, setting)


def lacking_of(wanted: tuple[Lack, ...], gate: Gate, setting: Setting) -> str:
    """Which of the things wanted are not known, in words."""
    return listed(what for what, missing in wanted if missing(gate, setting))
