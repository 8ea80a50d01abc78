"""Counting independent means: how many ways of doing one thing work, and whether one of them is off the ship's supply.

In service and degraded count. Where one that is not proved would better the answer, the answer is the test it owes;
where one that is unknown would, the answer is unknown.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from readiness.calc.success_tree import Group, Leaf, Level, Levels, Tree, culprits, links
from readiness.rules.circumstances import weighed
from readiness.rules.facts import Facts
from readiness.rules.judgement import Outcome, Outcomes
from readiness.rules.record import Array
from readiness.rules.state import States
from readiness.rules.supply import on_supply
from vessel.units import Counts, Flags


@dataclass(frozen=True, eq=False)
class Means:
    """The means of one function and the level of each."""

    members: tuple[Tree, ...]
    independent: Flags  # [member]
    level: Levels  # [member, departure]

    def working(self, worst: Level = Level.DEGRADED) -> Flags:
        """Which count, [member, departure]."""
        return np.asarray(self.level <= worst)

    def number(self, worst: Level = Level.DEGRADED) -> Counts:
        """How many count, [departure]."""
        return np.asarray(self.working(worst).sum(axis=0), np.int64)

    def any_independent(self, worst: Level = Level.DEGRADED) -> Flags:
        """Whether one that counts is off the ship's supply, [departure]."""
        return np.asarray((self.working(worst) & self.independent[:, None]).any(axis=0))


@dataclass(frozen=True, eq=False)
class Counted:
    """The answer of a count, [departure]."""

    outcome: Outcomes
    undecided: Flags  # the circumstances that would decide are not known
    tests_wanted: Flags  # a test that is owed would better the answer


Grade = Callable[[Counts, Flags], Outcomes]  # how many count, one of them independent -> outcome


def means_of(facts: Facts, held: States, key: str) -> Means:
    """The members that a function's tree counts: of its first ATLEAST group, else its first ANY, else the whole."""
    members = counted_group(held.trees[key])
    return Means(
        members=members,
        independent=np.array([not on_supply(facts, member) for member in members]),
        level=np.array([held.of(member) for member in members]),
    )


def counted_group(tree: Tree) -> tuple[Tree, ...]:
    """Members of the first group that counts several, in reading order."""
    groups = [link for link in links(tree) if isinstance(link, Group)]
    several = next((group for group in groups if group.need > 1), next(iter(groups), None))
    return several.members if several is not None else (tree,)


def counted(means: Means, easy: Array, grade_easy: Grade, grade_hard: Grade) -> Counted:
    """The outcome of a count by three-valued circumstances, each grade for its own."""
    answers = [_settled(means, grade) for grade in (grade_easy, grade_hard)]
    outcome, undecided = weighed(easy, answers[0][0], answers[1][0])
    wanted = np.where(easy == 1.0, answers[0][1], np.where(easy == 0.0, answers[1][1], answers[0][1] | answers[1][1]))
    return Counted(outcome, undecided, wanted)


def two_and_one_independent(means: Means, easy: Array) -> Counted:
    """Two means of which one is independent pass; fewer are a condition in easy circumstances, else no-go."""
    return counted(means, easy, _grade(Outcome.CONDITION), _grade(Outcome.NO_GO))


def at_least_one(means: Means) -> Counted:
    """One means will do."""
    alone = _alone
    return counted(means, np.ones(means.level.shape[1]), alone, alone)


def items_behind(held: States, means: Means, level: Level) -> Iterator[tuple[str, Flags]]:
    """Items that hold a member at a level, and where, [departure]."""
    for member, stands in zip(means.members, means.level, strict=True):
        for code, here in culprits(member, held.level, held.rows).items():
            behind = here & (stands == level)
            if behind.any():
                yield code, behind


def _grade(fewer: Outcome) -> Grade:
    def grade(number: Counts, independent: Flags) -> Outcomes:
        enough = (number >= 2) & independent
        left = np.where(number == 0, np.int8(Outcome.NO_GO), np.int8(fewer))
        return np.where(enough, np.int8(Outcome.PASSED), left).astype(np.int8)

    return grade


def _alone(number: Counts, independent: Flags) -> Outcomes:  # noqa: ARG001
    return np.where(number >= 1, np.int8(Outcome.PASSED), np.int8(Outcome.NO_GO)).astype(np.int8)


def _settled(means: Means, grade: Grade) -> tuple[Outcomes, NDArray[np.bool_]]:
    working, tested, found = (
        grade(means.number(worst), means.any_independent(worst))
        for worst in (Level.DEGRADED, Level.NOT_PROVED, Level.UNKNOWN)
    )
    outcome = np.where(tested > found, np.int8(Outcome.UNKNOWN), tested).astype(np.int8)
    return outcome, np.asarray(working > tested)


def is_part_of(tree: Tree, whole: tuple[Tree, ...]) -> bool:
    """Whether every code of a tree is in some members."""
    return set(_codes(tree)) <= {code for member in whole for code in _codes(member)}


def _codes(tree: Tree) -> Iterator[str]:
    if isinstance(tree, Leaf):
        yield tree.code
    else:
        for member in tree.members:
            yield from _codes(member)
