"""State of every piece of equipment and of every function, worked out from proof, defects and jobs: never typed.

Levels are [item, departure]. A proof must still be good at the late arrival; where that cannot be told, at departure
(the rules say separately that the late arrival is missing). What is not carried counts as out, but is no spare.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from readiness.calc.success_tree import Leaf, Level, Levels, Tree, codes, culprits, evaluate, parse, written_out
from readiness.rules.circumstances import circumstances, holds, somewhere
from readiness.rules.facts import Facts
from readiness.rules.facts_boat import Defect, Equipment, Job, Reading
from readiness.rules.judgement import Outcome, graded
from readiness.rules.missing import late_at
from readiness.rules.passage import Passage
from readiness.rules.record import NOT_KNOWN, Array, epoch
from readiness.rules.words_of_trade import Effect, GateKind, JobStatus, Kind
from vessel.errors import BadInput
from vessel.units import Flags

NEAR, NO_LOCK, ENGINE_SPACE = "near_ok", "no_lock_ok", "engine_space_ok"
CONDITIONS = frozenset({NEAR, NO_LOCK, ENGINE_SPACE})
ENGINE_SPACE_LIMIT_C = 60.0  # warmest engine space in which she may run without the fan [own]
RISE_WITHOUT_FAN = 1.5  # how much more the engine space warms up without the fan, where nobody measured it [own]

LEVEL_OF_EFFECT = {Effect.NONE: Level.IN_SERVICE, Effect.DEGRADES: Level.DEGRADED, Effect.DISABLES: Level.OUT}
LEVEL_OF_STATUS = {
    JobStatus.IDEA: Level.IN_SERVICE,
    JobStatus.PLANNED: Level.IN_SERVICE,
    JobStatus.PARTS_WAITING: Level.OUT,
    JobStatus.READY: Level.IN_SERVICE,
    JobStatus.IN_HAND: Level.OUT,
    JobStatus.DONE_UNTESTED: Level.NOT_PROVED,
    JobStatus.PROVED: Level.IN_SERVICE,
    JobStatus.DROPPED: Level.IN_SERVICE,
}
OPEN_STATUS = frozenset({JobStatus.IN_HAND, JobStatus.PARTS_WAITING, None})
PROOF_LEVEL = np.array([Level.IN_SERVICE, Level.OUT, Level.NOT_PROVED, Level.UNKNOWN, Level.OUT], np.int8)  # by outcome


@dataclass(frozen=True, slots=True)
class Reason:
    """One thing that holds an item below in service. `kind`: "defect", "job", "carried", "list" or "proof"."""

    level: Level
    kind: str
    key: str
    words: str


@dataclass(frozen=True, eq=False)
class States:
    """Rows are the equipment, then the computed conditions, then what trees name and nobody lists."""

    rows: dict[str, int]
    items: dict[str, Equipment]
    level: Levels  # [row, departure]
    once_tested: Levels  # [row, departure] had every test that is owed come out well
    design: Levels  # [row, departure] with all that is carried in service
    reasons: dict[str, tuple[Reason, ...]]  # by code, without those that only a proof's age gives
    trees: dict[str, Tree]  # by key of the function, helpers written out

    def of(self, tree: Tree) -> Levels:
        """Level of a tree, [departure]."""
        return evaluate(tree, self.level, self.rows)

    def best(self, tree: Tree, *, unknown_conditions: bool = True) -> Levels:
        """Level of a tree once every test owed came out well; optionally also with unknown conditions met."""
        if unknown_conditions:
            return evaluate(tree, self.once_tested, self.rows)
        return evaluate(tree, self.conditions_met(self.once_tested), self.rows)

    def conditions_met(self, levels: Levels) -> Levels:
        """The levels with every condition that is not known taken as met."""
        met = levels.copy()
        rows = [self.rows[name] for name in CONDITIONS]
        met[rows] = np.where(levels[rows] == Level.UNKNOWN, np.int8(Level.IN_SERVICE), levels[rows])
        return met

    def guilty(self, tree: Tree, index: int) -> tuple[str, ...]:
        """Codes of equipment that hold a tree below in service at one departure."""
        found = culprits(tree, self.level[:, index : index + 1], self.rows)
        return tuple(code for code, here in found.items() if here[0] and code not in CONDITIONS)

    def item(self, code: str) -> Levels:
        """Level of one item, [departure]; unknown for one that nobody lists."""
        row = self.rows.get(code)
        return self.level[row] if row is not None else np.full(self.level.shape[1], Level.UNKNOWN, np.int8)

    def item_once_tested(self, code: str) -> Levels:
        """Level of one item had its test come out well, [departure]."""
        row = self.rows.get(code)
        return self.once_tested[row] if row is not None else np.full(self.level.shape[1], Level.UNKNOWN, np.int8)

    def of_kind(self, *kinds: Kind) -> tuple[Equipment, ...]:
        """Equipment of some kinds, in the order of the list."""
        return tuple(item for item in self.items.values() if item.kind in kinds)

    def name(self, code: str) -> str:
        """What an item is called."""
        return self.items[code].name if code in self.items else code


def states(facts: Facts, passage: Passage) -> States:
    """The states for these facts and this passage; worked out once for the same two."""
    return _states(facts, passage)


@lru_cache(maxsize=2)
def _states(facts: Facts, passage: Passage) -> States:
    trees = _trees(facts)
    listed = [item.code for item in facts.boat.equipment]
    named = (code for tree in trees.values() for code in codes(tree))
    rows = {code: row for row, code in enumerate(dict.fromkeys([*listed, *sorted(CONDITIONS), *named]))}
    items = {item.code: item for item in facts.boat.equipment}
    reasons = {code: tuple(_reasons(facts, code)) for code in rows if code not in CONDITIONS}
    level, once_tested = (np.zeros((len(rows), passage.departures), np.int8) for _ in range(2))
    for code, found in reasons.items():
        level[rows[code]] = max((reason.level for reason in found), default=Level.IN_SERVICE)
        firm = (reason.level for reason in found if reason.level != Level.NOT_PROVED)
        once_tested[rows[code]] = max(firm, default=Level.IN_SERVICE)
    proved, proved_rows = _proof_levels(facts, passage), [rows[code] for code in items]
    level[proved_rows] = np.maximum(level[proved_rows], proved)
    once_tested[proved_rows] = np.maximum(
        once_tested[proved_rows], np.where(proved == Level.NOT_PROVED, np.int8(0), proved)
    )
    for name, answer in _conditions(facts, passage).items():
        level[rows[name]] = once_tested[rows[name]] = condition_level(answer)
    return States(rows, items, level, once_tested, _design(rows, items, level), reasons, trees)


def condition_level(answer: Array) -> Levels:
    """Level of a computed condition: in service where it is met, out where it is not."""
    known = np.where(answer == 1.0, np.int8(Level.IN_SERVICE), np.int8(Level.OUT))
    return np.where(np.isnan(answer), np.int8(Level.UNKNOWN), known).astype(np.int8)


def fresh(facts: Facts, reading: Reading, passage: Passage) -> Array:
    """A reading at each departure, NaN where it is not known, undated, dated ahead or older than it keeps."""
    taken, now = epoch(reading.at), facts.judged_at.timestamp()
    age = np.where(taken <= now, passage.departure_at - taken, np.nan)
    keeps = graded(age, (np.greater, reading.keeps_s, Outcome.UNKNOWN)) == Outcome.PASSED
    return np.where(keeps, reading.value, np.nan)


def on_supply(facts: Facts, tree: Tree) -> bool:
    """Whether any part of a tree hangs on the ship's electrical supply, or on a feed that nobody lists."""
    items = {item.code: item for item in facts.boat.equipment}
    return any(_on_supply(items, code, frozenset()) for code in codes(tree) if code not in CONDITIONS)


SUPPLY = frozenset({Kind.MAIN_PANEL, Kind.PANEL, Kind.CONVERTER, Kind.SHIP_BANK})
OWN_STORE = frozenset({Kind.CRANK_BATTERY, Kind.BOOSTER})  # does not fail with what charges it


def _on_supply(items: dict[str, Equipment], code: str, seen: frozenset[str]) -> bool:
    item = items.get(code)
    if item is None or item.kind in SUPPLY:
        return True
    feeds = () if item.kind in OWN_STORE or code in seen else item.fed_by
    return any(_on_supply(items, feed, seen | {code}) for feed in feeds)


def _trees(facts: Facts) -> dict[str, Tree]:
    """Every function's tree; one that cannot be read is a single leaf that nobody lists, so it is unknown."""
    read: dict[str, Tree] = {}
    for function in facts.boat.functions:
        try:
            tree = parse(function.tree)
        except BadInput:
            tree = Leaf(unreadable(function.key))
        read[function.key] = Leaf(unreadable(function.key)) if function.key in read else tree
    helpers = {function.key: read[function.key] for function in facts.boat.functions if function.is_group}
    return {key: _whole(key, tree, helpers) for key, tree in read.items()}


def unreadable(key: str) -> str:
    """The code that stands for a tree that cannot be read."""
    return f"tree of {key}"


def _whole(key: str, tree: Tree, helpers: dict[str, Tree]) -> Tree:
    try:
        return written_out(tree, {name: helper for name, helper in helpers.items() if name != key})
    except BadInput:
        return Leaf(unreadable(key))


def _reasons(facts: Facts, code: str) -> Iterator[Reason]:
    listed = [item for item in facts.boat.equipment if item.code == code]
    if not listed:
        yield Reason(Level.UNKNOWN, "list", code, f"{code} is not on the equipment list")
        return
    if len(listed) > 1:
        yield Reason(Level.UNKNOWN, "list", code, f"{code} is on the equipment list {len(listed)} times")
    if any(item.carried is None for item in listed):
        yield Reason(Level.UNKNOWN, "carried", code, "nobody has said whether it is carried")
    if any(item.carried is False for item in listed):
        yield Reason(Level.OUT, "carried", code, "it is not carried")
    yield from _proof_reasons(listed)
    if facts.boat.defects is None:
        yield Reason(Level.UNKNOWN, "list", "defects", "the list of defects is missing")
    if facts.boat.jobs is None:
        yield Reason(Level.UNKNOWN, "list", "jobs", "the list of jobs is missing")
    for defect in facts.boat.defects or ():
        yield from _defect_reason(defect, code)
    for job in facts.boat.jobs or ():
        yield from _job_reason(job, code)


def _proof_reasons(listed: list[Equipment]) -> Iterator[Reason]:
    if any(item.proved_at is None for item in listed):
        yield Reason(Level.UNKNOWN, "proof", "", "it has never been proved")
    if any(np.isnan(item.keeps_s) for item in listed):
        yield Reason(Level.UNKNOWN, "proof", "", "nobody has said how long its proof keeps")


def _defect_reason(defect: Defect, code: str) -> Iterator[Reason]:
    if defect.equipment != code:
        return
    if defect.effect is None:
        words = f"nobody has said what {defect.key} ({defect.title}) takes from it"
        yield Reason(Level.UNKNOWN, "defect", defect.key, words)
    elif defect.effect != Effect.NONE:
        limit = f", {defect.limit}" if defect.limit else ""
        yield Reason(LEVEL_OF_EFFECT[defect.effect], "defect", defect.key, f"{defect.title}{limit}")


def _job_reason(job: Job, code: str) -> Iterator[Reason]:
    level = Level.UNKNOWN if job.status is None else LEVEL_OF_STATUS[job.status]
    only_opened = code == job.opens_equipment and code not in job.takes_out
    if level == Level.IN_SERVICE or (code not in job.takes_out and not only_opened):
        return
    if only_opened and level == Level.OUT:
        return
    status = "nobody has said how far the job is" if job.status is None else str(job.status)
    yield Reason(level, "job", job.key, f"{job.title}: {status}")


def _proof_levels(facts: Facts, passage: Passage) -> Levels:
    """Level by age of proof alone, [item, departure]; the last of several entries of one code stands here."""
    items = {item.code: item for item in facts.boat.equipment}
    now, late = facts.judged_at.timestamp(), late_at(passage)
    until = np.where(np.isnan(late), passage.departure_at, late)
    proved = np.array([[epoch(item.proved_at)] for item in items.values()]).reshape(-1, 1)
    keeps = np.array([[item.keeps_s] for item in items.values()]).reshape(-1, 1)
    age = np.where(proved <= now, until - proved, np.nan)
    return np.asarray(PROOF_LEVEL[graded(age, (np.greater, keeps, Outcome.CONDITION))])


def _conditions(facts: Facts, passage: Passage) -> dict[str, Array]:
    """The computed conditions, three-valued, [departure]."""
    return {
        NEAR: circumstances(facts, passage).near,
        NO_LOCK: np.full(passage.departures, _no_lock(facts)),
        ENGINE_SPACE: engine_space_ok(facts, passage),
    }


def engine_space_ok(facts: Facts, passage: Passage) -> Array:
    """Whether the engine space stays cool enough without the fan on every step, three-valued.

    Source: [own]
    """
    rise = fresh(facts, facts.boat.engine_space_rise_k, passage)
    warmest = passage.weather.air_c + RISE_WITHOUT_FAN * rise[:, None]
    too_hot = somewhere(np.greater, warmest, ENGINE_SPACE_LIMIT_C)
    return np.asarray(1.0 - too_hot)


def _no_lock(facts: Facts) -> float:
    """Whether no lock and no sill is on the route, three-valued: places and gates must all be known."""
    ends = (facts.leg.departure_place, facts.leg.arrival_place)
    places = {place.key: place for place in facts.water.places}
    gates = {gate.key: gate.kind for gate in facts.water.gates}
    met = {key for place in ends if place in places for key in places[place].gates}
    met |= {point.gate for point in facts.leg.points if point.gate is not None}
    if any(gates.get(key) in {GateKind.LOCK, GateKind.SILL} for key in met):
        return 0.0
    return 1.0 if met <= gates.keys() and all(place in places for place in ends) else NOT_KNOWN


def _design(rows: dict[str, int], items: dict[str, Equipment], level: Levels) -> Levels:
    """Everything that is carried in service; conditions as they are."""
    design = np.zeros_like(level)
    for code, row in rows.items():
        if code in CONDITIONS:
            design[row] = level[row]
        elif code in items and items[code].carried is False:
            design[row] = Level.OUT
    return design


def where_level(levels: Levels, *wanted: Level) -> Flags:
    """Where a level is one of some."""
    answer: NDArray[np.bool_] = np.isin(levels, [int(level) for level in wanted])
    return answer


def condition_met(answer: Array) -> Flags:
    """Where a three-valued answer is surely true."""
    return np.asarray(holds(np.equal, answer, 1.0) == 1.0)
