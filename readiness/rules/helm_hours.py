"""Hours at the helm for each helmsman, the dark counted heavier."""

from collections.abc import Iterator

import numpy as np

from readiness.rules.autopilot_credit import credit
from readiness.rules.exposed import on_exposed
from readiness.rules.facts import Facts
from readiness.rules.hands import fewest, one_more
from readiness.rules.judgement import Judgement, Outcome, Rule, Subject, Waive, Words, graded
from readiness.rules.limits import Limits
from readiness.rules.missing import forecast_missing, harbour_move, people_or_times
from readiness.rules.passage import Passage
from readiness.rules.record import Array
from readiness.rules.words_of_trade import Skill
from vessel.calc.wording import duration

RULE_ID = "helm_hours"
WITH_AUTOPILOT = 0.35  # share of the time that still has to be steered [own]
IN_A_SEA = 1.25  # steering is harder from a sea of `sea_condition_loa` on [own]
IN_THE_DARK = 1.5  # an hour in the dark counts so much [own]


def helm_hours(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:
    """One judgement: time at the helm each, by plan.

    Source: [own]
    """
    if facts.leg.harbour_move:
        yield harbour_move(RULE_ID, passage, "Helm hours")
        return
    sea = on_exposed(passage, passage.weather.sea_m)
    share = _by_hand(facts, passage, sea, limits.sea_condition_loa * facts.boat.vessel.loa_m)
    by_day, dark = passage.duration_s - passage.dark_s, IN_THE_DARK * passage.dark_s
    helms = fewest(facts, passage, Skill.HELM, fit=True)
    night = fewest(facts, passage, Skill.HELM, Skill.NIGHT, fit=True)
    each = share * (_shared(by_day, helms) + _shared(dark, night))
    outcome = graded(
        each,
        (np.greater, limits.helm_ok_s, Outcome.CONDITION),
        (np.greater, limits.helm_no_go_s, Outcome.NO_GO),
    )
    if np.isnan(facts.boat.vessel.loa_m):  # whether the sea is rough for her cannot be told
        outcome = np.maximum(outcome, np.int8(Outcome.UNKNOWN)).astype(np.int8)
    missing = np.asarray(np.isnan(sea).any(axis=-1) & (outcome < Outcome.NO_GO))
    yield from forecast_missing(RULE_ID, facts, passage, missing, sea, "sea")
    starved_by, starved = people_or_times(facts, passage)

    def say(index: int) -> Words:
        hours = duration(float(each[index])) if np.isfinite(each[index]) else "more hours than there are hands"
        return Words(
            title="Hours at the helm",
            sentence=f"{hours} at the helm for {_each(helms[index], night[index])}; "
            f"passed up to {duration(limits.helm_ok_s)}.",
            do="Another helm, split the leg, or prove the autopilot." if outcome[index] else "",
            sums=(("By day, shared", duration(float(by_day[index]))),
                  ("In the dark × 1.5, shared by night helms", duration(float(dark[index]))),
                  ("Share that is steered by hand", f"{share[index]:.2f}")),
            remedies=(one_more(passage, index, Skill.HELM, Skill.NIGHT),) if outcome[index] else (),
            margin=duration(limits.helm_ok_s - float(each[index])) if not outcome[index] else "",
        )  # fmt: skip

    yield Judgement(
        rule=RULE_ID,
        cause=("people", "helms"),
        outcome=outcome,
        demand=each,
        limit=limits.helm_ok_s,
        unit="s",
        say=say,
        starved_by=starved_by,
        starved=starved & bool(np.isfinite(facts.boat.vessel.loa_m)),
    )


def _by_hand(facts: Facts, passage: Passage, sea_m: Array, rough_m: float) -> Array:
    """The share of the time that is steered by hand, a rough sea counted heavier; a sea not known is counted as none."""
    rough = np.where(np.isnan(sea_m), 0.0, sea_m).max(axis=-1) >= rough_m
    return np.where(credit(facts, passage), WITH_AUTOPILOT, 1.0) * np.where(rough, IN_A_SEA, 1.0)


def _shared(time_s: Array, people: Array) -> Array:
    """A time shared by people; endless where there is time and nobody, nothing where there is no time."""
    with np.errstate(divide="ignore", invalid="ignore"):
        each = time_s / people
    return np.where(time_s == 0.0, 0.0, each)


def _each(helms: float, night: float) -> str:
    """Who shares the helm: "the one helm, good for the night", "each of 3 helms, 1 of them good for the night"."""
    if helms == 1:
        return f"the one helm, {'' if night else 'not '}good for the night"
    return f"each of {helms:.0f} helms, {night:.0f} of them good for the night"


RULE = Rule(
    id=RULE_ID,
    title="Helm hours each",
    subject=Subject.PEOPLE,
    formula="(day hours ÷ helms + 1.5 × dark hours ÷ night helms) × 0.35 with the autopilot counted, × 1.25 in a sea "
    "of 0.125 of her length: up to 4 h passed, up to 6 h condition, over 6 h no-go.",
    source="[own]",
    worst=Outcome.NO_GO,
    judge=helm_hours,
    limits=("helm_ok_s", "helm_no_go_s", "sea_condition_loa"),
    waive={Outcome.NO_GO: Waive.ONE_LEG, Outcome.CONDITION: Waive.ONE_LEG},
)
