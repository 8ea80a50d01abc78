"""Does the forecast reach from departure to two hours after the late arrival?"""

from collections.abc import Iterator

import numpy as np

from readiness.rules.facts import Facts
from readiness.rules.judgement import Judgement, Outcome, Rule, Subject, Waive, Words
from readiness.rules.limits import Limits
from readiness.rules.missing import LATE_ARRIVAL, harbour_move
from readiness.rules.passage import Passage
from readiness.rules.telling import departure_zone
from readiness.rules.weather_met import sampled
from vessel.calc.wording import duration, with_utc
from vessel.units import HOUR, Epoch

RULE_ID = "forecast_cover"
BEYOND_S = 2 * HOUR  # the forecast must reach so long past the late arrival [practice]


def forecast_cover(facts: Facts, passage: Passage, _limits: Limits) -> Iterator[Judgement]:
    """One judgement on the forecast held: its hours against the hours of the leg.

    Source: [solas-v34]
    """
    if facts.leg.harbour_move:
        yield harbour_move(RULE_ID, passage, "Forecast covers the leg")
        return
    forecast = sampled(facts.water.forecast)
    begins, ends = (forecast.at[0], forecast.at[-1]) if forecast is not None else (np.nan, np.nan)
    needed = passage.late.arrives_at + BEYOND_S
    covered = (passage.departure_at >= begins) & (needed <= ends)

    zone = departure_zone(facts)
    spacing = f" {uneven(forecast.at, zone)}".rstrip() if forecast is not None else ""

    def say(index: int) -> Words:
        last, wanted = with_utc(ends, zone), with_utc(float(needed[index]), zone)
        if forecast is None:
            sentence = "No forecast is held that fits this leg."
        elif covered[index]:
            sentence = f"The forecast reaches {last}; the late arrival and two hours more end before it.{spacing}"
        else:
            lacks = f"{wanted} is needed" if np.isfinite(needed[index]) else "when she would arrive is not known"
            sentence = f"The forecast runs to {last}; {lacks}.{spacing}"
        return Words(
            title="Forecast covers the leg" if covered[index] else "The forecast ends too soon",
            sentence=sentence,
            do="" if covered[index] else "Take in the forecast that reaches it.",
            minutes=5.0,
            sums=(("Late arrival and 2 h", wanted), ("Forecast ends", last)),
            evidence=(("forecast", ""),),
        )

    yield Judgement(
        rule=RULE_ID,
        cause=("forecast", ""),
        outcome=np.where(covered, np.int8(Outcome.PASSED), np.int8(Outcome.UNKNOWN)),
        demand=needed,
        limit=ends,
        unit="s since 1970",
        say=say,
        ripens=np.isfinite(needed) & ~covered,
        starved_by=LATE_ARRIVAL,
        starved=np.isnan(needed) & (forecast is not None),
    )


def uneven(at: Epoch, zone: str) -> str:
    """What is uneven about the times of a forecast, in a sentence; "" where all steps are as long.

    Steps that only grow longer are told as such. A longer step before a shorter one is a hole: hours have been lost.
    """
    gaps = np.diff(np.asarray(at, float))
    if not gaps.size or (gaps == gaps[0]).all():
        return ""
    return hole_in(at, zone) or f"Its steps are {duration(gaps[0])}, later {duration(gaps[-1])}."


def hole_in(at: Epoch, zone: str) -> str:
    """The largest hole in the times of a forecast, in a sentence; "" where its steps only grow longer."""
    gaps = np.diff(np.asarray(at, float))
    holes = np.flatnonzero(gaps[:-1] > gaps[1:])
    if not holes.size:
        return ""
    hole = int(holes[np.argmax(gaps[holes])])
    begins = with_utc(float(np.asarray(at)[hole]), zone)
    return f"It jumps {duration(gaps[hole])} from {begins}, as if hours were lost; elsewhere {duration(gaps.min())}."


RULE = Rule(
    id=RULE_ID,
    title="The forecast covers the leg",
    subject=Subject.WEATHER,
    formula="[departure, late arrival + 2 h] inside the forecast: passed; any part outside: unknown.",
    source="[solas-v34]",
    worst=Outcome.UNKNOWN,
    judge=forecast_cover,
    waive={Outcome.UNKNOWN: Waive.NEVER},
)
