"""Oil, coolant or hydraulic oil that is being lost: does what is aboard outlast the running still ahead?"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

import numpy as np
from msgspec.structs import replace

from readiness.rules.computed_condition import fresh
from readiness.rules.facts import Facts, changed
from readiness.rules.facts_boat import Consumable
from readiness.rules.judgement import (
    Cause,
    Evidence,
    Judgement,
    Outcome,
    Outcomes,
    Remedy,
    Rule,
    Subject,
    Words,
    graded,
)
from readiness.rules.limits import Limits
from readiness.rules.missing import harbour_move, late_arrival_missing, not_asked, untimed
from readiness.rules.passage import Passage
from readiness.rules.record import NOT_KNOWN, Array
from readiness.rules.running_on import NOT_STATED, STATE_IT, running_on_s, running_words
from readiness.rules.telling import by_departure, hand_for
from readiness.rules.words_of_trade import Skill
from vessel.calc.wording import margin, number
from vessel.units import HOUR

ID, TITLE = "consumable_loss", "Loss of a consumable"
LEAST_POINTS = 3  # a rate from fewer is a guess [own]
NEWEST_INTERVALS = 5  # that the median looks at [own]
SHORT, TOO_LITTLE = 1.5, 1.0  # times the running ahead [own]
TOP_UP_SHARE = 0.8  # of what lasts without topping up [own]
LOAD_MINUTES = 10.0  # [own]


@dataclass(frozen=True, eq=False)
class Loss:
    """One consumable: litres an hour, litres at hand and hours of running still ahead, the last two [departure]."""

    rate_l_per_h: float
    above_l: Array
    carried_l: float
    ahead_h: Array

    @property
    def needed_l(self) -> Array:
        """What the running ahead will take."""
        return self.rate_l_per_h * self.ahead_h

    @property
    def reserve(self) -> Array:
        """How many times over what is at hand covers the need; infinite where nothing is lost."""
        with np.errstate(divide="ignore", invalid="ignore"):
            times = (self.above_l + self.carried_l) / self.needed_l
        return np.where(self.needed_l == 0, np.where(np.isnan(self.above_l + self.carried_l), np.nan, np.inf), times)

    @property
    def alone_h(self) -> Array:
        """How long the engine can run before it must be topped up."""
        with np.errstate(divide="ignore", invalid="ignore"):
            hours = self.above_l / self.rate_l_per_h
        return np.where(self.rate_l_per_h == 0, np.inf, hours)


def consumable_loss(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:
    """Each consumable that is watched.

    Source: [practice] [own]
    """
    if facts.leg.harbour_move:
        yield harbour_move(ID, passage, TITLE)
        return
    yield from late_arrival_missing(ID, passage)
    for consumable in facts.boat.consumables:
        yield _judged(facts, passage, limits, consumable)
    if not facts.boat.consumables:
        yield not_asked(ID, passage, TITLE, "Nothing is being lost that anybody watches.")


def rate_of(consumable: Consumable) -> float:
    """Litres an engine hour: the last interval or the median of the newest five, whichever is more; NaN under 3 points."""
    added = consumable.added[-(NEWEST_INTERVALS + 1) :]
    if len(consumable.added) < LEAST_POINTS:
        return NOT_KNOWN
    hours = np.diff([point.engine_h for point in added])
    litres = np.diff([point.total_l for point in added])
    sound = (hours > 0) & (litres >= 0)
    rates = np.where(sound, litres / np.where(sound, hours, 1.0), np.nan)
    return float(np.maximum(rates[-1], np.median(rates)))


def loss_of(facts: Facts, passage: Passage, consumable: Consumable) -> Loss:
    """The loss of one consumable over the leg and any running after it."""
    above = fresh(facts, consumable.above_minimum_l, passage)
    ahead = passage.duration_late_s + running_on_s(facts)
    return Loss(
        rate_l_per_h=rate_of(consumable),
        above_l=np.where(above >= 0, above, np.nan),
        carried_l=consumable.carried_l if consumable.carried_l >= 0 else NOT_KNOWN,
        ahead_h=np.asarray(ahead / HOUR),
    )


def _judged(facts: Facts, passage: Passage, limits: Limits, consumable: Consumable) -> Judgement:
    loss = loss_of(facts, passage, consumable)
    by_reserve = graded(
        loss.reserve,
        (np.less, limits.oil_reserve, Outcome.ADVICE),
        (np.less, SHORT, Outcome.CONDITION),
        (np.less, TOO_LITTLE, Outcome.NO_GO),
    )
    alone = graded(loss.alone_h, (np.less, loss.ahead_h, Outcome.CONDITION))
    outcome = np.where(untimed(passage), np.int8(Outcome.PASSED), np.maximum(by_reserve, alone)).astype(np.int8)
    return Judgement(
        rule=ID,
        cause=_cause(consumable),
        outcome=outcome,
        demand=loss.reserve,
        limit=limits.oil_reserve,
        unit="times the need",
        say=partial(_say, passage, limits, consumable, loss, outcome, facts),
    )


def _cause(consumable: Consumable) -> Cause:
    return ("consumable", consumable.name)


def _say(
    passage: Passage,
    limits: Limits,
    consumable: Consumable,
    loss: Loss,
    outcome: Outcomes,
    facts: Facts,
    index: int,
) -> Words:
    reserve, needed, alone = loss.reserve[index], loss.needed_l[index], loss.alone_h[index]
    held = loss.above_l[index] + loss.carried_l
    sums = tuple(_sums(loss, index, running_words(facts, float(passage.duration_late_s[index]))))
    name = consumable.name.capitalize()
    if not loss.rate_l_per_h > 0 and outcome[index] == Outcome.PASSED:
        return Words(title=TITLE, sentence=f"{name}: nothing lost.", sums=sums, evidence=_evidence(consumable))
    said = f"{name}: {number(held, 1)} L at hand, {number(needed, 2)} L needed, {number(reserve, 2)} times over"
    if outcome[index] == Outcome.PASSED:
        left = margin(held - limits.oil_reserve * needed, "L", 1)
        return Words(title=TITLE, sentence=f"{said}.", sums=sums, evidence=_evidence(consumable), margin=left)
    short = max(0.0, limits.oil_reserve * needed - held)
    stops = bool(alone < loss.ahead_h[index])
    unknown = outcome[index] == Outcome.UNKNOWN
    unstated = bool(unknown and np.isnan(running_on_s(facts)) and np.isfinite(held + loss.rate_l_per_h))
    lacks = f"{name}: how long it must last is not known. {NOT_STATED}." if unstated else (
        f"{name}: rate, level or stock is not known.")  # fmt: skip
    return Words(
        title=f"{name} {'loss not known' if unknown else 'running short' if reserve < limits.oil_reserve else 'to be topped up'}",
        sentence=lacks if unknown else f"{said}.",
        do=STATE_IT if unstated else _do(unknown, stops, alone, short),
        by=by_departure(passage, index),
        who=hand_for(facts, Skill.ENGINE),
        minutes=LOAD_MINUTES,
        sums=sums,
        evidence=_evidence(consumable),
        remedies=_remedies(consumable, short, known=not unknown),
    )


def _do(unknown: bool, stops: bool, alone_h: float, short_l: float) -> str:
    if unknown:
        return "Read the level, count what is aboard and log every litre added."
    if stops:
        return f"Stop and top up by {number(TOP_UP_SHARE * alone_h, 1)} engine hours, in a place with sea room."
    return f"Carry {number(short_l, 1)} L more."


def _sums(loss: Loss, index: int, running: str) -> Iterator[tuple[str, str]]:
    hours = loss.ahead_h[index]
    rate, ahead = number(1000 * loss.rate_l_per_h), f"{number(hours, 2)} h" if np.isfinite(hours) else running
    yield f"Needed: {rate} mL/h × {ahead}", f"{number(loss.needed_l[index], 2)} L"
    at_hand = f"At hand: {number(loss.above_l[index], 1)} L above the mark + {number(loss.carried_l, 1)} L carried"
    yield at_hand, f"{number(loss.above_l[index] + loss.carried_l, 1)} L"
    yield "At hand over needed", number(loss.reserve[index], 2)
    yield "Lasts without topping up", f"{number(loss.alone_h[index], 1)} h"


def _evidence(consumable: Consumable) -> tuple[Evidence, ...]:
    found: tuple[Evidence, ...] = (("consumable", consumable.name),)
    return (("defect", consumable.defect), *found) if consumable.defect else found


def _remedies(consumable: Consumable, short_l: float, *, known: bool) -> tuple[Remedy, ...]:
    if not known or not short_l > 0:
        return ()
    litres = float(np.ceil(short_l * 2) / 2)
    text = f"Carry {number(litres, 1)} L more {consumable.name}"
    return (Remedy("load", text, partial(_loaded, consumable.name, litres), LOAD_MINUTES),)


def _loaded(name: str, litres: float, facts: Facts) -> Facts:
    consumables = tuple(
        replace(one, carried_l=one.carried_l + litres) if one.name == name else one for one in facts.boat.consumables
    )
    return changed(facts, boat=replace(facts.boat, consumables=consumables))


RULE = Rule(
    id=ID,
    title=TITLE,
    subject=Subject.STORES,
    formula="rate = the larger of the last interval and the median of the newest five; reserve = (above the mark + carried) "
    "/ (rate × late figure of the leg and any running after it): the limit or more passes, 1.5 or more is advice, 1.0 or "
    "more a condition, less is no-go; what lasts without topping up shorter than the running is a condition: a stop; "
    "fewer than 3 points are unknown",
    source="[practice] [own]",
    worst=Outcome.NO_GO,
    judge=consumable_loss,
    limits=("oil_reserve",),
)
