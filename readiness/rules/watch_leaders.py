"""Enough watch leaders for the length of the leg, and one for the dark."""

from collections.abc import Iterator

import numpy as np

from readiness.rules.circumstances import circumstances, weighed
from readiness.rules.facts import Facts
from readiness.rules.hands import fewest, one_more
from readiness.rules.judgement import Judgement, Outcome, Rule, Subject, Waive, Words, graded
from readiness.rules.limits import Limits
from readiness.rules.missing import harbour_move, late_arrival_missing, people_or_times
from readiness.rules.passage import Passage
from readiness.rules.words_of_trade import Skill
from vessel.calc.wording import duration
from vessel.units import HOUR

RULE_ID = "watch_leaders"
LONG_DAY_S = 8 * HOUR  # one leader short is bearable up to so long, by day [practice]


def watch_leaders(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:
    """One judgement: leaders aboard all the way against leaders needed.

    Source: [practice]
    """
    if facts.leg.harbour_move:
        yield harbour_move(RULE_ID, passage, "Watch leaders")
        return
    duration_s, dark = passage.duration_late_s, circumstances(facts, passage).night
    leaders = fewest(facts, passage, Skill.WATCH_LEADER, fit=True)
    night_leaders = fewest(facts, passage, Skill.WATCH_LEADER, Skill.NIGHT, fit=True)
    needed = np.where(duration_s > limits.single_watch_s, 2.0, 1.0)
    bearable = graded(duration_s, (np.greater, LONG_DAY_S, Outcome.NO_GO))
    short_by_day = np.where(leaders == needed - 1, np.maximum(bearable, np.int8(Outcome.CONDITION)), Outcome.NO_GO)
    by_day = np.where(leaders >= needed, Outcome.PASSED, short_by_day).astype(np.int8)
    by_night = np.where((leaders >= needed) & (night_leaders >= 1), Outcome.PASSED, Outcome.NO_GO).astype(np.int8)
    outcome, missing = weighed(dark, by_night, by_day)
    outcome = np.where(missing, np.maximum(outcome, np.int8(Outcome.UNKNOWN)), outcome).astype(np.int8)
    yield from late_arrival_missing(RULE_ID, passage)
    starved_by, starved = people_or_times(facts, passage)

    def say(index: int) -> Words:
        if np.isnan(duration_s[index]):
            wants = "How long the watches must last is not known"
        else:
            wants = f"{duration(float(duration_s[index]))} to the late arrival wants {_leaders(int(needed[index]))}"
        night = " In the dark one of them must be good for the night." if dark[index] == 1.0 else ""
        return Words(
            title="Watch leaders" if not outcome[index] else "Short of a watch leader",
            sentence=f"{wants}; {leaders[index]:.0f} aboard, {night_leaders[index]:.0f} of them good for the night.{night}",
            do="Add a leader, go by day or split the leg." if outcome[index] else "",
            sums=(("Departure to late arrival", duration(float(duration_s[index]))),),
            remedies=(one_more(passage, index, Skill.WATCH_LEADER, Skill.NIGHT, Skill.HELM),) if outcome[index] else (),
        )

    yield Judgement(
        rule=RULE_ID,
        cause=("people", "watch leaders"),
        outcome=outcome,
        demand=leaders,
        limit=needed,
        unit="leaders",
        say=say,
        starved_by=starved_by,
        starved=starved,
    )


def _leaders(count: int) -> str:
    return f"{count} watch leader{'' if count == 1 else 's'}"


RULE = Rule(
    id=RULE_ID,
    title="Watch leaders",
    subject=Subject.PEOPLE,
    formula="Over 4 h to the late arrival two leaders, else one; in the dark one of them good for the night. One "
    "short: condition up to 8 h without dark, else no-go.",
    source="[practice]",
    worst=Outcome.NO_GO,
    judge=watch_leaders,
    limits=("single_watch_s",),
    waive={Outcome.NO_GO: Waive.ONE_LEG, Outcome.CONDITION: Waive.ONE_LEG},
)
