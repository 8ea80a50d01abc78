"""A strange harbour in the dark."""

from collections.abc import Iterator

import numpy as np

from readiness.calc.daylight import CIVIL
from readiness.rules.facts import Facts
from readiness.rules.facts_water import Place
from readiness.rules.hands import fewest
from readiness.rules.judgement import Judgement, Outcome, Outcomes, Rule, Subject, Waive, Words
from readiness.rules.limits import Limits
from readiness.rules.missing import forecast_missing, harbour_move, unknown
from readiness.rules.passage import Passage
from readiness.rules.telling import arrival_zone
from readiness.rules.way_out import place_of
from readiness.rules.words_of_trade import Skill
from vessel.calc.wording import clock, toward_limit
from vessel.units import NAUTICAL_MILE, Flags

RULE_ID = "dark_arrival"
FAMILIAR_WORDS = {True: "familiar", False: "not familiar", None: "familiar or not, nobody has said,"}
LIT_WORDS = {True: "lit", False: "not lit", None: "lit or not, nobody has said"}
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
    strange, unseen = _strange(facts, passage, limits, place)
    in_the_dark = np.where(np.isnan(sun), np.int8(Outcome.UNKNOWN), np.where(dark, strange, np.int8(Outcome.PASSED)))
    outcome = (in_the_dark if place.familiar is not True else np.zeros(passage.departures)).astype(np.int8)
    weather = passage.weather.visibility_m + passage.weather.wind_mps
    at_arrival = np.where(np.arange(weather.shape[-1]) == weather.shape[-1] - 1, weather, 0.0)
    missing = dark & unseen & (place.familiar is False)
    yield from forecast_missing(RULE_ID, facts, passage, missing, at_arrival, "visibility and wind at the arrival")

    def say(index: int) -> Words:
        zone = arrival_zone(facts)
        times = f"{clock(float(passage.plan.arrives_at[index]), zone)} to "
        times += clock(float(passage.late.arrives_at[index]), zone)
        known, lit = FAMILIAR_WORDS[place.familiar], LIT_WORDS[place.lit]
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


def _strange(facts: Facts, passage: Passage, limits: Limits, place: Place) -> tuple[Outcomes, Flags]:
    """The outcome at a place that is not familiar, in the dark; and where only the weather is missing for it."""
    leader = fewest(facts, passage, Skill.WATCH_LEADER, Skill.NIGHT, fit=True) >= 1
    visibility, wind = passage.weather.visibility_m[:, -1], passage.weather.wind_mps[:, -1]
    foul = (visibility < CLEAR_M) | (wind >= limits.mean_wind_advice_mps)
    no_go, condition = np.int8(Outcome.NO_GO), np.int8(Outcome.CONDITION)
    by_light = {True: condition, False: no_go, None: np.int8(Outcome.UNKNOWN)}[place.lit]
    outcome = np.where(leader & ~foul, by_light, no_go)
    unseen = np.asarray((outcome < Outcome.NO_GO) & np.isnan(visibility + wind))
    if place.familiar is None:  # it may be a harbour they know well
        outcome = np.full(passage.departures, Outcome.UNKNOWN, np.int8)
    return outcome.astype(np.int8), unseen


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
