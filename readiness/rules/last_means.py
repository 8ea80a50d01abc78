"""On the last means: required functions in which a group that was built with a spare has none left."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache, partial

import numpy as np
from numpy.typing import NDArray

from readiness.calc.spare_group import reserve_level, spare_groups
from readiness.calc.success_tree import Group, Level, Levels, codes, evaluate
from readiness.rules.circumstances import any_of, circumstances, negated, weighed
from readiness.rules.computed_condition import CONDITIONS
from readiness.rules.facts import Facts
from readiness.rules.function_state import evidence_of, requirement_missing, why
from readiness.rules.judgement import Judgement, Outcome, Outcomes, Rule, Subject, Waive, Words
from readiness.rules.limits import Limits
from readiness.rules.missing import harbour_move, late_arrival_missing
from readiness.rules.passage import Passage
from readiness.rules.put_right import remedies_for
from readiness.rules.record import NOT_KNOWN
from readiness.rules.required import REQUIRED, required
from readiness.rules.state import States, states
from readiness.rules.telling import by_departure, hand_for, listed
from readiness.rules.words_of_trade import Skill
from vessel.calc.wording import number
from vessel.units import Flags

ID, TITLE = "last_means", "On the last means"


@dataclass(frozen=True, eq=False)
class Spare:
    """One group with a spare: whose it is, and at which level it would stand with one member fewer to spare."""

    owner: str  # key of the function, or the helper group that all trees share
    name: str
    group: Group
    reserve: Levels  # [departure]; in service where the leg does not require the function

    def gone(self, worst: Level) -> Flags:
        """Where it has no reserve, [departure], where members up to a level count as working."""
        return np.asarray(self.reserve > worst)


@dataclass(frozen=True, eq=False)
class LastMeans:
    """The count and its answer, [departure]."""

    spares: tuple[Spare, ...]
    number: NDArray[np.int64]
    outcome: Outcomes
    undecided: Flags
    tests_wanted: Flags


COUNTED = (Level.DEGRADED, Level.NOT_PROVED, Level.UNKNOWN)


def last_means(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:  # noqa: ARG001
    """The number of trees without a reserve; a group inside a helper counts once for all trees.

    Source: [practice]
    """
    if facts.leg.harbour_move:
        yield harbour_move(ID, passage, TITLE)
        return
    yield from late_arrival_missing(ID, passage)
    answer = last_means_counted(facts, passage)
    yield Judgement(
        rule=ID,
        cause=("functions", "last means"),
        outcome=answer.outcome,
        demand=answer.number.astype(np.float64),
        limit=0.0,
        unit="functions",
        say=partial(_say, facts, passage, answer),
    )
    yield from requirement_missing(ID, facts, passage, answer.undecided, ("sea_c",))


def last_means_counted(facts: Facts, passage: Passage) -> LastMeans:
    """Spares of every required function and what their number answers; worked out once for the same two."""
    return _counted(facts, passage)


@lru_cache(maxsize=2)
def _counted(facts: Facts, passage: Passage) -> LastMeans:
    held, around = states(facts, passage), circumstances(facts, passage)
    spares = tuple(_spares(facts, passage, held))
    hard = any_of(around.night, negated(around.near), around.cold)
    counts = [_count(spares, worst, passage.departures) for worst in COUNTED]
    ways = [[_graded(count, one) for count in counts] for one in (Outcome.CONDITION, Outcome.ADVICE)]
    outcome, undecided = weighed(hard, _settled(ways[0]), _settled(ways[1]))
    better = [(way[0] > way[1]) & (way[0] > Outcome.ADVICE) for way in ways]
    wanted = np.where(hard != 0.0, better[0], better[1])
    return LastMeans(spares, counts[0], outcome, undecided, wanted)


def _spares(facts: Facts, passage: Passage, held: States) -> Iterator[Spare]:
    shared: dict[tuple[str, Group], Levels] = {}
    for key, function in REQUIRED.items():
        needed = required(facts, passage, key) != 0.0
        for spare in spare_groups(held.trees[key]):
            place = (spare.helper or key, spare.group)
            if place not in shared:
                shared[place] = _reserve(held, spare.group)
            reserve = np.where(needed, shared[place], np.int8(Level.IN_SERVICE)).astype(np.int8)
            yield Spare(place[0], function.name, spare.group, reserve)


def _reserve(held: States, group: Group) -> Levels:
    """Level of the reserve of a group; a condition that is not known is tried both ways and the worse stands."""
    conditions = [held.rows[name] for name in sorted(CONDITIONS.intersection(codes(group)))]
    unsure = (held.level[conditions] == Level.UNKNOWN).any()
    answers = [
        reserve_level(
            group, _settle(held.level, conditions, way), _settle(held.design, conditions, way), held.rows, CONDITIONS
        )
        for way in ((Level.IN_SERVICE, Level.OUT) if unsure else (Level.OUT,))
    ]
    return np.asarray(np.maximum.reduce(answers))


def _settle(levels: Levels, rows: list[int], way: Level) -> Levels:
    if not (levels[rows] == Level.UNKNOWN).any():
        return levels
    settled = levels.copy()
    settled[rows] = np.where(levels[rows] == Level.UNKNOWN, np.int8(way), levels[rows])
    return settled


def _count(spares: tuple[Spare, ...], worst: Level, departures: int) -> NDArray[np.int64]:
    """How many functions, and helpers shared by several, have no reserve somewhere, [departure]."""
    by_owner: dict[str, Flags] = {}
    for spare in spares:
        by_owner[spare.owner] = by_owner.get(spare.owner, np.zeros(departures, bool)) | spare.gone(worst)
    return np.asarray(sum(by_owner.values(), np.zeros(departures, np.int64)))


def _graded(count: NDArray[np.int64], one: Outcome) -> Outcomes:
    ladder = np.array([Outcome.PASSED, one, Outcome.CONDITION, Outcome.NO_GO], np.int8)
    return np.asarray(ladder[np.minimum(count, 3)])


def _settled(by_counting: list[Outcomes]) -> Outcomes:
    """With the tests that are owed done; unknown where one that is unknown would better a condition or worse."""
    _, tested, found = by_counting
    doubtful = (tested > found) & (tested > Outcome.ADVICE)
    return np.where(doubtful, np.int8(Outcome.UNKNOWN), tested).astype(np.int8)


def items_without_reserve(held: States, answer: LastMeans, level: Level) -> Iterator[tuple[str, Flags]]:
    """Items at a level in a group that has no reserve, and where a test of them is wanted, [departure]."""
    for spare in answer.spares:
        for code in codes(spare.group):
            here = (held.level[held.rows[code]] == level) & spare.gone(Level.DEGRADED) & answer.tests_wanted
            if here.any() and code in held.items:
                yield code, here


def _say(facts: Facts, passage: Passage, answer: LastMeans, index: int) -> Words:
    held, count = states(facts, passage), int(answer.number[index])
    gone = [spare for spare in answer.spares if spare.gone(Level.DEGRADED)[index]]
    names = tuple(dict.fromkeys(spare.name for spare in gone))
    sums = (("Functions without a reserve", number(count)),)
    if not gone:
        return Words(title=TITLE, sentence="Every function that was built with a spare still has it.", sums=sums)
    missing = tuple(dict.fromkeys(code for spare in gone for code in _missing(held, spare, index)))
    remedies = tuple(
        sorted(remedies_for(facts, held, missing), key=lambda remedy: np.nan_to_num(remedy.minutes, nan=np.inf))
    )
    return Words(
        title=f"On the last means: {listed(names)}",
        sentence=f"No reserve left: {listed(names)}. {'; '.join(why(held, code) for code in missing[:2])}.",
        do=f"{remedies[0].text}."
        if remedies
        else "Bring back what gives a reserve, or stay nearer to a refuge by day.",
        by=by_departure(passage, index),
        who=hand_for(facts, Skill.ENGINE),
        minutes=remedies[0].minutes if remedies else NOT_KNOWN,
        sums=sums,
        evidence=evidence_of(held, missing),
        remedies=remedies,
    )


def _missing(held: States, spare: Spare, index: int) -> Iterator[str]:
    """Items that keep a fitted member of the group from working."""
    for member in spare.group.members:
        fitted = evaluate(member, held.design, held.rows)[index] == Level.IN_SERVICE
        if fitted and held.of(member)[index] > Level.DEGRADED:
            yield from held.guilty(member, index)


RULE = Rule(
    id=ID,
    title=TITLE,
    subject=Subject.BOAT,
    formula="number of required functions in which an ANY or ATLEAST group built with a spare has no more working than it "
    "needs (degraded counts as working; what is not carried is no member; the shared supply counts once): none passes; "
    "one is a condition by night, away from a refuge or in cold water, else advice; two are a condition; three no-go",
    source="[practice]",
    worst=Outcome.NO_GO,
    judge=last_means,
    limits=("near_m", "cold_sea_c"),
    waive={Outcome.NO_GO: Waive.ONE_LEG, Outcome.CONDITION: Waive.ONE_LEG},
)
