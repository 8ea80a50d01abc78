"""Worn steering in a following sea: what is worn in steering counts double when the sea comes from astern."""

from collections.abc import Iterator
from functools import partial

import numpy as np
from numpy.typing import NDArray

from readiness.calc.track import wrapped
from readiness.rules.circumstances import all_of, any_step, holds, weighed, worst_of
from readiness.rules.emergency_steering import FIT_IT, emergency_steering
from readiness.rules.exposed import NO_LENGTH
from readiness.rules.facts import Facts
from readiness.rules.judgement import Cause, Judgement, Outcome, Outcomes, Rule, Subject, Words
from readiness.rules.limits import Limits
from readiness.rules.missing import LATE_ARRIVAL, forecast_missing, harbour_move, late_arrival_missing, unknown, untimed
from readiness.rules.passage import Passage, Weather
from readiness.rules.record import Array
from readiness.rules.steering import steering
from readiness.rules.telling import by_departure, hand_for, listed
from readiness.rules.way_out import eased_at_late_only, leaning_words
from readiness.rules.words_of_trade import Skill
from vessel.calc.wording import margin, metres
from vessel.units import Flags

ID, TITLE = "worn_steering_in_following_sea", "Worn steering in a following sea"
ASTERN_DEG = 60.0  # to either side of right astern [practice]


def worn_steering_in_following_sea(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:
    """Main steering and emergency steering, each worn or not, against the sea from astern.

    Source: [practice]
    """
    if facts.leg.harbour_move:
        yield harbour_move(ID, passage, TITLE)
        return
    yield from late_arrival_missing(ID, passage)
    main, emergency = (list(rule(facts, passage, limits)) for rule in (steering, emergency_steering))
    worn = [worst_of([one.outcome for one in found]) >= Outcome.CONDITION for found in (main, emergency)]
    count = np.asarray(sum(flags.astype(np.int64) for flags in worn))
    following = following_sea(facts, passage, limits, passage.weather)
    with_sea = np.array([Outcome.PASSED, Outcome.CONDITION, Outcome.NO_GO], np.int8)[count]
    without = np.array([Outcome.PASSED, Outcome.PASSED, Outcome.CONDITION], np.int8)[count]
    at_late, undecided = weighed(following, with_sea, without)

    def by_plan() -> tuple[Outcomes, Flags]:
        return weighed(following_sea(facts, passage, limits, passage.weather_at_plan), with_sea, without)

    outcome, leans, step = eased_at_late_only(facts, passage, by_plan, at_late, _from_astern(passage))
    cause = _cause([*emergency, *main])
    yield Judgement(
        rule=ID,
        cause=cause,
        outcome=outcome,
        demand=highest_astern(passage),
        limit=limits.sea_advice_loa * facts.boat.vessel.loa_m,
        unit="m",
        say=partial(_say, facts, passage, limits, outcome, following, worn, cause, (leans, step)),
        starved_by=LATE_ARRIVAL,
        starved=untimed(passage) & (cause == LATE_ARRIVAL),
    )
    unseen = np.isnan(_seen(passage)).any(axis=-1)
    yield from forecast_missing(ID, facts, passage, undecided & unseen, _seen(passage), "sea")
    if (undecided & ~unseen).any():
        yield unknown(ID, ("reading", "length overall"), passage, NO_LENGTH, undecided & ~unseen)


def following_sea(facts: Facts, passage: Passage, limits: Limits, weather: Weather) -> Array:
    """Whether a sea of the advice height comes from within 60 degrees of astern on exposed water, three-valued."""
    sea = weather.sea_m[:, passage.exposed]
    high = holds(np.greater_equal, sea, limits.sea_advice_loa * facts.boat.vessel.loa_m)
    return any_step(all_of(high, holds(np.less_equal, _off_astern(passage, weather), ASTERN_DEG)))


def highest_astern(passage: Passage) -> Array:
    """Highest effective sea from astern on exposed water, [departure]; 0 for none, NaN where it is not known."""
    sea, off = passage.weather.sea_m[:, passage.exposed], _off_astern(passage, passage.weather)
    from_astern = np.where(off > ASTERN_DEG, 0.0, sea)
    return np.asarray(np.where(np.isnan(off), np.nan, from_astern).max(axis=-1, initial=0.0))


def _off_astern(passage: Passage, weather: Weather) -> Array:
    """Angle between where the waves come from and right astern on exposed steps, [departure, step]."""
    astern = passage.track.step_course_deg[passage.exposed] + 180.0
    return np.abs(wrapped(weather.wave_from_deg[:, passage.exposed] - astern))


def _from_astern(passage: Passage) -> Array:
    """The sea from astern on every step, [departure, step]; 0 where it is none, NaN where that is not known."""
    values = np.zeros_like(passage.weather.sea_m)
    off = _off_astern(passage, passage.weather)
    values[:, passage.exposed] = np.where(off > ASTERN_DEG, 0.0, passage.weather.sea_m[:, passage.exposed])
    return values


def _seen(passage: Passage) -> Array:
    """NaN where the forecast lacks the height or the direction of the sea on exposed water, [departure, step]."""
    return np.where(passage.exposed, passage.weather.sea_m + passage.weather.wave_from_deg, 0.0)


def _cause(found: list[Judgement]) -> Cause:
    """The first worn thing, the emergency steering before the main one."""
    return next((one.cause for one in found if (one.outcome >= Outcome.CONDITION).any()), ("function", "Steer"))


def _say(
    facts: Facts,
    passage: Passage,
    limits: Limits,
    outcome: Outcomes,
    following: Array,
    worn: list[Flags],
    cause: Cause,
    leaning: tuple[Flags, NDArray[np.int64]],
    index: int,
) -> Words:
    highest, limit = highest_astern(passage)[index], limits.sea_advice_loa * facts.boat.vessel.loa_m
    height = f"{limits.sea_advice_loa:g} × {metres(facts.boat.vessel.loa_m)}"
    sums = ((f"Sea from astern, limit {height} = {metres(limit, 2)}", metres(highest, 2)),)
    if outcome[index] == Outcome.PASSED:
        left = margin(limit - highest, "m", 2) if worn[0][index] or worn[1][index] else ""
        said = "Nothing in steering is worn." if not left else f"The sea from astern stays under {metres(limit, 2)}."
        return Words(title=TITLE, sentence=said, sums=sums, margin=left)
    parts = [name for name, flags in zip(("main steering", "emergency steering"), worn, strict=True) if flags[index]]
    sea = (
        f"a sea of {metres(highest)} from astern{_where(facts, passage, index)}"
        if following[index] == 1.0
        else "any sea"
    )
    verb = "is" if len(parts) == 1 else "are"
    leans, step = leaning
    late = f" {leaning_words(facts, passage, outcome[index] == Outcome.NO_GO, step, index)}" if leans[index] else ""
    return Words(
        title="Worn steering in a following sea",
        sentence=f"{listed(parts).capitalize()} {verb} not good, with {sea}.{late}",
        do=f"{FIT_IT}; mend either, choose another heading or wait for less sea.",
        by=by_departure(passage, index),
        who=hand_for(facts, Skill.HELM),
        sums=sums,
        evidence=(cause, ("forecast", "")),
    )


def _where(facts: Facts, passage: Passage, index: int) -> str:
    """On which part of the leg the sea from astern is highest."""
    sea = _from_astern(passage)[index]
    if np.isnan(sea).any() or not passage.exposed.any():
        return ""
    step = int(np.argmax(sea))
    return f", {facts.leg.segments[int(passage.track.segment[step])].name}"


RULE = Rule(
    id=ID,
    title=TITLE,
    subject=Subject.BOAT,
    formula="k = main steering at a condition or worse + emergency steering at a condition or worse; waves from within 60 "
    "degrees of astern of the advice height or more: k = 1 is a condition, k = 2 no-go; k = 2 without such a sea is a "
    "condition, as is one that only the late figure meets where a refuge passes",
    source="[practice] [own]",
    worst=Outcome.NO_GO,
    judge=worn_steering_in_following_sea,
    limits=("sea_advice_loa",),
)
