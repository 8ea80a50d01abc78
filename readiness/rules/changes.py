"""What would change the answer: real changes, each proved by judging the changed facts again with every rule.

Never "waive it" and never "raise your limit". This is the search over single changes, and over all of them together;
a wider search takes its place here.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import reduce

import msgspec
import numpy as np

from readiness.rules.engine import Judged, judge
from readiness.rules.facts import Facts, changed
from readiness.rules.finding import Finding, findings_at, lines_at
from readiness.rules.judgement import Outcome, Outlook, Remedy, Verdict
from readiness.rules.passage import Passage
from readiness.rules.record import moment
from readiness.rules.telling import departure_zone
from readiness.rules.under_way import passage_of, swept_from
from vessel.calc.wording import duration, with_utc
from vessel.units import HOUR

AT_MOST = 3
TRIED_AT_MOST = 8  # remedies tried one by one, the quickest first: each is a judging of its own
MOVED_AT_MOST_S = 12 * HOUR  # how far the departure is moved in the search


@dataclass(frozen=True)
class Change:
    """One answer: what is done, what it costs, and the verdict it was proved to give."""

    text: str
    minutes: float
    departure_at: float
    verdict: Verdict
    outlook: Outlook
    left: tuple[str, ...]  # titles of what it does not mend


@dataclass(frozen=True)
class _Here:
    """One departure, ready to be judged alone again and again."""

    judged: Judged
    index: int
    facts: Facts
    passage: Passage


def changes(judged: Judged, index: int, at_most: int = AT_MOST) -> tuple[Change, ...]:
    """The best proved changes for one departure: by verdict, then by minutes of work."""
    now = Verdict(int(judged.verdict[index]))
    if now == Verdict.GO:
        return ()
    here = _here(judged, index)
    found = [*_single(here, now), *_moved(judged, index, now)]
    found += _together(here, now, found)
    ordered = sorted(found, key=lambda change: (change.verdict, change.outlook, _cost(change)))
    return tuple(ordered[:at_most])


def remedies_at(judged: Judged, index: int) -> tuple[Remedy, ...]:
    """The remedies the findings of one departure name, each once, the quickest first."""
    standing = (finding for finding in findings_at(lines_at(judged, index)) if finding.outcome >= Outcome.CONDITION)
    named = {remedy.text: remedy for finding in standing for remedy in finding.remedies}
    quickest = sorted(named.values(), key=lambda remedy: remedy.minutes if np.isfinite(remedy.minutes) else np.inf)
    return tuple(quickest[:TRIED_AT_MOST])


def _here(judged: Judged, index: int) -> _Here:
    facts = only_departure(judged.facts, float(judged.passage.departure_at[index]))
    return _Here(judged, index, facts, passage_of(facts))


def _single(here: _Here, now: Verdict) -> Iterator[Change]:
    for remedy in remedies_at(here.judged, here.index):
        proved = _proved(here, (remedy,))
        if proved is not None and (proved.verdict < now or _better_outlook(here, proved)):
            yield proved


def _together(here: _Here, now: Verdict, found: list[Change]) -> Iterator[Change]:
    """All remedies at once, where that is better than any one of them."""
    best = min((change.verdict for change in found), default=now)
    remedies = remedies_at(here.judged, here.index)
    proved = _proved(here, remedies) if len(remedies) > 1 else None
    if proved is not None and proved.verdict < best:
        yield proved


def _proved(here: _Here, remedies: tuple[Remedy, ...]) -> Change | None:
    """The change as judged again for this departure alone; None where the remedies cannot be done in time."""
    minutes = sum(remedy.minutes for remedy in remedies)
    departure_at = float(here.passage.departure_at[0])
    if np.isfinite(minutes) and here.facts.judged_at.timestamp() + minutes * 60 > departure_at:
        return None
    facts = reduce(lambda so_far, remedy: remedy.change(so_far), remedies, here.facts)
    kept = all(part is other for part, other in zip(swept_from(facts), swept_from(here.facts), strict=True))
    again = judge(facts, passage=here.passage if kept else None)
    return Change(
        text="; ".join(remedy.text for remedy in remedies),
        minutes=minutes,
        departure_at=departure_at,
        verdict=Verdict(int(again.verdict[0])),
        outlook=Outlook(int(again.outlook[0])),
        left=_left(findings_at(lines_at(again, 0))),
    )


def only_departure(facts: Facts, at: float) -> Facts:
    """The same facts, asked for one departure only."""
    departures = msgspec.structs.replace(facts.departures, first=moment(at), count=1)
    return changed(facts, departures=departures)


def _moved(judged: Judged, index: int, now: Verdict) -> Iterator[Change]:
    """The nearest earlier and the nearest later departure with a better verdict: both stand judged already."""
    at = judged.passage.departure_at
    to_come = at >= judged.facts.judged_at.timestamp()
    better = np.flatnonzero((judged.verdict < now) & (np.abs(at - at[index]) <= MOVED_AT_MOST_S) & to_come)
    for nearest in {*better[better < index][-1:].tolist(), *better[better > index][:1].tolist()}:
        move = float(at[nearest] - at[index])
        word = "later" if move > 0 else "earlier"
        yield Change(
            text=f"Leave {duration(abs(move))} {word}, {with_utc(float(at[nearest]), departure_zone(judged.facts))}",
            minutes=0.0,
            departure_at=float(at[nearest]),
            verdict=Verdict(int(judged.verdict[nearest])),
            outlook=Outlook(int(judged.outlook[nearest])),
            left=_left(findings_at(lines_at(judged, nearest))),
        )


def _left(findings: tuple[Finding, ...]) -> tuple[str, ...]:
    return tuple(finding.words.title for finding in findings if finding.outcome >= Outcome.CONDITION)


def _better_outlook(here: _Here, proved: Change) -> bool:
    now, outlook = here.judged.verdict[here.index], here.judged.outlook[here.index]
    return bool(proved.verdict <= now and proved.outlook < outlook)


def _cost(change: Change) -> float:
    return change.minutes if np.isfinite(change.minutes) else np.inf
