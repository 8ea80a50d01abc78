"""The last moment to turn back and still get in at home: before its gate shuts, before dusk, before the fuel is low."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from readiness.calc.daylight import CIVIL, sun_events
from readiness.calc.turn_back import home_by, homeward, turn_back_on_track
from readiness.calc.window import known, last_closing_in
from readiness.rules.facts import Facts
from readiness.rules.fuel_aboard import burn_l_per_h, sure_l
from readiness.rules.gate_times import departure_gates, gate_cause
from readiness.rules.judgement import Cause, Judgement, Outcome, Rule, Subject, Waive, Words
from readiness.rules.limits import Limits
from readiness.rules.missing import LATE_ARRIVAL, harbour_move, unknown, untimed
from readiness.rules.passage import Passage
from readiness.rules.record import NOT_KNOWN, Array
from readiness.rules.refuge_reach import without_refuge
from readiness.rules.slowed_by_sea import slowed_by_sea
from readiness.rules.telling import departure_zone
from readiness.rules.way_out import place_of
from readiness.rules.weather_met import sampled
from vessel.calc.wording import clock, miles, with_utc
from vessel.units import DAY, HOUR, KNOT, NAUTICAL_MILE, Flags

RULE_ID, TITLE = "turn_back", "Last moment to turn back"
FUEL_KEPT = 1.25  # so many times the fuel home must be aboard on turning [practice]
WIND_WORSE_MPS = 2 * KNOT  # wind that rises by more than this after the turn is worse [own]
SEA_WORSE_M = 0.2  # as is a sea that rises by more than this [own]
NEAR_A_POINT_M = NAUTICAL_MILE  # so near a point she is off it [own]
STREAM: Cause = ("stream", "")
BOUNDS = ("its gate shuts", "dusk, for it is not lit", "the fuel for the way back runs low")


@dataclass(frozen=True)
class TurnBack:
    """The last moment of each departure, [departure]; infinite where she can turn back all the way."""

    at: Array  # Epoch
    along_m: Array
    bound: NDArray[np.int64]  # which bound is first, a row of BOUNDS
    by: Array  # Epoch, when that bound falls


def turn_back(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:  # noqa: ARG001
    """One judgement: when and where she must decide, and whether it gets worse after that with no refuge.

    Source: [practice]
    """
    if facts.leg.harbour_move:
        yield harbour_move(RULE_ID, passage, TITLE)
        return
    turn = last_turn(facts, passage)
    undecided = np.isnan(turn.at)
    if undecided.any():
        cause = _starved(facts, passage)
        by_times = untimed(passage) & (cause == STREAM)
        said = unknown(RULE_ID, cause, passage, NOT_SAID, undecided)
        yield replace(said, starved_by=LATE_ARRIVAL, starved=by_times)
    later = np.isfinite(turn.at)
    worse = later & _worsens(passage, turn) & _no_refuge_after(facts, passage, turn)
    outcome = np.where(worse, Outcome.CONDITION, np.where(later, Outcome.ADVICE, Outcome.PASSED)).astype(np.int8)
    yield Judgement(
        rule=RULE_ID,
        cause=("turn back", ""),
        outcome=outcome,
        demand=np.where(later, turn.along_m, np.nan),
        limit=NOT_KNOWN,
        unit="m",
        say=partial(_say, facts, passage, turn, worse),
        applies=~undecided,
    )


def last_turn(facts: Facts, passage: Passage) -> TurnBack:
    """The earliest of what shuts home to her, swept home by plan through the stream as it then runs.

    Whatever of the three is not known leaves the moment not known.
    """
    shuts = np.stack([_gate_shuts(facts, passage), _dusk(facts, passage), _fuel_low(facts, passage)])
    first = np.where(np.isnan(shuts), -np.inf, shuts).argmin(axis=0)
    by = np.where(np.isnan(shuts).any(axis=0), np.nan, shuts.min(axis=0))
    stream = (passage.streams, passage.stream_of_step)
    share = slowed_by_sea(facts, homeward(passage.track), *stream, sampled(facts.water.forecast))
    back = home_by(passage.track, np.where(np.isinf(by), np.nan, by), facts.leg.speed_mps, *stream, share)
    at, along = turn_back_on_track(passage.plan.node_at, back, passage.track.node_along_m)
    free = np.isposinf(by)
    return TurnBack(
        at=np.where(free, np.inf, at),
        along_m=np.where(free, passage.track.node_along_m[-1], along),
        bound=first,
        by=by,
    )


def _gate_shuts(facts: Facts, passage: Passage) -> Array:
    """When the first of the home gates that are open on leaving shuts to her, last entry taken off; infinite for none.

    A gate that is shut on leaving is met by the rule on getting out; it shuts her out at once.
    """
    gates = {gate.key: gate for gate in facts.water.gates}
    shuts = np.full(passage.departures, np.inf)
    for key in departure_gates(facts):
        held = passage.windows.get(key)
        if held is None:
            return np.full(passage.departures, np.nan)
        closes = np.asarray(last_closing_in(held, passage.departure_at))
        there = np.where(known(held, passage.departure_at), passage.departure_at, np.nan)
        shut_at = np.where(np.isnan(closes), there, closes - gates[key].last_entry_s)
        shuts = np.minimum(shuts, np.where(closes >= held.end, np.inf, np.maximum(shut_at, there)))
    return shuts


def _dusk(facts: Facts, passage: Passage) -> Array:
    """The first dusk after leaving where home is not known to be lit; infinite elsewhere."""
    home = place_of(facts, facts.leg.departure_place)
    if home is None or np.isnan(home.lat_deg + home.lon_deg):
        return np.full(passage.departures, np.nan)
    if home.lit:
        return np.full(passage.departures, np.inf)
    leaves = passage.departure_at
    day = sun_events(home.lat_deg, home.lon_deg, float(leaves[0]) - DAY, float(leaves[-1]) + 3 * DAY, CIVIL)
    ends = np.asarray(last_closing_in(day, leaves))
    return np.where(np.isnan(ends), leaves, np.where(ends >= day.end, np.inf, ends))


def _fuel_low(facts: Facts, passage: Passage) -> Array:
    """When so much is burnt that what is left is no longer a quarter more than was needed."""
    sure, burn = sure_l(facts, passage), burn_l_per_h(facts)
    return np.asarray(passage.departure_at + sure / (FUEL_KEPT * burn) * HOUR)


def _worsens(passage: Passage, turn: TurnBack) -> Flags:
    """Whether wind or sea is worse after the turn than before it; where that is not known, yes."""
    after = passage.plan.node_at[:, 1:] > turn.at[:, None]
    answer = np.zeros(passage.departures, bool)
    for values, by in ((passage.weather.wind_mps, WIND_WORSE_MPS), (passage.weather.sea_m, SEA_WORSE_M)):
        most = np.where(after, values, -np.inf).max(axis=-1)
        least = np.where(after, -np.inf, np.where(np.isnan(values), -np.inf, values)).max(axis=-1)
        answer |= ~(most <= np.maximum(least, 0.0) + by)
    return answer


def _no_refuge_after(facts: Facts, passage: Passage, turn: TurnBack) -> Flags:
    looks = passage.refuges.looks
    return np.asarray((without_refuge(facts, passage) & (looks.at >= turn.at[:, None])).any(axis=-1))


def _starved(facts: Facts, passage: Passage) -> Cause:
    """What the moment waits for: the first of gate, home, fuel and stream that is not known."""
    gates = {gate.key: gate for gate in facts.water.gates}
    for key in departure_gates(facts):
        gate = gates.get(key)
        if key not in passage.windows or gate is None:
            return gate_cause(passage, gate, key)
        if np.isnan(gate.last_entry_s):
            return ("gate", key)
    if np.isnan(_dusk(facts, passage)).any():
        return ("place", facts.leg.departure_place)
    return ("tank", "fuel") if np.isnan(_fuel_low(facts, passage)).any() else STREAM


def _say(facts: Facts, passage: Passage, turn: TurnBack, worse: Flags, index: int) -> Words:
    home = place_of(facts, facts.leg.departure_place)
    name = home.name if home is not None else facts.leg.departure_place
    if not np.isfinite(turn.at[index]):
        return Words(title=TITLE, sentence=f"By plan she could turn back to {name} all the way.")
    zone, mile = departure_zone(facts), float(turn.along_m[index])
    where = f"mile {miles(mile).removesuffix(' nmi')}, {place_words(facts, passage, mile)}"
    after = " After it wind or sea gets worse, and a time comes with no refuge in reach." if worse[index] else ""
    return Words(
        title=f"Decide by {clock(turn.at[index], zone)}",
        sentence=f"Last moment to turn back to {name}: {with_utc(turn.at[index], zone)}, {where}, "
        f"before {BOUNDS[int(turn.bound[index])]}.{after}",
        do="Write it on the plan with an alarm, and say aloud there whether she goes on.",
        sums=(("Home shut to her", with_utc(turn.by[index], zone)), ("Run out by then", miles(mile))),
        evidence=(("place", facts.leg.departure_place),),
    )


def place_words(facts: Facts, passage: Passage, along_m: float) -> str:
    """Where a mile of the track is: "off Brannowmouth", or "on the way from" the segment's name."""
    at = passage.track.node_along_m[passage.point_node]
    nearest = int(np.abs(at - along_m).argmin())
    if abs(float(at[nearest]) - along_m) <= NEAR_A_POINT_M:
        return f"off {facts.leg.points[nearest].name.removesuffix(', off')}"
    step = int(np.searchsorted(passage.track.node_along_m, along_m, side="right")) - 1
    return f"on the way from {facts.leg.segments[int(passage.track.segment[step])].name}"


NOT_SAID = Words(
    title="Last moment to turn back not known",
    sentence="Until when she could turn back is not known: home's gates, its light, the fuel or the stream is missing.",
    do="Give what is missing, or agree a time and place to decide.",
)

RULE = Rule(
    id=RULE_ID,
    title=TITLE,
    subject=Subject.WATER,
    formula="Time out + (shut − time out) × speed back ÷ (speed out + speed back), swept through the stream as it runs; shut "
    "is the earliest of home's gate less its last entry, dusk (sun −6°) at a home that is not lit, and departure + sure "
    "fuel ÷ (1.25 × burn). Always told; a condition where wind or sea is known to get worse after it and a time comes with "
    "no refuge in reach.",
    source="[practice] [own]",
    worst=Outcome.CONDITION,
    judge=turn_back,
    limits=("refuge_reach_s",),
    waive={Outcome.CONDITION: Waive.ONE_LEG},
)
