"""Stacked arrival: things each bearable that come together at the end of the leg. They are listed, never just counted."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from readiness.calc.daylight import CIVIL
from readiness.calc.window import Windows, known, last_closing_in
from readiness.rules.circumstances import POOR_VISIBILITY_M, any_of, holds
from readiness.rules.depth import depth_at
from readiness.rules.facts import Facts
from readiness.rules.gate_times import GateCall, gate_calls
from readiness.rules.hands import able_at, one_more
from readiness.rules.helm_hours import helm_hours
from readiness.rules.judgement import Judgement, Outcome, Outcomes, Rule, Subject, Waive, Words, graded
from readiness.rules.limits import Limits
from readiness.rules.missing import FORECAST, forecast_missing, harbour_move, late_arrival_missing, unknown, untimed
from readiness.rules.passage import Passage
from readiness.rules.record import NOT_KNOWN, Array
from readiness.rules.telling import by_departure, listed
from readiness.rules.way_out import place_of
from readiness.rules.words_of_trade import Skill
from vessel.units import MINUTE, Flags

RULE_ID = "stacked_arrival"
TITLE = "Stacked arrival"
CONDITION_FROM, NO_GO_FROM = 3, 5  # things at once [practice]
LITTLE_WATER_M = 1.0  # surely under the keel [practice]
SOON_SHUT_S = 60 * MINUTE  # before the last entry [practice]


@dataclass(frozen=True, eq=False)
class Strain:
    """One thing that makes an arrival harder: three-valued, [departure]; whether only the forecast could tell.

    `worse`: the words where it is worse than that, at the departures flagged in `worse_at`.
    """

    words: str
    met: Array
    by_forecast: bool = False
    worse: str = ""
    worse_at: Flags | None = None

    def told(self, index: int) -> str:
        """Its words at one departure."""
        return self.worse if self.worse_at is not None and self.worse_at[index] else self.words


def stacked_arrival(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:
    """One judgement: how many of eight things meet at the arrival.

    Source: [practice]
    """
    if facts.leg.harbour_move:
        yield harbour_move(RULE_ID, passage, TITLE)
        return
    yield from late_arrival_missing(RULE_ID, passage)
    found = strains(facts, passage, limits)
    sure, by_forecast, otherwise = (
        np.sum([strain.met == 1.0 for strain in found], axis=0),
        _unknown([strain for strain in found if strain.by_forecast], passage),
        _unknown([strain for strain in found if not strain.by_forecast], passage),
    )
    outcome = _graded(sure)
    timed = ~untimed(passage)
    doubtful = (_graded(sure + otherwise) > outcome) & timed
    waits = (_graded(sure + otherwise + by_forecast) > outcome) & timed & ~doubtful
    last = np.arange(passage.exposed.size) == passage.exposed.size - 1
    weather = passage.weather
    seen = (
        weather.wind_mps + weather.visibility_m + weather.pressure_hpa + np.where(passage.exposed, weather.sea_m, 0.0)
    )
    what = "wind, visibility, pressure and sea at the arrival"
    yield from forecast_missing(RULE_ID, facts, passage, waits, np.where(last, seen, 0.0), what)
    if doubtful.any():
        yield unknown(RULE_ID, ("arrival", facts.leg.arrival_place), passage, _asks(found, doubtful), doubtful)
    yield _judgement(facts, passage, found, outcome, sure)


def strains(facts: Facts, passage: Passage, limits: Limits) -> tuple[Strain, ...]:
    """The eight things, each by plan or late, whichever is worse."""
    place = place_of(facts, facts.leg.arrival_place)
    sun = np.minimum(passage.sun_plan_deg[:, -1], passage.sun_late_deg[:, -1])
    strange = NOT_KNOWN if place is None or place.familiar is None else float(not place.familiar)
    wind, visibility = passage.weather.wind_mps[:, -1], passage.weather.visibility_m[:, -1]
    calls = [call for call in gate_calls(facts, passage) if call.node == int(passage.point_node[-1])]
    return (
        Strain("dark", holds(np.less, sun, CIVIL)),
        Strain("a harbour they do not know", np.full(passage.departures, strange)),
        Strain("wind of 17 kn or more", holds(np.greater_equal, wind, limits.mean_wind_advice_mps), by_forecast=True),
        Strain("visibility under 2 nmi", holds(np.less, visibility, POOR_VISIBILITY_M), by_forecast=True),
        _little_water(facts, passage, limits),
        Strain(
            "less than 60 min before the gate shuts", _soon_shut(passage, calls),
            worse="a gate that is shut when she comes", worse_at=_shut_by_plan(passage, calls),
        ),
        _long_at_the_helm(facts, passage, limits),
        Strain("hands exactly the minimum", _few_hands(facts, passage, calls)),
    )  # fmt: skip


def _little_water(facts: Facts, passage: Passage, limits: Limits) -> Strain:
    number, point = len(facts.leg.points) - 1, facts.leg.points[-1]
    if point.depth_matters is False:
        return Strain("little water", np.zeros(passage.departures))
    depth = depth_at(facts, passage, number, point)
    met = holds(np.less, depth.lowest_m - limits.height_doubt_m, LITTLE_WATER_M)
    return Strain("less than 1.0 m surely under the keel", met, by_forecast=bool(np.isnan(depth.weather).any()))


def _soon_shut(passage: Passage, calls: Sequence[GateCall]) -> Array:
    answers = [np.zeros(passage.departures)]
    for call in calls:
        windows, gate = passage.windows.get(call.key), call.gate
        held = windows is not None and gate is not None
        entry = gate.last_entry_s if gate is not None else NOT_KNOWN
        answers.append(
            _shuts_soon(call, windows, entry) if held and windows else np.full(passage.departures, NOT_KNOWN)
        )
    return any_of(*answers)


def _shut_by_plan(passage: Passage, calls: Sequence[GateCall]) -> Flags:
    """Where some gate is known to be shut when she comes by plan."""
    shut = np.zeros(passage.departures, np.bool_)
    for call in calls:
        windows = passage.windows.get(call.key)
        if windows is not None and call.gate is not None and np.isfinite(call.gate.last_entry_s):
            shut |= _is_shut(call, windows)
    return shut


def _is_shut(call: GateCall, windows: Windows) -> Flags:
    return np.asarray(np.isnan(last_closing_in(windows, call.plan_at)) & known(windows, call.plan_at))


def _shuts_soon(call: GateCall, windows: Windows, entry_s: float) -> Array:
    """Whether a gate shuts within the hour of the late figure; one that is shut by plan has."""
    closes = np.asarray(last_closing_in(windows, call.plan_at)) - entry_s
    shut = _is_shut(call, windows) & ~np.isnan(entry_s)
    return np.where(shut, 1.0, holds(np.less, closes - call.late_at, SOON_SHUT_S))


def _long_at_the_helm(facts: Facts, passage: Passage, limits: Limits) -> Strain:
    """By the hours that the rule on the helm finds; not known where it finds fewer and lacks something."""
    found = list(helm_hours(facts, passage, limits))
    hours = next((one.demand for one in found if one.cause == ("people", "helms")), NOT_KNOWN)
    lacks = np.any([one.outcome == Outcome.UNKNOWN for one in found], axis=0)
    long = holds(np.greater_equal, np.broadcast_to(hours, passage.departures), limits.helm_ok_s)
    met = np.where(lacks & (long == 0.0), NOT_KNOWN, long)
    return Strain("four hours or more at the helm each", met, by_forecast=any(one.cause == FORECAST for one in found))


def _few_hands(facts: Facts, passage: Passage, calls: Sequence[GateCall]) -> Array:
    """Whether the fit aboard at the arrival are no more than her least crew, or than a gate there wants."""
    able = np.minimum(able_at(facts, passage.plan.arrives_at), able_at(facts, passage.late.arrives_at))
    crew = facts.boat.vessel.min_crew
    wanted = [None if call.gate is None or call.gate.hands is None else call.gate.hands + 1 for call in calls]
    least = [NOT_KNOWN if number is None else float(number) for number in (crew, *wanted)]
    return any_of(*(holds(np.less_equal, able, number) for number in least))


def _unknown(found: Sequence[Strain], passage: Passage) -> Array:
    return np.sum([np.isnan(strain.met) for strain in found], axis=0) if found else np.zeros(passage.departures)


def _graded(count: Array) -> Outcomes:
    steps = (np.greater_equal, CONDITION_FROM, Outcome.CONDITION), (np.greater_equal, NO_GO_FROM, Outcome.NO_GO)
    return graded(np.asarray(count, np.float64), *steps)


def _asks(found: Sequence[Strain], where: Flags) -> Words:
    index = int(np.argmax(where))
    lacking = [strain.words for strain in found if np.isnan(strain.met[index])]
    return Words(
        title="Arrival not known well enough",
        sentence=f"Whether these meet at the arrival is not known: {listed(lacking)}. With them it would be too much.",
        do="Find out what is missing of the place, its gate and the crew.",
    )


def _judgement(facts: Facts, passage: Passage, found: Sequence[Strain], outcome: Outcomes, sure: Array) -> Judgement:
    place = place_of(facts, facts.leg.arrival_place)
    name = facts.leg.points[-1].name if place is None else place.name

    def say(index: int) -> Words:
        meeting = [strain.told(index) for strain in found if strain.met[index] == 1.0]
        bad = outcome[index] > Outcome.PASSED
        hands = found[-1].met[index] == 1.0
        return Words(
            title=f"{len(meeting)} things at once on arrival" if bad else TITLE,
            sentence=f"At the arrival in {name} meet: {listed(meeting)}." if meeting else f"An easy arrival in {name}.",
            do=f"Take away one of them before leaving; with {CONDITION_FROM - 1} it is passed." if bad else "",
            by=by_departure(passage, index),
            sums=(("At once: passed up to 2, condition from 3, no-go from 5", f"{len(meeting)}"),),
            evidence=(("place", facts.leg.arrival_place),),
            remedies=(one_more(passage, index, Skill.LINES),) if bad and hands else (),
        )

    return Judgement(
        rule=RULE_ID,
        cause=("arrival", facts.leg.arrival_place),
        outcome=outcome,
        demand=np.asarray(sure, np.float64),
        limit=float(CONDITION_FROM),
        unit="things at once",
        say=say,
    )


RULE = Rule(
    id=RULE_ID,
    title=TITLE,
    subject=Subject.PEOPLE,
    formula="At the arrival, by plan or late: dark, a strange harbour, wind of 17 kn, visibility under 2 nmi, under 1.0 m "
    "surely under the keel, under 60 min before the gate's last entry, 4 h or more at the helm each, hands exactly the "
    "minimum. Up to 2 at once passed; 3 or 4 condition; 5 or more no-go.",
    source="[practice]",
    worst=Outcome.NO_GO,
    judge=stacked_arrival,
    limits=("mean_wind_advice_mps", "helm_ok_s", "height_doubt_m"),
    waive={Outcome.NO_GO: Waive.ONE_LEG, Outcome.CONDITION: Waive.ONE_LEG},
)
