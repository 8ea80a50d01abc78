"""Water at the berth and every gate open while she leaves, slip included."""

from collections.abc import Iterator

import numpy as np

from readiness.calc.tide import pressure_correction
from readiness.calc.window import inside, known
from readiness.rules.facts import Facts
from readiness.rules.gate_times import departure_gates, gate_cause
from readiness.rules.gate_words import waits_for_forecast
from readiness.rules.gates import never_opens
from readiness.rules.judgement import Judgement, Outcome, Rule, Subject, Waive, Words
from readiness.rules.limits import Limits
from readiness.rules.missing import forecast_missing, unknown, unknown_where
from readiness.rules.passage import Passage
from readiness.rules.record import Array
from readiness.rules.telling import departure_zone
from readiness.rules.way_out import place_of
from vessel.calc.wording import metres, toward_limit, with_utc

RULE_ID = "getting_out"
SAMPLES = 5  # heights looked at between departure and the end of the slip
GATE_WORDS = {
    Outcome.PASSED: ("{name} open for leaving", "{name} is open at {at} and until the slip is over."),
    Outcome.UNKNOWN: ("{name}: windows not known", "When {name} is open is not known about {at}."),
    Outcome.NO_GO: ("{name} shut for leaving", "{name} is shut at {at}, or shuts before the slip is over."),
}


def getting_out(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:
    """One judgement on the water at the berth and one for each gate on the way out.

    Source: [practice]
    """
    yield from _berth(facts, passage, limits)
    gates = {gate.key: gate for gate in facts.water.gates}
    for key in departure_gates(facts):
        if key not in gates or not never_opens(gates[key]):  # there headroom is asked instead
            yield _gate(facts, passage, key)


def _leaving(facts: Facts, passage: Passage) -> Array:
    """Times from departure to the end of the slip, [departure, sample]."""
    return passage.departure_at[:, None] + facts.boat.vessel.slip_s * np.linspace(0.0, 1.0, SAMPLES)


def _berth(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:
    place = place_of(facts, facts.leg.departure_place)
    tide = passage.tides.get((place.station if place is not None else None) or "")
    if place is None or tide is None:
        words = Words(title="Water at the berth not known", sentence="Depth or tide at the berth is not known.")
        cause = ("tide", place.station or "") if place is not None else ("berth", facts.leg.departure_place)
        yield unknown(RULE_ID, cause, passage, words)
        return
    pressed = np.asarray(pressure_correction(passage.weather.pressure_hpa[:, 0]))
    best = np.asarray(tide.height(_leaving(facts, passage))).min(axis=-1)
    best = best + place.charted_m - facts.boat.vessel.draught_m
    under, need = best + pressed, limits.under_keel_m
    outcome = np.where(best < need, np.int8(Outcome.NO_GO), np.int8(Outcome.PASSED))
    outcome = np.where(under < need, np.int8(Outcome.NO_GO), outcome)
    doubtful = (under - limits.height_doubt_m < need) & (outcome == Outcome.PASSED)
    outcome = np.where(doubtful, np.int8(Outcome.CONDITION), outcome)
    waits = np.asarray(np.isnan(pressed) & (outcome < Outcome.NO_GO))
    missing = np.isnan(best)
    outcome = np.where(missing, np.int8(Outcome.UNKNOWN), outcome).astype(np.int8)
    pressure = np.where(np.arange(passage.exposed.size) == 0, passage.weather.pressure_hpa, 0.0)
    yield from forecast_missing(RULE_ID, facts, passage, waits, pressure, "pressure")

    def say(index: int) -> Words:
        left = float(under[index] if np.isfinite(under[index]) else best[index])
        return Words(
            title=f"Water at the berth in {place.name}",
            sentence=f"The depth at the berth in {place.name} is not known."
            if missing[index]
            else f"{metres(left, 2)} under the keel at the berth in {place.name}, {metres(need, 2)} wanted.",
            do="Shift berth the evening before." if outcome[index] > Outcome.PASSED else "",
            minutes=30.0,
            sums=(("Depth by chart", metres(place.charted_m, 2)), ("Under the keel while leaving", metres(left, 2))),
            margin=f"{toward_limit(left - need, 0.0, 2)} m" if not outcome[index] else "",
        )

    yield Judgement(
        rule=RULE_ID,
        cause=("berth", place.key),
        outcome=outcome,
        demand=under,
        limit=need,
        unit="m",
        say=say,
    )


def _gate(facts: Facts, passage: Passage, key: str) -> Judgement:
    gate = next((gate for gate in facts.water.gates if gate.key == key), None)
    windows, name = passage.windows.get(key), gate.name if gate is not None else key
    if windows is None or gate is None:
        words = Words(title=f"{name}: windows not known", sentence=f"When {name} is open is not known.")
        return unknown(RULE_ID, gate_cause(passage, gate, key), passage, words)
    times = _leaving(facts, passage)
    opened, told = np.asarray(inside(windows, times)), np.asarray(known(windows, times))
    shut = np.asarray((told & ~opened).any(axis=-1))
    outcome = np.where(shut, np.int8(Outcome.NO_GO), unknown_where(np.asarray(~told.all(axis=-1)))).astype(np.int8)

    def say(index: int) -> Words:
        at = with_utc(float(passage.departure_at[index]), departure_zone(facts))
        title, sentence = GATE_WORDS[Outcome(int(outcome[index]))]
        return Words(
            title=title.format(name=name),
            sentence=sentence.format(name=name, at=at),
            do="Leave while it is open, or shift berth the evening before." if outcome[index] else "",
            evidence=(("gate", key),),
        )

    return Judgement(
        rule=RULE_ID,
        cause=("gate", key),
        outcome=outcome,
        demand=passage.departure_at,
        limit=np.nan,
        unit="s since 1970",
        say=say,
        ripens=(outcome == Outcome.UNKNOWN) & waits_for_forecast(passage, gate, 0, times),
    )


RULE = Rule(
    id=RULE_ID,
    title="Getting off and out",
    subject=Subject.WATER,
    formula="From departure to the end of the slip: 0.30 m under the keel at the berth and every gate open, else no-go; "
    "enough, but not with 0.20 m of doubt taken off: condition.",
    source="[practice]",
    worst=Outcome.NO_GO,
    judge=getting_out,
    limits=("under_keel_m", "height_doubt_m"),
    waive={Outcome.NO_GO: Waive.NEVER, Outcome.CONDITION: Waive.ONE_LEG},
)
