"""What a rule answers with: one judgement per cause, for every departure at once, and the words for one of them.

Outcomes, worst last: passed, advice, condition, unknown, no-go. `max` over the judgements is the verdict.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from enum import IntEnum, StrEnum
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from readiness.rules.record import NOT_KNOWN
from vessel.units import Flags, Floats

if TYPE_CHECKING:
    from readiness.rules.facts import Facts
    from readiness.rules.limits import Limits
    from readiness.rules.passage import Passage


class Outcome(IntEnum):
    """The answer of one rule, worst last."""

    PASSED = 0
    ADVICE = 1
    CONDITION = 2
    UNKNOWN = 3
    NO_GO = 4


class Verdict(IntEnum):
    """The answer for one departure, worst last."""

    GO = 0
    GO_IF = 1
    CANNOT_SAY_YET = 2
    NO_GO = 3


class Outlook(IntEnum):
    """What the same facts would give if everything that settles itself came out well. Never a verdict."""

    GOOD = 0
    FAIR = 1
    POOR = 2


class Subject(StrEnum):
    """The row of the departure picture a rule belongs to."""

    WATER = "Water"
    WEATHER = "Weather"
    DAYLIGHT = "Daylight"
    BOAT = "Boat"
    PEOPLE = "People"
    STORES = "Stores"
    PAPERS = "Papers"


class Waive(StrEnum):
    """How far a skipper may take a finding on himself in writing. Unknown is never waived."""

    NEVER = "never"
    ONE_LEG = "for one leg"
    UNTIL_DATE = "until a date, 90 days or haul-out at most"


Outcomes = NDArray[np.int8]
Cause = tuple[str, str]  # ("equipment", "ST-05"), ("forecast", ""), ("gate", "morrowick-lock")
Evidence = tuple[str, str]  # ("defect", "DEF-2"): where the fact behind it can be seen


@dataclass(frozen=True, slots=True)
class Remedy:
    """One real change and its cost; `change` gives the facts as they would then stand."""

    kind: str  # "test", "job", "hand", "load", "reading", "message"
    text: str
    change: Callable[["Facts"], "Facts"]
    minutes: float = NOT_KNOWN
    hands: int = 1


@dataclass(frozen=True, slots=True)
class Words:
    """One judgement at one departure, in words a skipper can read aloud."""

    title: str
    sentence: str
    do: str = ""
    by: float = NOT_KNOWN  # UTC seconds: when it must be done
    who: str = ""
    minutes: float = NOT_KNOWN
    sums: tuple[tuple[str, str], ...] = ()
    evidence: tuple[Evidence, ...] = ()
    remedies: tuple[Remedy, ...] = ()
    margin: str = ""  # how far from the limit, in plain units, rounded toward it
    lack: tuple[str, tuple[str, ...]] = ("", ())  # why a forecast does not help, and what of it lacks


@dataclass(frozen=True, slots=True)
class Judgement:
    """One rule on one cause, for every departure at once.

    Arrays are [departure]. `demand` and `limit` are in `unit`, NaN where not known. `ripens` marks departures at
    which an unknown or a condition settles itself before the time comes; the outlook sets it aside there.
    `never_waived` marks outcomes that this cause may never have waived, beyond what the rule says. `starved` marks
    departures at which nothing but `starved_by` is missing: there it is told under the finding of that.
    """

    rule: str
    cause: Cause
    outcome: Outcomes
    demand: Floats
    limit: Floats
    unit: str
    say: Callable[[int], Words]
    ripens: Flags | bool = False
    applies: Flags | bool = True
    never_waived: Flags | bool = False
    starved_by: Cause | None = None
    starved: Flags | bool = False


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule of the engine and what its page in docs/rules.md says of it."""

    id: str
    title: str
    subject: Subject
    formula: str
    source: str  # keys of docs/sources.md, "[practice]"
    worst: Outcome  # the worst answer it can give: weighs it in the score
    judge: Callable[["Facts", "Passage", "Limits"], Iterator[Judgement]]
    limits: tuple[str, ...] = ()  # names in Limits it reads
    waive: Mapping[Outcome, Waive] = field(
        default_factory=lambda: {Outcome.NO_GO: Waive.NEVER, Outcome.CONDITION: Waive.ONE_LEG}
    )


Test = Callable[[Any, Any], Any]  # np.less, np.less_equal, np.greater, np.greater_equal
Step = tuple[Test, Floats, Outcome]


def graded(value: Floats, *steps: Step) -> Outcomes:
    """The outcome of a number against its ladder of limits; the worst step that fits stands.

    The one place where a number meets a limit: the comparison printed in the step decides exactly on the limit,
    and a value or limit that is NaN is UNKNOWN. Shape of `value` broadcast with the limits.
    """
    outcome = np.full(np.broadcast_shapes(np.shape(value), *(np.shape(limit) for _, limit, _ in steps)), 0, np.int8)
    for test, limit, worse in steps:
        outcome = np.maximum(outcome, np.where(test(value, limit), np.int8(worse), np.int8(0)))
        outcome = np.maximum(outcome, np.where(np.isnan(limit), np.int8(Outcome.UNKNOWN), np.int8(0)))
    return np.where(np.isnan(value), np.int8(Outcome.UNKNOWN), outcome).astype(np.int8)


def constant(outcome: Outcome, departures: int) -> Outcomes:
    """The same outcome for every departure."""
    return np.full(departures, outcome, np.int8)


def late_only(at_plan: Outcomes, at_late: Outcomes, way_out: Flags | bool) -> Outcomes:
    """The worse of plan and late; a no-go at late only is a condition where a way out has been judged good."""
    eased = (at_late == Outcome.NO_GO) & (at_plan < Outcome.NO_GO) & way_out
    late = np.where(eased, np.int8(Outcome.CONDITION), at_late)
    return np.maximum(at_plan, late).astype(np.int8)
