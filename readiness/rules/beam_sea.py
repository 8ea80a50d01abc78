"""Sea on the beam: high enough to roll her far, steep enough to knock her down."""

from collections.abc import Iterator

import numpy as np

from readiness.rules.exposed import NO_LENGTH, Asked, Spot, judged_on_exposed
from readiness.rules.facts import Facts
from readiness.rules.judgement import Judgement, Outcome, Rule, Subject, Waive, Words
from readiness.rules.limits import Limits
from readiness.rules.off_bow import HAIRS, off_bow, side
from readiness.rules.passage import Passage, Weather
from readiness.rules.record import Array
from vessel.calc.wording import metres, toward_limit

RULE_ID = "beam_sea"
TITLE = "Sea on the beam"
ABEAM_DEG = (60.0, 120.0)  # off the bow to either side, both ends in [practice]


def beam_sea(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:
    """One judgement: the highest effective sea from the beam on exposed steps.

    Source: [practice]
    """
    length = facts.boat.vessel.loa_m
    condition, no_go = (
        round(share * length, HAIRS) for share in (limits.beam_sea_condition_loa, limits.beam_sea_no_go_loa)
    )

    def counted(weather: Weather) -> Array:
        return beam_sea_that_counts(passage, weather, no_go, limits.beam_sea_steepness)

    def say(spot: Spot) -> Words:
        if spot.outcome == Outcome.UNKNOWN:
            return NO_LENGTH
        at = (spot.index, spot.step)
        angle, steep = float(off_bow(passage, passage.weather)[at]), float(passage.weather.steepness[at])
        sea = float(passage.weather.sea_m[at]) if spot.value else 0.0
        told = f"Sea {metres(sea, 2)}{side(passage, *at)} on the way from {spot.where}"
        return Words(
            title=f"Sea on the beam {metres(sea, 2)}" if sea else "No sea on the beam",
            sentence=f"{told}; condition from {metres(condition, 2)} on the beam, no-go from {metres(no_go, 2)} if steep."
            if sea
            else "No exposed part of the way has the sea on the beam.",
            do="Dog-leg, so that it comes from ahead or astern, or leave at another time." if spot.outcome else "",
            sums=(
                ("Sea off the bow", f"{angle:.0f}°"),
                (f"Steepness, counts from {limits.beam_sea_steepness:.3f}", f"{steep:.4f}"),
            )
            if sea
            else (),
            evidence=(("forecast", ""),),
            margin=f"{toward_limit(condition - sea, 0.0, 2)} m" if 0 < sea < condition else "",
        )

    ladder = ((np.greater_equal, condition, Outcome.CONDITION), (np.greater_equal, no_go, Outcome.NO_GO))
    asked = Asked(RULE_ID, TITLE, "beam sea", "sea and its direction", "m", counted, ladder, condition, say)
    yield from judged_on_exposed(facts, passage, asked)


def beam_sea_that_counts(passage: Passage, weather: Weather, no_go_m: float, steep_from: float) -> Array:
    """Effective sea from the beam, [departure, step]; 0 where it comes from elsewhere, NaN where that is not known.

    A sea that is not steep is no no-go however high, so it counts as just under that limit.
    """
    angle, sea, steep = off_bow(passage, weather), weather.sea_m, weather.steepness
    just_under = np.inf if np.isnan(no_go_m) else np.nextafter(no_go_m, 0.0)
    counted = np.where(steep < steep_from, np.minimum(sea, just_under), sea)
    counted = np.where(np.isnan(steep) & (sea >= no_go_m), np.nan, counted)
    abeam = (angle >= ABEAM_DEG[0]) & (angle <= ABEAM_DEG[1])
    return np.asarray(np.where(abeam, counted, np.where(np.isnan(angle), np.nan, 0.0)))


RULE = Rule(
    id=RULE_ID,
    title="Sea on the beam",
    subject=Subject.WEATHER,
    formula="Effective sea from 60 to 120 degrees off the bow on exposed steps: 0.10 of the length overall condition; "
    "0.16 with a steepness of 0.040 or more no-go.",
    source="[practice] [own]",
    worst=Outcome.NO_GO,
    judge=beam_sea,
    limits=("beam_sea_condition_loa", "beam_sea_no_go_loa", "beam_sea_steepness"),
    waive={Outcome.NO_GO: Waive.ONE_LEG, Outcome.CONDITION: Waive.ONE_LEG},
)
