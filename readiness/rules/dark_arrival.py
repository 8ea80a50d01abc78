"""A strange harbour in the dark."""

from collections.abc import Iterator

import numpy as np

from readiness.calc.daylight import CIVIL
from readiness.rules.facts import Facts
from readiness.rules.hands import fewest
from readiness.rules.judgement import Judgement, Outcome, Rule, Subject, Waive, Words
from readiness.rules.limits import Limits
from readiness.rules.missing import harbour_move, unknown
from readiness.rules.passage import Passage
from readiness.rules.telling import arrival_zone
from readiness.rules.way_out import place_of
from readiness.rules.words_of_trade import Skill
from vessel.calc.wording import clock, toward_limit
from vessel.units import NAUTICAL_MILE

RULE_ID = "dark_arrival"
CLEAR_M = 5 * NAUTICAL_MILE  # visibility wanted for a strange lit harbour in the dark [practice]


def dark_arrival(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:
    """One judgement on the arrival place between plan and late arrival.

    Source: [practice]
    """
    if facts.leg.harbour_move:
        yield harbour_move(RULE_ID, passage, "Arrival in the dark")
        return
    place = place_of(facts, facts.leg.arrival_place)
    if place is None:
        words = Words(
            title="Arrival place not known", sentence="The place of arrival is not on the coast of these facts."
        )
        yield unknown(RULE_ID, ("place", facts.leg.arrival_place), passage, words)
        return
    sun = np.minimum(passage.sun_plan_deg[:, -1], passage.sun_late_deg[:, -1])
    dark = sun < CIVIL
    leader = fewest(facts, passage, Skill.WATCH_LEADER, Skill.NIGHT, fit=True) >= 1
    clear = (passage.weather.visibility_m[:, -1] >= CLEAR_M) & (
        passage.weather.wind_mps[:, -1] < limits.mean_wind_advice_mps
    )
    bearable = bool(place.lit) & leader & clear
    strange = np.where(bearable, np.int8(Outcome.CONDITION), np.int8(Outcome.NO_GO))
    outcome = np.where(dark & (place.familiar is not True), strange, np.int8(Outcome.PASSED))
    outcome = np.where(np.isnan(sun) & (place.familiar is not True), np.int8(Outcome.UNKNOWN), outcome).astype(np.int8)

    def say(index: int) -> Words:
        zone = arrival_zone(facts)
        times = f"{clock(float(passage.plan.arrives_at[index]), zone)} to "
        times += clock(float(passage.late.arrives_at[index]), zone)
        known = "familiar" if place.familiar else "not familiar"
        lit = "lit" if place.lit else "not lit"
        light = "in the dark" if dark[index] else "by daylight"
        return Words(
            title=f"{place.name} {light}",
            sentence=f"Arrival {times} {light}; {place.name} is {known} and {lit}.",
            do="Leave earlier, or anchor outside until dawn." if outcome[index] else "",
            sums=(("Lowest sun between plan and late arrival", f"{toward_limit(float(sun[index]), CIVIL, 1)}°"),
                  ("Dark below", f"{CIVIL:.0f}°")),
            evidence=(("place", place.key),),
        )  # fmt: skip

    yield Judgement(
        rule=RULE_ID,
        cause=("place", place.key),
        outcome=outcome,
        demand=sun,
        limit=CIVIL,
        unit="deg",
        say=say,
    )


RULE = Rule(
    id=RULE_ID,
    title="A strange harbour in the dark",
    subject=Subject.DAYLIGHT,
    formula="Sun below −6° between plan and late arrival at a place that is not familiar: unlit no-go; lit a condition "
    "with a night leader, 5 nmi of visibility and under 17 kn of wind, else no-go.",
    source="[practice] [almanac]",
    worst=Outcome.NO_GO,
    judge=dark_arrival,
    limits=("mean_wind_advice_mps",),
    waive={Outcome.NO_GO: Waive.ONE_LEG, Outcome.CONDITION: Waive.ONE_LEG},
)
