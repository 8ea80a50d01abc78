"""Findings: what the judgements say at one departure, in words; rules biting on one cause are one finding.

Also the thinnest margins and the score of each subject. The verdict comes first; a score never hides an outcome.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from readiness.rules.engine import Judged
from readiness.rules.forecast_lacks import together, told_once
from readiness.rules.judgement import Evidence, Judgement, Outcome, Remedy, Subject, Words
from readiness.rules.missing import LATE_ARRIVAL, NOBODY
from readiness.rules.register import RULE_OF
from readiness.rules.waiver import cause_text

QUALITY = {Outcome.PASSED: 1.0, Outcome.ADVICE: 0.8, Outcome.CONDITION: 0.5, Outcome.UNKNOWN: 0.25, Outcome.NO_GO: 0.0}
WEIGHT = {Outcome.NO_GO: 5, Outcome.UNKNOWN: 3, Outcome.CONDITION: 3, Outcome.ADVICE: 1, Outcome.PASSED: 1}
ROOTS = frozenset(":".join(cause) for cause in (NOBODY, LATE_ARRIVAL))
CAP = {Outcome.UNKNOWN: 40, Outcome.CONDITION: 79}


@dataclass(frozen=True)
class Line:
    """One rule at one departure."""

    rule: str
    outcome: Outcome
    standing: Outcome  # with waivers and met conditions laid over
    applies: bool
    ripens: bool
    cause: str
    demand: float
    limit: float
    unit: str
    subject: Subject
    source: str
    words: Words
    starved_by: str = ""  # the cause under which it is told, where nothing but that is missing

    @property
    def told_under(self) -> str:
        """The cause of the finding it belongs to."""
        return self.starved_by or self.cause

    @property
    def waived(self) -> bool:
        """Whether a waiver or a met condition stands over the rule's own outcome."""
        return self.standing < self.outcome


@dataclass(frozen=True)
class Finding:
    """All that stands against one cause, the worst line first."""

    lines: tuple[Line, ...]

    @property
    def outcome(self) -> Outcome:
        """The worst outcome as it stands."""
        return max(line.standing for line in self.lines)

    @property
    def words(self) -> Words:
        """The words of the worst line; what the forecast lacks, all of it together."""
        return together([line.words for line in self.told])

    @property
    def sentences(self) -> tuple[str, ...]:
        """What every line says, each sentence once."""
        return told_once([line.words for line in self.told])

    @property
    def cause(self) -> str:
        """The one cause."""
        return self.lines[0].told_under

    @property
    def told(self) -> tuple[Line, ...]:
        """The lines that say something of their own: not those that only want what the first one says is missing."""
        return tuple(line for line in self.lines if not line.starved_by) or self.lines[:1]

    @property
    def rules(self) -> dict[str, bool]:
        """The rules that bite on it, and whether a waiver or a met condition stands over any answer of each."""
        return {line.rule: any(one.waived for one in self.lines if one.rule == line.rule) for line in self.lines}

    @property
    def sources(self) -> tuple[str, ...]:
        """The keys of their sources, each once."""
        return tuple(dict.fromkeys(key for line in self.lines for key in line.source.split()))

    @property
    def evidence(self) -> tuple[Evidence, ...]:
        """Where the facts behind it can be seen, each once."""
        return tuple(dict.fromkeys(found for line in self.told for found in line.words.evidence))

    @property
    def remedies(self) -> tuple[Remedy, ...]:
        """What would mend it, each once."""
        found = {remedy.text: remedy for line in self.lines for remedy in line.words.remedies}
        return tuple(found.values())


@dataclass(frozen=True)
class Score:
    """One subject's number: None where it is a no-go, "40?" style where something is not known."""

    subject: Subject
    outcome: Outcome
    number: int | None
    unknowns: int
    held_down_by: str  # the title of the finding that does


def lines_at(judged: Judged, index: int) -> tuple[Line, ...]:
    """Every rule's answer at one departure, in the order of the rules; worked out once for the same two."""
    return _lines_at(judged, index)


@lru_cache(maxsize=4)
def _lines_at(judged: Judged, index: int) -> tuple[Line, ...]:
    return tuple(_line(judged, row, judgement, index) for row, judgement in enumerate(judged.judgements))


def findings_at(lines: tuple[Line, ...]) -> tuple[Finding, ...]:
    """What stands against this departure by cause: no-go first, then not known, conditions and advice.

    Of equals, what settles itself before departure comes last, and what leaves others unknown first.
    """
    by_cause: dict[str, list[Line]] = {}
    for line in lines:
        if line.outcome > Outcome.PASSED:
            by_cause.setdefault(line.told_under, []).append(line)
    found = [Finding(tuple(sorted(group, key=_rank))) for group in by_cause.values()]
    return tuple(sorted(found, key=lambda one: (-one.outcome, one.lines[0].ripens, one.cause not in ROOTS)))


def _rank(line: Line) -> tuple[int, bool, bool]:
    """Of the lines of a finding the worst comes first; of equals the one that says what is missing."""
    return -line.standing, bool(line.starved_by), line.cause != line.told_under


def thinnest(lines: tuple[Line, ...], count: int = 3) -> tuple[Line, ...]:
    """The lines that stand nearest to their limit without having passed it, by share of the limit."""
    near = sorted(_shares(lines), key=lambda found: found[0])
    return tuple(line for _, line in near[:count])


def scores(lines: tuple[Line, ...]) -> tuple[Score, ...]:
    """The score of every subject that has a rule that applies, as the program prints it beside the verdict."""
    subjects = {line.subject: [one for one in lines if one.subject == line.subject and one.applies] for line in lines}
    return tuple(_score(subject, subjects[subject]) for subject in Subject if subjects.get(subject))


def share_left(line: Line) -> float:
    """Distance from the limit as a share of it; NaN where either is not known or the limit is 0."""
    if not line.limit or not np.isfinite(line.demand + line.limit):
        return float("nan")
    return abs(line.limit - line.demand) / abs(line.limit)


def _line(judged: Judged, row: int, judgement: Judgement, index: int) -> Line:
    rule = RULE_OF[judgement.rule]
    return Line(
        rule=judgement.rule,
        outcome=Outcome(int(judged.outcomes[row, index])),
        standing=Outcome(int(judged.standing[row, index])),
        applies=bool(_at(judgement.applies, index)),
        ripens=bool(_at(judgement.ripens, index)),
        cause=cause_text(judgement),
        demand=float(_at(judgement.demand, index)),
        limit=float(_at(judgement.limit, index)),
        unit=judgement.unit,
        subject=rule.subject,
        source=rule.source,
        words=judgement.say(index),
        starved_by=_starved_by(judgement, Outcome(int(judged.outcomes[row, index])), index),
    )


def _starved_by(judgement: Judgement, outcome: Outcome, index: int) -> str:
    """What a line wants and nothing else; a no-go speaks for itself, unless it is one for want of anybody aboard."""
    cause = judgement.starved_by
    if cause is None or not _at(judgement.starved, index):
        return ""
    return ":".join(cause) if outcome < Outcome.NO_GO or cause == NOBODY else ""


def _at(values: object, index: int) -> float:
    array = np.asarray(values)
    return float(array[index]) if array.ndim else float(array)


def _shares(lines: tuple[Line, ...]) -> Iterator[tuple[float, Line]]:
    for line in lines:
        share = share_left(line)
        if line.applies and line.standing <= Outcome.ADVICE and line.words.margin and np.isfinite(share):
            yield share, line


def _score(subject: Subject, lines: list[Line]) -> Score:
    worst = max(lines, key=lambda line: line.standing)
    weights = [WEIGHT[RULE_OF[line.rule].worst] for line in lines]
    total = sum(weight * QUALITY[line.outcome] for weight, line in zip(weights, lines, strict=True))
    number = min(round(100 * total / sum(weights)), CAP.get(worst.standing, 100))
    unknowns = sum(line.standing == Outcome.UNKNOWN for line in lines)
    held_down = worst.words.title if worst.standing > Outcome.PASSED else ""
    return Score(subject, worst.standing, None if worst.standing == Outcome.NO_GO else number, unknowns, held_down)
