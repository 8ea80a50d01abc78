"""Lights looked at in the last day before a passage on which they are due."""

from collections.abc import Iterator
from functools import partial

import numpy as np
from msgspec.structs import replace

from readiness.rules.circumstances import circumstances, weighed
from readiness.rules.facts import Facts, changed
from readiness.rules.function_state import requirement_missing
from readiness.rules.judgement import Judgement, Outcome, Outcomes, Remedy, Words, graded
from readiness.rules.limits import Limits
from readiness.rules.passage import Passage
from readiness.rules.record import Array, epoch
from readiness.rules.telling import by_departure, hand_for
from readiness.rules.words_of_trade import Skill
from vessel.calc.wording import age as age_words
from vessel.calc.wording import duration, margin
from vessel.units import HOUR

MINUTES = 5.0  # to walk round her with the lights on [own]


def lights_checked(rule: str, facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:
    """A condition, which settles itself, where lights are due and nobody has looked at them in time."""
    age = _age(facts, passage)
    unchecked = graded(np.nan_to_num(age, nan=np.inf), (np.greater, limits.lights_checked_s, Outcome.CONDITION))
    outcome, undecided = weighed(circumstances(facts, passage).lights_due, unchecked, Outcome.PASSED)
    yield Judgement(
        rule=rule,
        cause=("log", "lights checked"),
        outcome=outcome,
        demand=age,
        limit=limits.lights_checked_s,
        unit="s",
        say=partial(_say, facts, passage, limits, outcome, age),
        ripens=outcome > Outcome.PASSED,
    )
    yield from requirement_missing(rule, facts, passage, undecided, ("visibility_m",))


def _age(facts: Facts, passage: Passage) -> Array:
    """Time from the check to each departure; NaN where there is none, or one dated ahead of the judging."""
    checked = epoch(facts.boat.log.lights_checked_at)
    return np.where(checked <= facts.judged_at.timestamp(), passage.departure_at - checked, np.nan)


def _say(facts: Facts, passage: Passage, limits: Limits, outcome: Outcomes, age: Array, index: int) -> Words:
    keeps = limits.lights_checked_s
    if outcome[index] == Outcome.PASSED:
        due = circumstances(facts, passage).lights_due[index] != 0.0
        left = margin((keeps - age[index]) / HOUR, "h") if due else ""
        said = f"checked {age_words(age[index])} before departure" if due else "not due on this leg"
        return Words(title="Lights checked", sentence=f"Lights {said}.", margin=left)
    held = np.isfinite(age[index])
    said = f"will have been checked {age_words(age[index])} before departure" if held else "have not been checked"
    soon = passage.departure_at[index] - facts.judged_at.timestamp() <= keeps
    return Words(
        title="Lights not checked",
        sentence=f"Lights are due on this leg and {said}; within {duration(keeps)} is wanted.",
        do="Walk round her with the lights on.",
        by=by_departure(passage, index),
        who=hand_for(facts, Skill.HELM),
        minutes=MINUTES,
        remedies=(Remedy("test", "Walk round her with the lights on", _checked, MINUTES),) if soon else (),
    )


def _checked(facts: Facts) -> Facts:
    log = replace(facts.boat.log, lights_checked_at=facts.judged_at)
    return changed(facts, boat=replace(facts.boat, log=log))
