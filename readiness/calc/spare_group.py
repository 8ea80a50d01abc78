"""What a success tree says of spares: groups that have none left, and the single or few losses that end it."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations, product
from math import comb

import numpy as np

from readiness.calc.success_tree import Group, Leaf, Level, Levels, Rows, Tree, codes, evaluate

MOST_SETS = 100_000  # sets weighed at once; a tree that asks for more is not one of a small vessel [own]


@dataclass(frozen=True, slots=True)
class SpareGroup:
    """A group that needs fewer than it has members, and the innermost helper group it lies in ("" for none)."""

    group: Group
    helper: str


def spare_groups(tree: Tree, helper: str = "") -> Iterator[SpareGroup]:
    """Every ANY or ATLEAST group of the tree with more members than it needs."""
    if isinstance(tree, Leaf):
        return
    inside = tree.helper or helper
    if not tree.needs_all:
        yield SpareGroup(tree, inside)
    for member in tree.members:
        yield from spare_groups(member, inside)


def reserve_level(group: Group, levels: Levels, design: Levels, rows: Rows, conditions: frozenset[str]) -> Levels:
    """Level of a group had it to give up one more member than it can spare now, `[departure]`.

    What counts only members up to some level finds the group without a reserve where this is worse than that level.
    `design[item, departure]`: the level with everything that is fitted in service, and what is not carried, or a
    condition that does not hold, out. A member that cannot work even so, or that is only a condition, is none; where
    no more are fitted than the group needs it was never built with a spare, and this is in service.

    Source: [practice]
    """
    real = [member for member in group.members if not conditions.issuperset(codes(member))]
    if len(real) <= group.need:
        return np.zeros(levels.shape[1:], np.int8)
    fitted = np.array([evaluate(member, design, rows) == Level.IN_SERVICE for member in real])
    stand = np.array([evaluate(member, levels, rows) for member in real])
    spare = np.sort(np.where(fitted, stand, np.int8(Level.OUT)), axis=0)[group.need]
    return np.where(fitted.sum(axis=0) > group.need, spare, np.int8(Level.IN_SERVICE)).astype(np.int8)


def single_points(tree: Tree) -> tuple[str, ...]:
    """Codes whose loss alone ends the function, in reading order."""
    names = codes(tree)
    rows = {name: row for row, name in enumerate(names)}
    lost_in_turn = np.where(np.eye(len(names), dtype=bool), np.int8(Level.OUT), np.int8(Level.IN_SERVICE))
    ended = evaluate(tree, lost_in_turn, rows) == Level.OUT
    return tuple(name for name, over in zip(names, ended, strict=True) if over)


def cut_sets(tree: Tree, order: int = 3) -> tuple[frozenset[str], ...]:
    """The smallest sets of codes, up to `order` together, whose loss ends the function; sorted by size and name.

    A set that is too large is left out, not cut short. Raises ValueError for a tree with too many ways to fail.
    """
    return tuple(sorted(_cut_sets(tree, order), key=lambda one: (len(one), sorted(one))))


def _cut_sets(tree: Tree, order: int) -> set[frozenset[str]]:
    if isinstance(tree, Leaf):
        return {frozenset([tree.code])}
    must_fail = len(tree.members) - tree.need + 1
    of_members = [_cut_sets(member, order) for member in tree.members]
    if comb(len(of_members), must_fail) * max(1, *map(len, of_members)) ** min(must_fail, order) > MOST_SETS:
        raise ValueError("This tree has too many ways to fail for its cut sets to be listed.")
    found = {
        together
        for failing in combinations(of_members, must_fail)
        for together in _joined(failing, order)
    }  # fmt: skip
    return smallest(found)


def _joined(failing: tuple[set[frozenset[str]], ...], order: int) -> Iterator[frozenset[str]]:
    """One cut set of each, put together, where no more than `order` codes result."""
    so_far: set[frozenset[str]] = {frozenset()}
    for sets in failing:
        so_far = {left | right for left, right in product(so_far, sets) if len(left | right) <= order}
    yield from so_far


def smallest(sets: set[frozenset[str]]) -> set[frozenset[str]]:
    """The sets that hold no other."""
    kept: set[frozenset[str]] = set()
    for one in sorted(sets, key=len):
        if not any(other <= one for other in kept):
            kept.add(one)
    return kept
