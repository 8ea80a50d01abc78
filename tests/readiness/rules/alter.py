"""Facts with one thing altered: what most tests of the rules start from."""

from typing import Any

import numpy as np
from msgspec.structs import replace

from readiness.rules.facts import Facts, Waiver, changed
from readiness.rules.judgement import Judgement, Outcome
from tests.factories.worked_example import JUDGED_AT
from vessel.units import NAUTICAL_MILE


def boat(facts: Facts, **parts: Any) -> Facts:
    """The facts with parts of the boat replaced."""
    return changed(facts, boat=replace(facts.boat, **parts))


def vessel(facts: Facts, **parts: Any) -> Facts:
    """The facts with particulars of the vessel replaced."""
    return boat(facts, vessel=replace(facts.boat.vessel, **parts))


def leg(facts: Facts, **parts: Any) -> Facts:
    """The facts with parts of the leg replaced."""
    return changed(facts, leg=replace(facts.leg, **parts))


def water(facts: Facts, **parts: Any) -> Facts:
    """The facts with parts of the water replaced."""
    return changed(facts, water=replace(facts.water, **parts))


def forecast(facts: Facts, **values: Any) -> Facts:
    """The facts with numbers of the forecast the same everywhere, other fields as given."""
    held = facts.water.forecast
    assert held is not None
    shape = held.wave_height_m.shape
    fields = {name: np.full(shape, value) if isinstance(value, float) else value for name, value in values.items()}
    return water(facts, forecast=replace(held, **fields))


def limits(facts: Facts, **values: float) -> Facts:
    """The facts under other limits."""
    return changed(facts, limits=replace(facts.limits, **values))


def gate(facts: Facts, key: str, **parts: Any) -> Facts:
    """The facts with parts of one gate replaced."""
    return water(facts, gates=tuple(replace(one, **parts) if one.key == key else one for one in facts.water.gates))


def place(facts: Facts, key: str, **parts: Any) -> Facts:
    """The facts with parts of one place replaced."""
    return water(facts, places=tuple(replace(one, **parts) if one.key == key else one for one in facts.water.places))


def person(facts: Facts, name: str, **parts: Any) -> Facts:
    """The facts with something of one person replaced; `name` is the first name."""
    people = tuple(replace(one, **parts) if one.name.split()[0] == name else one for one in facts.people)
    return changed(facts, people=people)


def policy(facts: Facts, **parts: Any) -> Facts:
    """The facts with parts of the one policy replaced."""
    assert facts.policies is not None
    return changed(facts, policies=(replace(facts.policies[0], **parts),))


def without(facts: Facts, *names: str) -> Facts:
    """The facts without some people."""
    return changed(facts, people=tuple(one for one in facts.people if one.name.split()[0] not in names))


def tank(facts: Facts, **parts: Any) -> Facts:
    """The facts with parts of the one tank replaced."""
    return boat(facts, fuel=(replace(facts.boat.fuel[0], **parts),))


def fuel(facts: Facts, litres: float) -> Facts:
    """The facts with so many litres dipped."""
    reading = replace(facts.boat.fuel[0].reading_l, value=litres)
    return tank(facts, reading_l=reading)


def waived(facts: Facts, rule: str, cause: str, value: float, lapses_at: float, **parts: Any) -> Facts:
    """The facts with a no-go of the planned departure waived by the skipper, her crew told."""
    names = tuple(one.name for one in facts.people if one.confirmed is not False)
    fields: dict[str, Any] = {
        "rule": rule, "cause": cause, "by": "Ines Roke", "at": JUDGED_AT, "reason": "Short and sheltered",
        "instead": "Turn back at Hallorn", "told": names, "value": value, "limit": value, "lapses_at_value": lapses_at,
        "until": None, "departure_at": facts.leg.planned_at, "leg_distance_m": 48 * NAUTICAL_MILE, "crew": names,
    }  # fmt: skip
    return changed(facts, waivers=(*facts.waivers, Waiver(**(fields | parts))))


def outcome(judgement: Judgement, index: int = 0) -> Outcome:
    """The outcome of a judgement at one departure."""
    return Outcome(int(np.broadcast_to(judgement.outcome, _length(judgement))[index]))


def worst(judgements: list[Judgement], index: int = 0) -> Outcome:
    """The worst outcome at one departure."""
    return max(outcome(one, index) for one in judgements)


def at_worst(judgements: list[Judgement], index: int = 0) -> Judgement:
    """The judgement that is worst at one departure."""
    return max(judgements, key=lambda one: outcome(one, index))


def demand(judgement: Judgement, index: int = 0) -> float:
    """The demand of a judgement at one departure."""
    return float(np.broadcast_to(judgement.demand, _length(judgement))[index])


def sentence(judgements: list[Judgement], index: int = 0) -> str:
    """What the worst judgement says at one departure."""
    return at_worst(judgements, index).say(index).sentence


def ripens(judgement: Judgement, index: int = 0) -> bool:
    """Whether a judgement settles itself at one departure."""
    return bool(np.broadcast_to(judgement.ripens, _length(judgement))[index])


def _length(judgement: Judgement) -> int:
    return int(np.size(judgement.outcome))
