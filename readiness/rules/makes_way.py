"""Does she make way over the ground on every step, by the late figures?"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from readiness.calc.sweep import NO_WAY_MPS, Run, over_ground
from readiness.calc.tidal_stream import Stream
from readiness.calc.weather import speed_and_from
from readiness.rules.beyond_springs import beyond_springs
from readiness.rules.facts import Facts
from readiness.rules.judgement import Judgement, Outcome, Outcomes, Rule, Subject, Words, graded
from readiness.rules.limits import Limits
from readiness.rules.missing import LATE_ARRIVAL, harbour_move, unknown_at, untimed
from readiness.rules.passage import Passage
from readiness.rules.record import NOT_KNOWN, Array
from readiness.rules.streams_met import FARTHEST_M, shares_of_steps
from readiness.rules.telling import by_departure, departure_zone
from readiness.rules.under_way import FAIR_LATE, FOUL_LATE
from readiness.rules.words_of_trade import StreamBy
from vessel.calc.wording import degrees, knots, toward_limit, with_utc
from vessel.units import KNOT, NAUTICAL_MILE

RULE_ID = "makes_way"
TITLE = "Way over the ground"
WANTS_STREAM = "Enter a stream table for this part of the way, or the tide it hangs on."
TITLES = {
    Outcome.PASSED: "She makes way everywhere",
    Outcome.CONDITION: "Slow over the ground",
    Outcome.UNKNOWN: "Way over the ground not known",
    Outcome.NO_GO: "She makes no way",
}


@dataclass(frozen=True)
class Spot:
    """Where she is slowest, and the stream that holds her there."""

    step: int
    enters_at: float
    speed_mps: float
    through_mps: float
    set_deg: float
    rate_mps: float
    across_mps: float


def makes_way(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:
    """One judgement: the slowest step by the late figures; a step without way by any of the three is a no-go.

    Source: [practice]
    """
    if facts.leg.harbour_move:
        yield harbour_move(RULE_ID, passage, TITLE)
        return
    slowest, passed = _slowest(passage.late)[0], limits.makes_way_passed_mps
    outcome = graded(slowest, (np.less, passed, Outcome.CONDITION), (np.less, NO_WAY_MPS, Outcome.NO_GO))
    stopped = passage.late.stopped | passage.plan.stopped | passage.early.stopped
    outcome = np.where(stopped, np.int8(Outcome.NO_GO), outcome).astype(np.int8)
    timeless = untimed(passage) & (outcome == Outcome.UNKNOWN)
    if timeless.any():
        yield unknown_at(RULE_ID, LATE_ARRIVAL, timeless, partial(_say_untimed, facts, passage))
    outcome = np.where(timeless, np.int8(Outcome.PASSED), outcome).astype(np.int8)

    def say(index: int) -> Words:
        answer = Outcome(int(outcome[index]))
        beyond = " ".join(beyond_springs(facts, passage, index))
        left = (float(slowest[index]) - passed) / KNOT
        return Words(
            title=TITLES[answer],
            sentence=f"{_sentence(facts, passage, index, answer)} {beyond}".strip(),
            do=_do(facts, passage, outcome, index),
            sums=(("Slowest, late", knots(float(slowest[index]), 1)), ("Passed from", knots(passed, 1))),
            evidence=tuple(("stream", table.key) for table in facts.water.streams),
            margin=f"{toward_limit(left, 0.0, 1)} kn" if not answer else "",
        )

    yield Judgement(
        rule=RULE_ID,
        cause=("way", ""),
        outcome=outcome,
        demand=slowest,
        limit=passed,
        unit="m/s",
        say=say,
        applies=~timeless,
    )


def _say_untimed(facts: Facts, passage: Passage, index: int) -> Words:
    """The one thing to mend where no time of the passage is known: what starves every rule that asks for one."""
    no_speed = bool(np.isnan(facts.leg.speed_mps * facts.boat.vessel.late_speed_factor))
    return Words(
        title="Her times on the way not known",
        sentence=f"{_unknown(facts, passage, index)} So nobody can tell when she would be where.",
        do="Give her speed in the plan." if no_speed else WANTS_STREAM,
        by=by_departure(passage, index),
        evidence=(("route", facts.leg.key), *(("stream", table.key) for table in facts.water.streams)),
    )


def _slowest(run: Run) -> tuple[Array, NDArray[np.int64]]:
    """The slowest speed over the ground and its step, [departure]; after a stop nothing more is asked, else NaN wins."""
    gone = np.where(np.isnan(run.sog_mps), np.inf, run.sog_mps)
    missing = np.isnan(run.sog_mps).any(axis=-1) & ~run.stopped
    return np.where(missing, np.nan, gone.min(axis=-1)), gone.argmin(axis=-1)


def _spot(facts: Facts, passage: Passage, index: int) -> Spot:
    """The slowest step of the first run that stops, late before plan and early; of the late one where none does."""
    vessel = facts.boat.vessel
    runs = (
        (passage.late, vessel.late_speed_factor, FAIR_LATE, FOUL_LATE),
        (passage.plan, 1.0, 1.0, 1.0),
        (passage.early, vessel.early_speed_factor, FOUL_LATE, FAIR_LATE),
    )
    run, factor, fair, foul = next((one for one in runs if one[0].stopped[index]), runs[0])
    speeds, steps = _slowest(run)
    speed, step = float(speeds[index]), int(steps[index])
    through = facts.leg.speed_mps * factor * float(passage.sea_share[index, step])
    stream = passage.streams[passage.stream_of_step[step]]
    enters, leaves = (float(at) for at in run.node_at[index, step : step + 2])
    if stream is None or np.isnan(enters):
        return Spot(step, enters, speed, through, NOT_KNOWN, NOT_KNOWN, NOT_KNOWN)
    made, across = over_ground(stream, float(passage.track.step_course_deg[step]), through, fair, foul)
    piece = _slowest_piece(stream, made, enters, leaves)
    rate, come_from = speed_and_from(stream.east_mps[piece], stream.north_mps[piece])
    return Spot(step, enters, speed, through, float(come_from + 180.0) % 360.0, float(rate), float(across[piece]))


def _slowest_piece(stream: Stream, made: Array, enters: float, leaves: float) -> int:
    """The piece of the stream that holds her most while in a step; the first that stops her where she never leaves it."""
    first = max(int(np.searchsorted(stream.changes_at, enters, side="right")) - 1, 0)
    last = int(np.searchsorted(stream.changes_at, leaves, side="right")) if np.isfinite(leaves) else None
    here = made[first:last]
    stops = np.flatnonzero(here < NO_WAY_MPS)
    return first + (int(stops[0]) if last is None and stops.size else int(np.argmin(here)))


def _sentence(facts: Facts, passage: Passage, index: int, answer: Outcome) -> str:
    if answer == Outcome.UNKNOWN:
        return _unknown(facts, passage, index)
    spot = _spot(facts, passage, index)
    where, at = _where(facts, passage, spot.step), with_utc(spot.enters_at, departure_zone(facts))
    if not answer:
        return f"Slowest over the ground by the late figures {knots(spot.speed_mps, 1)}, {where}."
    if answer == Outcome.CONDITION:
        made = f"only {knots(spot.speed_mps, 1)} over the ground, late"
    elif abs(spot.across_mps) > spot.through_mps:
        made = "no course that holds the track"
    else:
        made = "less than 0.5 kn over the ground" if spot.speed_mps > 0 else "no way: she is set back"
    stream = f"the stream sets {degrees(spot.set_deg)} at {knots(spot.rate_mps, 1)}"
    return f"She makes {made} {where}, from {at}: {stream}, against her {knots(spot.through_mps, 1)}."


def _unknown(facts: Facts, passage: Passage, index: int) -> str:
    if np.isnan(facts.leg.speed_mps * facts.boat.vessel.late_speed_factor):
        return "What she makes over the ground is not known: her speed is not known."
    gaps = np.flatnonzero(np.isnan(passage.late.sog_mps[index]))
    if not gaps.size or np.isnan(passage.late.node_at[index, gaps[0]]):
        return "What she makes over the ground is not known: her late times are not known."
    step = int(gaps[0])
    by_place = facts.leg.segments[int(passage.track.segment[step])].stream_by != StreamBy.NAMED
    far = by_place and not list(shares_of_steps(facts, passage.track))[step]
    why = f": no stream table lies within {FARTHEST_M / NAUTICAL_MILE:.0f} nmi" if far else " when she is there"
    return f"The stream {_where(facts, passage, step)} is not known{why}."


def _do(facts: Facts, passage: Passage, outcome: Outcomes, index: int) -> str:
    """Another time, named where one stands judged."""
    if outcome[index] == Outcome.PASSED:
        return ""
    if outcome[index] == Outcome.UNKNOWN:
        return WANTS_STREAM
    good = np.flatnonzero(outcome == Outcome.PASSED)
    found = [*good[good < index][-1:], *good[good > index][:1]]
    times = [with_utc(float(passage.departure_at[one]), departure_zone(facts)) for one in found]
    return f"Leave at another time: {' or '.join(times)}." if times else "No departure judged here does better."


def _where(facts: Facts, passage: Passage, step: int) -> str:
    return f"on the way from {facts.leg.segments[int(passage.track.segment[step])].name}"


RULE = Rule(
    id=RULE_ID,
    title="She makes way over the ground",
    subject=Subject.WATER,
    formula="Slowest speed over the ground by the late figures: 2.0 kn passed, 0.5 kn condition, less no-go; less than "
    "0.5 kn by any of the three figures, or no course that holds the track: no-go.",
    source="[practice]",
    worst=Outcome.NO_GO,
    judge=makes_way,
    limits=("makes_way_passed_mps",),
)
