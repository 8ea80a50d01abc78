"""State of every piece of equipment and of every function, worked out from proof, defects and jobs: never typed.

Levels are [item, departure]. A proof must still be good at the late arrival; where that cannot be told, at departure
(the rules say separately that the late arrival is missing). What is not carried counts as out, but is no spare.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from readiness.calc.success_tree import Leaf, Level, Levels, Rows, Tree, codes, culprits, evaluate, parse, written_out
from readiness.rules.computed_condition import CONDITIONS, computed_conditions, condition_level
from readiness.rules.facts import Facts
from readiness.rules.facts_boat import Equipment
from readiness.rules.judgement import Outcome, graded
from readiness.rules.missing import late_at
from readiness.rules.passage import Passage
from readiness.rules.reason import Reason, Reasons, reasons
from readiness.rules.record import epoch
from readiness.rules.words_of_trade import Kind
from vessel.errors import BadInput

PROOF_LEVEL = np.array([Level.IN_SERVICE, Level.OUT, Level.NOT_PROVED, Level.UNKNOWN, Level.OUT], np.int8)  # by outcome
FUNCTIONS = (
    "keep_water_out", "get_water_out", "drive", "start", "steer", "electricity", "position", "be_seen", "raise_alarm",
    "distress_by_sight", "hold_ground", "fire_and_gas", "air_and_heat", "leave_ship", "keep_aboard", "moor",
)  # fmt: skip
AUTOPILOT = "autopilot"


@dataclass(frozen=True, eq=False)
class States:
    """Rows are the equipment, then the computed conditions, then what trees name and nobody lists."""

    rows: Rows
    items: dict[str, Equipment]
    level: Levels  # [row, departure]
    once_tested: Levels  # [row, departure] had every test that is owed come out well
    design: Levels  # [row, departure] with all that is carried in service
    reasons: Reasons
    trees: dict[str, Tree]  # by key of the function, helpers written out; an unknown leaf for one that is missing

    def of(self, tree: Tree) -> Levels:
        """Level of a tree, [departure]."""
        return evaluate(tree, self.level, self.rows)

    def best(self, tree: Tree) -> Levels:
        """Level of a tree had every test that is owed come out well, [departure]."""
        return evaluate(tree, self.once_tested, self.rows)

    def guilty(self, tree: Tree, index: int) -> tuple[str, ...]:
        """Codes of equipment that hold a tree below in service at one departure."""
        found = culprits(tree, self.level[:, index : index + 1], self.rows)
        return tuple(code for code, here in found.items() if here[0] and code not in CONDITIONS)

    def of_kind(self, *kinds: Kind) -> tuple[Equipment, ...]:
        """Equipment of some kinds, in the order of the list."""
        return tuple(item for item in self.items.values() if item.kind in kinds)

    def name(self, code: str) -> str:
        """What an item is called."""
        return self.items[code].name if code in self.items else code

    def worst_reason(self, code: str) -> Reason | None:
        """The worst thing that holds an item below in service; None where only the age of its proof does."""
        return max(self.reasons.get(code, ()), key=lambda reason: reason.level, default=None)


def states(facts: Facts, passage: Passage) -> States:
    """The states for these facts and this passage; worked out once for the same two."""
    return _states(facts, passage)


def conditions_met(held: States, levels: Levels) -> Levels:
    """The levels with every computed condition that is not known taken as met."""
    met, rows = levels.copy(), [held.rows[name] for name in sorted(CONDITIONS)]
    met[rows] = np.where(levels[rows] == Level.UNKNOWN, np.int8(Level.IN_SERVICE), levels[rows])
    return met


def unreadable(key: str) -> str:
    """The code that stands for a tree that is missing or cannot be read."""
    return f"tree of {key}"


@lru_cache(maxsize=2)
def _states(facts: Facts, passage: Passage) -> States:
    trees, items = _trees(facts), {item.code: item for item in facts.boat.equipment}
    named = (code for tree in trees.values() for code in codes(tree))
    rows = {code: row for row, code in enumerate(dict.fromkeys([*items, *sorted(CONDITIONS), *named]))}
    found = reasons(facts, (code for code in rows if code not in CONDITIONS))
    proved = np.zeros((len(rows), passage.departures), np.int8)
    proved[: len(items)] = _proof_levels(facts, items, passage)
    level = np.maximum(proved, _standing(rows, found))
    tested = np.where(proved == Level.NOT_PROVED, np.int8(Level.IN_SERVICE), proved)
    once_tested = np.maximum(tested, _standing(rows, found, without=Level.NOT_PROVED))
    for name, answer in computed_conditions(facts, passage).items():
        level[rows[name]] = once_tested[rows[name]] = condition_level(answer)
    return States(rows, items, level, once_tested, _design(rows, items, level), found, trees)


def _standing(rows: Rows, found: Reasons, without: Level | None = None) -> Levels:
    """The worst of the reasons of each row, [row, 1]."""
    levels = np.zeros((len(rows), 1), np.int8)
    for code, held in found.items():
        counted = (reason.level for reason in held if reason.level != without)
        levels[rows[code]] = max(counted, default=Level.IN_SERVICE)
    return levels


def _proof_levels(facts: Facts, items: dict[str, Equipment], passage: Passage) -> Levels:
    """Level by age of proof alone, [item, departure]; a proof dated ahead of the judging is not believed."""
    now, late = facts.judged_at.timestamp(), late_at(passage)
    until = np.where(np.isnan(late), passage.departure_at, late)
    proved = np.array([epoch(item.proved_at) for item in items.values()]).reshape(-1, 1)
    keeps = np.array([item.keeps_s for item in items.values()], np.float64).reshape(-1, 1)
    age = np.where(proved <= now, until - proved, np.nan)
    return np.asarray(PROOF_LEVEL[graded(age, (np.greater, keeps, Outcome.CONDITION))])


def _trees(facts: Facts) -> dict[str, Tree]:
    """Every function's tree; one that cannot be read, or is given twice, is a leaf that nobody lists."""
    read: dict[str, Tree] = {}
    for function in facts.boat.functions:
        twice = function.key in read
        read[function.key] = Leaf(unreadable(function.key)) if twice else _parsed(function.key, function.tree)
    helpers = {function.key: read[function.key] for function in facts.boat.functions if function.is_group}
    missing = {key: Leaf(unreadable(key)) for key in (*FUNCTIONS, AUTOPILOT) if key not in read}
    return missing | {key: _whole(key, tree, helpers) for key, tree in read.items()}


@lru_cache(maxsize=256)  # trees change seldom
def _parsed(key: str, text: str) -> Tree:
    try:
        return parse(text)
    except BadInput:
        return Leaf(unreadable(key))


def _whole(key: str, tree: Tree, helpers: dict[str, Tree]) -> Tree:
    try:
        return written_out(tree, helpers)
    except BadInput:
        return Leaf(unreadable(key))


def _design(rows: Rows, items: dict[str, Equipment], level: Levels) -> Levels:
    """Everything that is carried in service; conditions as they are."""
    design = np.zeros_like(level)
    for code, row in rows.items():
        if code in CONDITIONS:
            design[row] = level[row]
        elif code in items and items[code].carried is False:
            design[row] = Level.OUT
    return design
