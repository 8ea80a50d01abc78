"""How old will the forecast be when she leaves?"""

from collections.abc import Iterator

import numpy as np

from readiness.rules.facts import Facts
from readiness.rules.judgement import Judgement, Outcome, Rule, Subject, Waive, Words, graded
from readiness.rules.limits import Limits
from readiness.rules.missing import harbour_move
from readiness.rules.passage import Passage
from readiness.rules.record import epoch
from readiness.rules.telling import by_departure
from vessel.calc.wording import duration
from vessel.units import DAY

RULE_ID = "forecast_age"
OUTLOOK_ONLY_S = 1 * DAY  # older than this it is an outlook [practice]


def forecast_age(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:
    """One judgement on the age of the forecast at departure.

    Source: [practice]
    """
    if facts.leg.harbour_move:
        yield harbour_move(RULE_ID, passage, "Age of the forecast")
        return
    forecast = facts.water.forecast
    age_s = passage.departure_at - (epoch(forecast.issued_at) if forecast is not None else np.nan)
    age_s = np.where(age_s < 0, np.nan, age_s)  # issued after she leaves: a clock or a date is wrong
    steps = (np.greater, limits.forecast_fresh_s, Outcome.CONDITION), (np.greater, OUTLOOK_ONLY_S, Outcome.UNKNOWN)
    outcome = graded(age_s, *steps)

    def say(index: int) -> Words:
        old, stale = duration(float(age_s[index])), outcome[index] > Outcome.PASSED
        known = np.isfinite(age_s[index])
        sentence = f"The forecast will be {old} old." if known else "When the forecast was issued is not known."
        return Words(
            title=f"The forecast will be {old} old" if known else "Age of the forecast not known",
            sentence=f"{sentence} It keeps {duration(limits.forecast_fresh_s)}; past 24 h there is only an outlook."
            if stale
            else sentence,
            do="Take the newest before leaving." if stale else "",
            by=by_departure(passage, index),
            minutes=5.0,
            sums=(("Departure less time of issue", old),),
            evidence=(("forecast", ""),),
            margin=duration(limits.forecast_fresh_s - float(age_s[index])) if not stale else "",
        )

    yield Judgement(
        rule=RULE_ID,
        cause=("forecast", ""),
        outcome=outcome,
        demand=age_s,
        limit=limits.forecast_fresh_s,
        unit="s",
        say=say,
        ripens=outcome > Outcome.PASSED,
    )


RULE = Rule(
    id=RULE_ID,
    title="The forecast is fresh",
    subject=Subject.WEATHER,
    formula="Age at departure: up to 6 h passed; up to 24 h condition; over 24 h unknown, an outlook only.",
    source="[practice]",
    worst=Outcome.UNKNOWN,
    judge=forecast_age,
    limits=("forecast_fresh_s",),
    waive={Outcome.CONDITION: Waive.ONE_LEG},
)
