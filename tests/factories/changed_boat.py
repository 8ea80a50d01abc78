"""The worked example changed one thing at a time: an item, a defect, a job, the water around her.

The passage of one departure (06:30) is swept once; tests change what it meets with `meeting`.
"""

from collections.abc import Iterable
from dataclasses import replace as replaced
from datetime import datetime, timedelta
from typing import Any

import numpy as np
from msgspec.structs import replace

from readiness.rules.facts import Facts, changed
from readiness.rules.facts_boat import Defect, Job, Test
from readiness.rules.judgement import Judgement, Outcome, Rule
from readiness.rules.passage import Passage
from readiness.rules.under_way import passage_of
from readiness.rules.words_of_trade import Effect, JobStatus, TestPlace
from tests.factories.worked_example import JUDGED_AT, worked_example
from vessel.units import NAUTICAL_MILE

NAN = float("nan")
EXAMPLE = worked_example(1)
SOUND = changed(EXAMPLE, boat=replace(EXAMPLE.boat, defects=(), jobs=()))  # nothing wrong with her


def arriving(passage: Passage, late_at: float) -> Passage:
    """The passage with another late arrival."""
    node_at = passage.late.node_at.copy()
    node_at[:, -1] = late_at
    return replaced(passage, late=replaced(passage.late, node_at=node_at))


_SWEPT = passage_of(EXAMPLE)
PASSAGE = arriving(_SWEPT, float(np.round(_SWEPT.late.node_at[0, -1])))  # whole seconds, for limits met exactly
LATE_AT = float(PASSAGE.late.node_at[0, -1])  # 14:37:12
DEPARTURE_AT = float(PASSAGE.departure_at[0])  # 06:30
FOREVER = 1e12  # s


def days_before(days: float) -> datetime:
    """A moment so many days before the judging."""
    return JUDGED_AT - timedelta(days=days)


def boat(facts: Facts, **parts: Any) -> Facts:
    """The facts with parts of the boat replaced."""
    return changed(facts, boat=replace(facts.boat, **parts))


def item(facts: Facts, code: str, **parts: Any) -> Facts:
    """The facts with fields of one piece of equipment replaced."""
    found = tuple(replace(one, **parts) if one.code == code else one for one in facts.boat.equipment)
    return boat(facts, equipment=found)


def with_defect(facts: Facts, code: str | None, effect: Effect | None, **parts: Any) -> Facts:
    """The facts with one more defect."""
    number = len(facts.boat.defects or ()) + 100
    one = Defect(key=f"DEF-{number}", title=f"Fault of {code}", equipment=code, effect=effect, limit="",
                 opened_at=days_before(1), mend_minutes=30.0, mend_parts_aboard=True)  # fmt: skip
    return boat(facts, defects=(*(facts.boat.defects or ()), replace(one, **parts)))


def out(facts: Facts, *codes: str) -> Facts:
    """The facts with items out of service by a defect each."""
    for code in codes:
        facts = with_defect(facts, code, Effect.DISABLES)
    return facts


def degraded(facts: Facts, *codes: str) -> Facts:
    """The facts with items degraded by a defect each."""
    for code in codes:
        facts = with_defect(facts, code, Effect.DEGRADES)
    return facts


def doubtful(facts: Facts, *codes: str) -> Facts:
    """The facts with items of which nobody has said what their defect does."""
    for code in codes:
        facts = with_defect(facts, code, None)
    return facts


def stale(facts: Facts, *codes: str) -> Facts:
    """The facts with the proof of items grown too old."""
    for code in codes:
        facts = item(facts, code, proved_at=days_before(5000))
    return facts


def with_job(facts: Facts, status: JobStatus | None, *takes_out: str, **parts: Any) -> Facts:
    """The facts with one more job."""
    number = len(facts.boat.jobs or ()) + 100
    one = Job(key=f"JOB-{number}", title="Work", status=status, takes_out=takes_out, opens=(), opens_equipment=None,
              put_back_minutes=NAN, hours=1.0, hands=1, done_at=None,
              test=Test(text="Try it", where=TestPlace.ALONGSIDE, minutes=5.0))  # fmt: skip
    return boat(facts, jobs=(*(facts.boat.jobs or ()), replace(one, **parts)))


def function(facts: Facts, key: str, tree: str) -> Facts:
    """The facts with another tree for a function."""
    found = tuple(replace(one, tree=tree) if one.key == key else one for one in facts.boat.functions)
    return boat(facts, functions=found)


def limited(facts: Facts, **parts: Any) -> Facts:
    """The facts with limits replaced."""
    return changed(facts, limits=replace(facts.limits, **parts))


def harbour(facts: Facts) -> Facts:
    """The facts as a harbour move."""
    return changed(facts, leg=replace(facts.leg, harbour_move=True))


def meeting(passage: Passage = PASSAGE, *, refuge_nmi: float | None = None, sun_deg: float | None = None,
            exposed: bool | None = None, reached: bool | None = None, **weather: float) -> Passage:  # fmt: skip
    """The passage with another refuge distance, sun or weather, the same everywhere."""
    parts: dict[str, Any] = {}
    if refuge_nmi is not None:
        parts["refuge_m"] = np.full(passage.departures, refuge_nmi * NAUTICAL_MILE)
    if sun_deg is not None:
        parts |= {name: np.full_like(passage.sun_plan_deg, sun_deg) for name in ("sun_plan_deg", "sun_late_deg")}
    if exposed is not None:
        parts["exposed"] = np.full_like(passage.exposed, exposed)
    met: dict[str, Any] = {name: np.full_like(passage.weather.sea_m, value) for name, value in weather.items()}
    if reached is not None:
        met["reached"] = np.full(passage.weather.reached.shape, reached)
    both = {name: replaced(getattr(passage, name), **met) for name in ("weather", "weather_at_plan")}
    return replaced(passage, **both, **parts)


def untimed(passage: Passage = PASSAGE) -> Passage:
    """The passage of which nobody can tell when it ends at the latest."""
    return arriving(passage, NAN)


EASY = {"refuge_nmi": 2.0, "sun_deg": 30.0, "exposed": False}  # by day, sheltered, near


def outcome(judgements: Iterable[Judgement], index: int = 0) -> Outcome:
    """The worst outcome at one departure."""
    return Outcome(max(int(np.broadcast_to(one.outcome, index + 1)[index]) for one in judgements))


def judge(rule: Rule, facts: Facts, passage: Passage = PASSAGE) -> list[Judgement]:
    """Every judgement of one rule."""
    return list(rule.judge(facts, passage, facts.limits))


def answer(rule: Rule, facts: Facts, passage: Passage = PASSAGE) -> Outcome:
    """The worst outcome of one rule at the first departure."""
    return outcome(judge(rule, facts, passage))


def worst(rule: Rule, facts: Facts, passage: Passage = PASSAGE) -> Judgement:
    """The judgement that stands worst at the first departure."""
    return max(judge(rule, facts, passage), key=lambda one: int(one.outcome[0]))
