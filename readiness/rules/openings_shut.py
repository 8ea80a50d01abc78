"""Hatches, doors and windows shut tight: what cannot be shut keeps her out of a sea and off a bar."""

from collections.abc import Callable, Iterator
from functools import partial

import numpy as np
from numpy.typing import NDArray

from readiness.calc.success_tree import Level, Levels
from readiness.rules.circumstances import any_of, somewhere, weighed, worst_of
from readiness.rules.facts import Facts
from readiness.rules.facts_boat import Job
from readiness.rules.function_state import cause_of, evidence_of, why
from readiness.rules.judgement import Cause, Judgement, Outcome, Outcomes, Rule, Subject, Waive, Words
from readiness.rules.limits import Limits
from readiness.rules.missing import forecast_missing, harbour_move, late_arrival_missing, not_asked, unknown
from readiness.rules.passage import Passage, Weather
from readiness.rules.put_right import remedies_for
from readiness.rules.reason import job_level
from readiness.rules.record import NOT_KNOWN, Array
from readiness.rules.state import States, states
from readiness.rules.telling import by_departure, hand_for
from readiness.rules.way_out import eased_at_late_only, leaning_words
from readiness.rules.words_of_trade import GateKind, Kind, Opens, Skill
from vessel.calc.wording import metres
from vessel.units import Flags

ID, TITLE = "openings_shut", "Hatches, doors and windows shut tight"
ROUGH_M = 0.5  # effective sea in which an opening that cannot be shut lets the water in [own]
BY_LEVEL = np.array([Outcome.PASSED, Outcome.CONDITION, Outcome.PASSED, Outcome.UNKNOWN, Outcome.NO_GO], np.int8)


def openings_shut(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:  # noqa: ARG001
    """Each opening that is out of service, or that a job in hand keeps open; not proved is left to the tests.

    Source: [practice]
    """
    if facts.leg.harbour_move:
        yield harbour_move(ID, passage, TITLE)
        return
    held = states(facts, passage)
    openings = held.of_kind(Kind.OPENING)
    jobs = tuple(job for job in facts.boat.jobs or () if _keeps_open(job))
    yield from late_arrival_missing(ID, passage, matters=bool(openings or jobs))
    for item in openings:
        level = held.once_tested[held.rows[item.code]]
        level = worst_of([level, *(_of_job(job, passage) for job in jobs if item.code == job.opens_equipment)])
        yield from _judged(
            facts, passage, level, cause_of(held, item.code), partial(_item_words, facts, held, item.code)
        )
    codes = {item.code for item in openings}
    for job in jobs:
        if job.opens_equipment not in codes:
            cause = ("job", job.key)
            yield from _judged(facts, passage, _of_job(job, passage), cause, partial(_job_words, job))
    if not openings and not jobs:
        yield not_asked(ID, passage, TITLE, "No hatch, door or window is on the equipment list.")


def _keeps_open(job: Job) -> bool:
    return Opens.OPENING in job.opens and job_level(job) in {Level.OUT, Level.UNKNOWN}


def _of_job(job: Job, passage: Passage) -> Levels:
    return np.full(passage.departures, job_level(job), np.int8)


def _judged(
    facts: Facts, passage: Passage, level: Levels, cause: Cause, tell: Callable[[], Words]
) -> Iterator[Judgement]:
    sea, bar = passage.weather.sea_m[:, passage.exposed], np.full(passage.departures, _bar(facts))
    out, outside = level == Level.OUT, np.where(passage.exposed, passage.weather.sea_m, -np.inf)
    at_late, undecided = _while_open(passage, passage.weather, bar)
    late = np.where(out, at_late, np.int8(Outcome.PASSED))
    by_plan = partial(_while_open, passage, passage.weather_at_plan, bar)
    open_, leans, step = eased_at_late_only(facts, passage, by_plan, late, outside)
    outcome = np.where(out, open_, BY_LEVEL[level]).astype(np.int8)
    highest = sea.max(axis=-1, initial=0.0)
    yield Judgement(
        rule=ID,
        cause=cause,
        outcome=outcome,
        demand=highest,
        limit=ROUGH_M,
        unit="m",
        say=partial(_say, facts, passage, tell, level, outcome, highest, (leans, step)),
    )
    undecided = undecided & (level == Level.OUT)
    if undecided.any():
        unseen = undecided & np.isnan(sea).any(axis=-1)
        yield from forecast_missing(ID, facts, passage, unseen, passage.weather.sea_m, "sea")
        if (undecided & ~unseen).any():
            yield unknown(ID, ("segment", "bar"), passage, NO_BAR_SAID, undecided & ~unseen)


def _while_open(passage: Passage, weather: Weather, bar: Array) -> tuple[Outcomes, Flags]:
    """The outcome while an opening stands open, and where what is not known would decide it."""
    rough = somewhere(np.greater_equal, weather.sea_m[:, passage.exposed], ROUGH_M)
    return weighed(any_of(rough, bar), Outcome.NO_GO, Outcome.CONDITION)


def _bar(facts: Facts) -> float:
    """Whether she crosses a bar, three-valued: by the segments, and by the gates of the points and of both ends."""
    ends = {facts.leg.departure_place, facts.leg.arrival_place}
    met = {key for place in facts.water.places if place.key in ends for key in place.gates}
    met |= {point.gate for point in facts.leg.points if point.gate is not None}
    kinds = {gate.key: gate.kind for gate in facts.water.gates}
    said = {segment.crosses_bar for segment in facts.leg.segments}
    if True in said or any(kinds.get(key) == GateKind.BAR for key in met):
        return 1.0
    return NOT_KNOWN if None in said or not met <= kinds.keys() else 0.0


def _item_words(facts: Facts, held: States, code: str) -> Words:
    """What holds an opening, and what puts it right."""
    jobs = tuple(job for job in facts.boat.jobs or () if _keeps_open(job) and job.opens_equipment == code)
    remedies = remedies_for(facts, held, [code])
    return Words(
        title=held.name(code),
        sentence=_open_by(jobs[0]) if jobs else why(held, code),
        evidence=(*evidence_of(held, [code]), *(("job", job.key) for job in jobs)),
        remedies=remedies,
    )


def _job_words(job: Job) -> Words:
    """A job that keeps open something nobody named."""
    return Words(title="Opening", sentence=_open_by(job), evidence=(("job", job.key),))


def _open_by(job: Job) -> str:
    return f"{job.title} ({job.key}) keeps it open"


def _say(
    facts: Facts,
    passage: Passage,
    tell: Callable[[], Words],
    level: Levels,
    outcome: Outcomes,
    highest: Array,
    leaning: tuple[Flags, NDArray[np.int64]],
    index: int,
) -> Words:
    told = tell()
    if outcome[index] == Outcome.PASSED:
        return Words(title=TITLE, sentence=f"{told.title}: can be shut.", evidence=told.evidence)
    where = f", and the sea outside is up to {metres(highest[index])}" if outcome[index] == Outcome.NO_GO else ""
    leans, step = leaning
    late = f" {leaning_words(facts, passage, outcome[index] == Outcome.NO_GO, step, index)}" if leans[index] else ""
    return Words(
        title=f"{told.title} {_HOW[Level(int(level[index]))]}",
        sentence=f"{told.sentence}{where}.{late}",
        do=f"{told.remedies[0].text}." if told.remedies else "Bolt a blank with a sealing strip over it.",
        by=by_departure(passage, index),
        who=hand_for(facts, Skill.ENGINE),
        minutes=min((remedy.minutes for remedy in told.remedies), default=NOT_KNOWN),
        sums=((f"Highest sea on exposed water, limit {metres(ROUGH_M)}", metres(highest[index], 2)),),
        evidence=told.evidence,
        remedies=told.remedies,
    )


_HOW = {
    Level.DEGRADED: "not quite tight",
    Level.UNKNOWN: "not known to shut",
    Level.OUT: "cannot be shut",
}
NO_BAR_SAID = Words(
    title="Bar not known",
    sentence="Nobody has said whether the way crosses a bar, and an opening cannot be shut.",
    do="Say for each part of the way whether it crosses a bar.",
)

RULE = Rule(
    id=ID,
    title=TITLE,
    subject=Subject.BOAT,
    formula="an opening that is out of service or kept open by a job is no-go where the highest effective sea on "
    "exposed water is 0.5 m or more or a bar is crossed, else a condition; a sea that only the late figure meets is a "
    "condition where a refuge passes; degraded is a condition; not known is unknown; not proved is left to the tests that "
    "are owed",
    source="[practice] [own]",
    worst=Outcome.NO_GO,
    judge=openings_shut,
    waive={Outcome.NO_GO: Waive.NEVER, Outcome.CONDITION: Waive.ONE_LEG},
)
