"""A judged departure as text to read aloud and as plain data: the same words on the command line, page and API."""

from collections.abc import Iterator
from typing import Any

import numpy as np

from readiness.rules.changes import Change, changes
from readiness.rules.engine import ENGINE_VERSION, Judged
from readiness.rules.finding import Finding, Line, findings_at, lines_at, scores, thinnest
from readiness.rules.judgement import Outcome, Outlook, Verdict
from readiness.rules.record import moment
from readiness.rules.telling import arrival_zone, departure_zone
from vessel.calc.wording import clock, duration, is_known, local_date, miles, with_utc

VERDICT_WORD = {
    Verdict.GO: "Go",
    Verdict.GO_IF: "Go if",
    Verdict.CANNOT_SAY_YET: "Cannot say yet",
    Verdict.NO_GO: "No-go",
}
OUTLOOK_WORD = {Outlook.GOOD: "good", Outlook.FAIR: "fair", Outlook.POOR: "poor"}
OUTCOME_WORD = {
    Outcome.PASSED: "passed",
    Outcome.ADVICE: "advice",
    Outcome.CONDITION: "condition",
    Outcome.UNKNOWN: "not known",
    Outcome.NO_GO: "no-go",
}
STRIP_SIGN = {Verdict.GO: "#", Verdict.GO_IF: "=", Verdict.CANNOT_SAY_YET: "?", Verdict.NO_GO: "."}
CAUTIONS = (
    "It advises; the skipper decides. Predictions leave out surge by wind; gates change; a forecast is an area's mean; "
    "it does not know what it was not told."
)


def verdict_word(judged: Judged, index: int) -> str:
    """The verdict of one departure as a word."""
    return VERDICT_WORD[Verdict(int(judged.verdict[index]))]


def outlook_word(judged: Judged, index: int) -> str:
    """The outlook of one departure as a word."""
    return OUTLOOK_WORD[Outlook(int(judged.outlook[index]))]


def as_text(judged: Judged, index: int) -> str:
    """Headline, what to do by when, every finding with its sum, margins, what would change it, and the strip."""
    lines = lines_at(judged, index)
    parts = [_headline(judged, index), *_findings(judged, findings_at(lines)), *_margins(lines)]
    parts += [*_changes(changes(judged, index)), *_strip(judged), CAUTIONS]
    return "\n".join(parts)


def _headline(judged: Judged, index: int) -> str:
    facts, passage = judged.facts, judged.passage
    there = arrival_zone(facts)
    early, plan, late = (run.arrives_at[index] for run in (passage.early, passage.plan, passage.late))
    word, outlook = verdict_word(judged, index).upper(), outlook_word(judged, index)
    beside = f" (outlook {outlook})" if judged.verdict[index] == Verdict.CANNOT_SAY_YET else ""
    return (
        f"{word}{beside}: {facts.leg.name}, leave {with_utc(passage.departure_at[index], departure_zone(facts))}\n"
        f"{miles(float(passage.track.node_along_m[-1]))}; arrive early {clock(early, there)}, "
        f"plan {with_utc(plan, there)}, late {clock(late, there)}\n"
        f"Judged {with_utc(facts.judged_at.timestamp(), departure_zone(facts))}\n"
    )


def _findings(judged: Judged, findings: tuple[Finding, ...]) -> Iterator[str]:
    zone = departure_zone(judged.facts)
    for finding in findings:
        words = finding.words
        yield f"{OUTCOME_WORD[finding.outcome].upper()}: {words.title}"
        yield f"  {words.sentence}"
        if words.do:
            yield f"  Do: {words.do}{_cost(words.minutes, words.by, words.who, zone)}"
        for label, value in (pair for line in finding.told for pair in line.words.sums):
            yield f"    {label}: {value}"
        yield f"    rules {', '.join(finding.rules)}"
    yield ""


def _cost(minutes: float, by: float, who: str, zone: str) -> str:
    parts = [f"before {clock(by, zone)}"] if is_known(by) else []
    parts += [f"{minutes:.0f} min"] if is_known(minutes) else []
    parts += [who] if who else []
    return f" ({', '.join(parts)})" if parts else ""


def _margins(lines: tuple[Line, ...]) -> Iterator[str]:
    yield "Thinnest margins"
    for line in thinnest(lines):
        yield f"  {line.words.title}: {line.words.margin} left"
    yield ""


def _changes(found: tuple[Change, ...]) -> Iterator[str]:
    if not found:
        return
    yield "What would change it"
    for change in found:
        minutes = f", {duration(change.minutes * 60)}" if is_known(change.minutes) and change.minutes else ""
        word = VERDICT_WORD[change.verdict]
        outlook = f", outlook {OUTLOOK_WORD[change.outlook]}" if change.verdict != Verdict.GO else ""
        left = f" Left: {'; '.join(change.left)}." if change.left else ""
        yield f"  {change.text}{minutes}: {word}{outlook}, judged again: proved.{left}"
    yield ""


def _strip(judged: Judged) -> Iterator[str]:
    """A row of signs a day, one for each quarter: `#` go, `=` go if, `?` cannot say yet, `.` no-go."""
    zone = departure_zone(judged.facts)
    yield "Departures, a sign a quarter: # go, = go if, ? cannot say yet, . no-go"
    days: dict[str, list[int]] = {}
    for index, at in enumerate(judged.passage.departure_at):
        days.setdefault(local_date(at, zone), []).append(index)
    for day, places in days.items():
        signs = "".join(STRIP_SIGN[Verdict(int(judged.verdict[place]))] for place in places)
        yield f"  {day} from {clock(judged.passage.departure_at[places[0]], zone)}  {signs}"
    yield ""


def as_data(judged: Judged, index: int) -> dict[str, Any]:
    """The same as plain data, times in UTC, numbers in SI, not known as null."""
    lines, passage = lines_at(judged, index), judged.passage
    return {
        "leg": judged.facts.leg.key,
        "verdict": verdict_word(judged, index),
        "outlook": outlook_word(judged, index),
        "departure": _utc(passage.departure_at[index]),
        "judged_at": _utc(judged.facts.judged_at.timestamp()),
        "engine_version": ENGINE_VERSION,
        "early": _utc(passage.early.arrives_at[index]),
        "plan": _utc(passage.plan.arrives_at[index]),
        "late": _utc(passage.late.arrives_at[index]),
        "findings": [_line_data(line) for finding in findings_at(lines) for line in finding.lines],
        "subjects": {score.subject.value: score.number for score in scores(lines)},
        "margins": [
            {"rule": line.rule, "margin": line.words.margin, "demand": _number(line.demand), "limit": _number(line.limit),
             "unit": line.unit} for line in thinnest(lines)
        ],
        "changes": [_change_data(change) for change in changes(judged, index)],
        "departures": [_departure_data(judged, each) for each in range(passage.departures)],
    }  # fmt: skip


def _line_data(line: Line) -> dict[str, Any]:
    return {
        "rule": line.rule,
        "outcome": OUTCOME_WORD[line.outcome],
        "standing": OUTCOME_WORD[line.standing],
        "cause": line.cause,
        "demand": _number(line.demand),
        "limit": _number(line.limit),
        "unit": line.unit,
        "sentence": line.words.sentence,
        "do": line.words.do,
        "source": line.source,
        "ripens": line.ripens,
    }


def _change_data(change: Change) -> dict[str, Any]:
    return {
        "text": change.text,
        "minutes": _number(change.minutes),
        "departure": _utc(change.departure_at),
        "verdict": VERDICT_WORD[change.verdict],
        "outlook": OUTLOOK_WORD[change.outlook],
        "left": list(change.left),
    }


def _departure_data(judged: Judged, index: int) -> dict[str, Any]:
    return {
        "at": _utc(judged.passage.departure_at[index]),
        "verdict": verdict_word(judged, index),
        "outlook": outlook_word(judged, index),
        "deciding_rule": judged.judgements[int(judged.deciding[index])].rule if judged.verdict[index] else None,
    }


def _number(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None


def _utc(at: float) -> str | None:
    return moment(float(at)).isoformat().replace("+00:00", "Z") if np.isfinite(at) else None
