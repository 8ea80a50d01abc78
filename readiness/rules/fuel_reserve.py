"""Fuel surely aboard against fuel needed until the next place that sells it."""

from collections.abc import Callable, Iterator

import msgspec
import numpy as np

from readiness.rules.facts import Facts, changed
from readiness.rules.facts_boat import Tank
from readiness.rules.fuel_aboard import HARBOUR_MOVE_L, burn_l_per_h, burn_words, sure_l
from readiness.rules.judgement import Judgement, Outcome, Remedy, Rule, Subject, Waive, Words, graded
from readiness.rules.limits import Limits
from readiness.rules.missing import LATE_ARRIVAL
from readiness.rules.passage import Passage
from readiness.rules.running_on import NOT_STATED, STATE_IT, running_on_s, running_words
from vessel.calc.wording import duration, toward_limit, with_unit
from vessel.units import HOUR

RULE_ID = "fuel_reserve"


def fuel_reserve(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:
    """One judgement over all tanks: times the fuel needed that is surely aboard.

    Source: [practice]
    """
    sure, burn = sure_l(facts, passage), burn_l_per_h(facts)
    needed = burn * (passage.duration_s + running_on_s(facts)) / HOUR
    to_refuge = burn * passage.refuge_s / HOUR
    with np.errstate(divide="ignore", invalid="ignore"):
        times = sure / needed
    if facts.leg.harbour_move:
        outcome, demand, limit = graded(sure, (np.less, HARBOUR_MOVE_L, Outcome.NO_GO)), sure, HARBOUR_MOVE_L
    else:
        ladder = ((np.less, limits.fuel_ok, Outcome.CONDITION), (np.less, limits.fuel_no_go, Outcome.NO_GO))
        outcome, demand, limit = graded(times, *ladder), times, limits.fuel_ok
        outcome = np.maximum(outcome, graded(sure - to_refuge, (np.less, 0.0, Outcome.NO_GO)))

    def say(index: int) -> Words:
        short = limits.fuel_ok * float(needed[index]) - float(sure[index])
        return Words(
            title="Fuel",
            sentence=_sentence(facts, passage, float(sure[index]), float(needed[index]), float(times[index]), index),
            do=_do(facts, Outcome(int(outcome[index])), float(sure[index]), float(passage.duration_s[index]), short),
            minutes=20.0,
            sums=(("Surely aboard: reading − unusable − error", with_unit(float(sure[index]), "L", 1)),
                  (f"Needed: {with_unit(burn, 'L/h', 1)} × {running_words(facts, float(passage.duration_s[index]))}",
                   with_unit(float(needed[index]), "L", 1)),
                  ("What the burn stands on", burn_words(facts)),
                  (f"To the farthest refuge used: {duration(float(passage.refuge_s[index]))}",
                   with_unit(float(to_refuge[index]), "L", 1))),
            evidence=tuple(("tank", tank.name) for tank in facts.boat.fuel),
            remedies=(Remedy("load", f"Load {with_unit(np.ceil(short), 'L')} of fuel", _loaded(short), minutes=20.0),)
            if 0 < np.ceil(short) <= _room(facts) and not facts.leg.harbour_move else (),
            margin=f"{toward_limit(float(times[index]) - limits.fuel_ok, 0.0, 2)} times the need"
            if not outcome[index] and not facts.leg.harbour_move else "",
        )  # fmt: skip

    yield Judgement(
        rule=RULE_ID,
        cause=("tank", "fuel"),
        outcome=outcome,
        demand=demand,
        limit=limit,
        unit="times" if not facts.leg.harbour_move else "l",
        say=say,
        starved_by=LATE_ARRIVAL,
        starved=np.isnan(passage.duration_s) & np.isfinite(sure + burn + running_on_s(facts)),
    )


def _sentence(facts: Facts, passage: Passage, sure: float, needed: float, times: float, index: int) -> str:
    if np.isnan(sure):
        return "How much fuel is surely aboard is not known, or the reading is too old."
    if facts.leg.harbour_move:
        return f"{with_unit(sure, 'L')} surely aboard; {HARBOUR_MOVE_L:.0f} L is enough for a harbour move."
    if np.isnan(needed):
        return f"How much fuel the leg takes is not known. {_lacks(facts, float(passage.duration_s[index]))}"
    if np.isinf(times):
        return f"{with_unit(sure, 'L', 1)} surely aboard; the leg takes none."
    return (
        f"{with_unit(sure, 'L', 1)} surely aboard, {with_unit(needed, 'L', 1)} needed: {times:.2f} times, "
        f"{facts.limits.fuel_ok:g} wanted."
    )


def _lacks(facts: Facts, leg_s: float) -> str:
    """What is missing of the need, each in a sentence."""
    missing = (
        (np.isnan(burn_l_per_h(facts)), "What she burns at this speed is not known."),
        (np.isnan(leg_s), "How long she is under way is not known."),
        (np.isnan(running_on_s(facts)), f"{NOT_STATED}."),
    )
    return " ".join(said for is_missing, said in missing if is_missing)


def _do(facts: Facts, outcome: Outcome, sure: float, leg_s: float, short: float) -> str:
    if short > 0:
        return f"Load {with_unit(np.ceil(short), 'L')}."
    if not outcome or facts.leg.harbour_move or np.isnan(sure):
        return "Dip the tank." if outcome else ""
    missing = (
        (np.isnan(burn_l_per_h(facts)), "Enter the burn at this speed in her speed table."),
        (np.isnan(leg_s), "Give her speed and the streams of the way."),
        (np.isnan(running_on_s(facts)), STATE_IT),
    )
    return " ".join(do for is_missing, do in missing if is_missing) or "Load fuel, or take the nearer refuge."


def _room(facts: Facts) -> float:
    """Litres that still go into the tanks."""
    return float(sum(np.floor(tank.capacity_l - tank.reading_l.value) for tank in facts.boat.fuel))


def _loaded(litres: float) -> Callable[[Facts], Facts]:
    """The facts with so many litres more, tank after tank, none beyond what it holds."""

    def change(facts: Facts) -> Facts:
        left, filled = float(np.ceil(litres)), []
        for tank in facts.boat.fuel:
            taken = min(left, float(np.floor(tank.capacity_l - tank.reading_l.value)))
            filled.append(_with_more(tank, taken))
            left -= taken
        return changed(facts, boat=msgspec.structs.replace(facts.boat, fuel=tuple(filled)))

    return change


def _with_more(tank: Tank, litres: float) -> Tank:
    reading = msgspec.structs.replace(tank.reading_l, value=tank.reading_l.value + litres)
    return msgspec.structs.replace(tank, reading_l=reading)


RULE = Rule(
    id=RULE_ID,
    title="Fuel",
    subject=Subject.STORES,
    formula="(reading − unusable − 3 % of the tank, 10 % by gauge) ÷ (burn × time to the next fuel): 1.50 passed, from "
    "1.25 condition, below no-go; less than the way to the farthest refuge used needs: no-go. Burn: the worse of her speed "
    "table and of the median of what her runs used of it, 3 runs at least. Harbour move: 10 L.",
    source="[practice] [own]",
    worst=Outcome.NO_GO,
    judge=fuel_reserve,
    limits=("fuel_ok", "fuel_no_go"),
    waive={Outcome.NO_GO: Waive.NEVER, Outcome.CONDITION: Waive.ONE_LEG},
)
