"""Doubtful engine on a lee shore: the wind sets her on if the engine stops, and only the anchor is left."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from readiness.calc.success_tree import Level
from readiness.calc.track import wrapped
from readiness.calc.weather import Sampled, at_place, speed_and_from
from readiness.rules.circumstances import all_of, any_step, holds, worst_of
from readiness.rules.consumable_loss import consumable_loss
from readiness.rules.engine_drives import engine_drives
from readiness.rules.facts import Facts
from readiness.rules.judgement import Cause, Judgement, Outcome, Outcomes, Rule, Subject, Waive, Words
from readiness.rules.limits import Limits
from readiness.rules.missing import LATE_ARRIVAL, forecast_missing, harbour_move, not_asked, unknown, untimed
from readiness.rules.off_bow import HAIRS
from readiness.rules.passage import Passage
from readiness.rules.record import Array
from readiness.rules.state import states
from readiness.rules.telling import by_departure
from readiness.rules.way_out import eased_at_late_only, leaning_words
from readiness.rules.weather_met import WIND, sampled, stacked
from vessel.calc.wording import degrees, knots, miles
from vessel.units import Flags

RULE_ID = "lee_shore"
TITLE = "Doubtful engine on a lee shore"
ONSHORE_DEG = 60.0  # to either side of square-on to the shore [practice]
SAMPLES = 3  # moments looked at from entering a step to leaving it, ends included
DOUBTS = (engine_drives, consumable_loss)  # rules that tell of a doubtful engine, from a condition on


@dataclass(frozen=True)
class _Shore:
    """What is said of each departure: its answer, the step with the strongest wind on a near shore and what eases it."""

    outcome: Outcomes
    ready: Flags  # the anchor
    doubt: Flags  # of the engine
    step: NDArray[np.int64]
    leans: Flags
    turning: NDArray[np.int64]
    cause: Cause


def lee_shore(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:
    """One judgement: exposed steps with the wind on the shore, where the engine is in doubt.

    Source: [practice]
    """
    if facts.leg.harbour_move:
        yield harbour_move(RULE_ID, passage, TITLE)
        return
    told = [one for rule in DOUBTS for one in rule(facts, passage, limits) if one.cause != LATE_ARRIVAL]
    doubtful = [one for one in told if one.outcome.max() > Outcome.ADVICE]
    doubt = worst_of([one.outcome for one in doubtful]) > Outcome.ADVICE if doubtful else None
    if doubt is None or not passage.exposed.any():
        why = "Nothing puts the engine in doubt." if doubt is None else "No part of this leg is exposed."
        yield not_asked(RULE_ID, passage, TITLE, why)
        return
    forecast = sampled(facts.water.forecast)
    at_plan, at_late = (
        lee(facts, passage, forecast, limits, run.node_at[:, 1:]) for run in (passage.plan, passage.late)
    )
    yield from _missing(facts, passage, at_late, doubt)
    yield _judged(facts, passage, at_plan, at_late, doubt, doubtful[0].cause)


def lee(facts: Facts, passage: Passage, forecast: Sampled | None, limits: Limits, leaves_at: Array) -> Array:
    """Whether each exposed step has a strong wind on a near shore, three-valued, [departure, step].

    From entering by plan until `leaves_at`. The distance of the shore is that of its segment; where nobody has
    entered it, or which way the shore lies, it is not known.
    """
    speed, wind_from = _wind(passage, forecast, leaves_at)
    segments = [facts.leg.segments[int(number)] for number in passage.track.segment]
    shore_m, shore_to = (np.array([getattr(one, name) for one in segments]) for name in ("shore_m", "shore_to_deg"))
    near = holds(np.less_equal, shore_m, limits.lee_shore_m)
    off_square = np.asarray(np.round(np.abs(wrapped(wind_from - (shore_to + 180.0))), HAIRS), np.float64)
    strong = holds(np.greater_equal, speed, limits.mean_wind_advice_mps)
    onshore = holds(np.less_equal, off_square, ONSHORE_DEG)
    met = any_step(np.moveaxis(all_of(strong, onshore, np.broadcast_to(near, strong.shape)), 1, -1))
    return np.where(passage.exposed, met, 0.0)


def _wind(passage: Passage, forecast: Sampled | None, leaves_at: Array) -> tuple[Array, Array]:
    """Speed and direction of the wind at some moments of each step, [departure, moment, step]."""
    enters = passage.plan.node_at[:, :-1]
    share = np.linspace(0.0, 1.0, SAMPLES)[:, None]
    moments = enters[:, None, :] + share * (leaves_at - enters)[:, None, :]
    if forecast is None:
        nothing = np.full(moments.shape, np.nan)
        return nothing, nothing
    grids = stacked(forecast, ("wind_mps", *WIND))
    speed, east, north = at_place(forecast, grids, passage.track.step_along_m, moments)
    return speed, speed_and_from(east, north)[1]


def _missing(facts: Facts, passage: Passage, at_late: Array, doubt: Flags) -> Iterator[Judgement]:
    """What is not known and would decide: the wind first, else the shore."""
    open_ = doubt & (any_step(at_late) != 1.0)
    decides = open_ & ~untimed(passage)
    wind = np.where(passage.exposed, passage.weather.wind_mps, 0.0)
    blank = np.isnan(at_late) & np.isnan(wind)
    yield from forecast_missing(RULE_ID, facts, passage, open_ & (untimed(passage) | blank.any(axis=-1)), wind, "wind")
    shoreless = np.isnan(at_late) & ~np.isnan(wind)
    where = decides & shoreless.any(axis=-1)
    if where.any():
        step = int(np.flatnonzero(shoreless[int(np.argmax(where))])[0])
        name = facts.leg.segments[int(passage.track.segment[step])].name
        words = Words(
            title="Nearest shore not known",
            sentence=f"The engine is in doubt and it blows; nobody has said how far off the shore is from {name}.",
            do="Enter how far off the nearest shore lies and which way.",
        )
        yield unknown(RULE_ID, ("shore", name), passage, words, where)


def _judged(facts: Facts, passage: Passage, at_plan: Array, at_late: Array, doubt: Flags, cause: Cause) -> Judgement:
    held = states(facts, passage)
    ready = held.of(held.trees["hold_ground"]) == Level.IN_SERVICE
    bad = np.where(ready, np.int8(Outcome.CONDITION), np.int8(Outcome.NO_GO))
    passed = np.int8(Outcome.PASSED)
    late = np.where((at_late == 1.0).any(axis=-1) & doubt, bad, passed)

    def by_plan() -> tuple[Outcomes, Flags]:
        met = any_step(at_plan)
        return np.where((met == 1.0) & doubt, bad, passed), np.asarray(np.isnan(met) & doubt)

    on_shore = np.where(at_late == 1.0, passage.weather.wind_mps, 0.0)
    outcome, leans, turning = eased_at_late_only(facts, passage, by_plan, late, on_shore)
    found = _Shore(outcome, ready, doubt, on_shore.argmax(axis=-1), leans, turning, cause)
    return Judgement(
        rule=RULE_ID,
        cause=cause,
        outcome=outcome,
        demand=on_shore.max(axis=-1),
        limit=facts.limits.mean_wind_advice_mps,
        unit="m/s",
        say=partial(_say, facts, passage, found),
        applies=doubt,
    )


def _say(facts: Facts, passage: Passage, found: _Shore, index: int) -> Words:
    if not found.outcome[index]:
        engine = "The engine is in doubt" if found.doubt[index] else "Nothing puts the engine in doubt"
        return Words(title=TITLE, sentence=f"{engine}; no strong wind sets her on a near shore.")
    step = int(found.step[index])
    segment = facts.leg.segments[int(passage.track.segment[step])]
    wind = float(passage.weather.wind_mps[index, step])
    no_go = bool(found.outcome[index] == Outcome.NO_GO)
    turns = f" {leaning_words(facts, passage, no_go, found.turning, index)}" if found.leans[index] else ""
    anchor = "ready" if found.ready[index] else "not known to be ready"
    return Words(
        title=TITLE,
        sentence=f"Wind {knots(wind)} on the shore {miles(segment.shore_m)} off toward {degrees(segment.shore_to_deg)} "
        f"on the way from {segment.name}; the engine is in doubt, the anchor {anchor}.{turns}",
        do="Stand further off and have the anchor clear to let go."
        if found.ready[index]
        else "Stand further off; clear and prove the anchor; or wait.",
        by=by_departure(passage, index),
        sums=(("Strongest wind there", knots(wind, 1)), ("Off the shore", miles(segment.shore_m))),
        evidence=(found.cause, ("forecast", "")),
    )


RULE = Rule(
    id=RULE_ID,
    title=TITLE,
    subject=Subject.WEATHER,
    formula="Engine drive or a loss of oil or coolant at a condition or worse, and on an exposed step a wind of 17 kn "
    "or more within 60 degrees of square-on to a shore 2 nmi off or nearer: condition with the function Hold ground in "
    "service, else no-go; a shore not known counts as not known.",
    source="[practice] [own]",
    worst=Outcome.NO_GO,
    judge=lee_shore,
    limits=("lee_shore_m", "mean_wind_advice_mps"),
    waive={Outcome.NO_GO: Waive.ONE_LEG, Outcome.CONDITION: Waive.ONE_LEG},
)
