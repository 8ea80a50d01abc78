"""Is there always a refuge she could reach in time, get into and lie sheltered in?"""

from collections.abc import Iterator
from functools import partial

import numpy as np

from readiness.calc.refuge import EVERY_S, longest_spell, to_nearest
from readiness.rules.facts import Facts
from readiness.rules.judgement import Judgement, Outcome, Outcomes, Rule, Subject, Waive, Words, graded
from readiness.rules.limits import Limits
from readiness.rules.missing import LATE_ARRIVAL, forecast_missing, harbour_move, unknown, untimed
from readiness.rules.passage import Passage, Standing
from readiness.rules.record import Array
from readiness.rules.refuge_reach import in_reach, mile_m, why_not, without_refuge
from readiness.rules.refuges import candidates
from readiness.rules.telling import departure_zone, listed
from vessel.calc.wording import clock, duration, miles
from vessel.units import HOUR, Counts, Flags

RULE_ID, TITLE = "refuge_gap", "A refuge in reach"
CONDITION_FROM_S = 2 * HOUR  # longer than this without a refuge is a condition [own]
NO_GO_FROM_S = 4 * HOUR  # longer than this is no-go [hsc2000]
NAMED = 3  # so many places are told why not
NOT_SAID = Words(
    title="Refuges not known",
    sentence="Whether the refuges are open and deep enough when she would come is not known.",
    do="Give the refuges of the leg their gates, depth and tide, or choose others.",
)


def refuge_gap(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:
    """The longest spell without a refuge; what is not known of a place is a finding where it would decide.

    Source: [hsc2000]
    """
    if facts.leg.harbour_move:
        yield harbour_move(RULE_ID, passage, TITLE)
        return
    sure, if_sheltered, best = (
        _graded(without_refuge(facts, passage, least))
        for least in (Standing.USABLE, Standing.IF_SHELTERED, Standing.AT_BEST)
    )
    flags = without_refuge(facts, passage, Standing.AT_BEST)
    gap_s, first = longest_spell(flags)
    timed = ~untimed(passage)
    yield Judgement(
        rule=RULE_ID,
        cause=("refuge", ""),
        outcome=np.where(timed, best, np.int8(Outcome.UNKNOWN)).astype(np.int8),
        demand=np.where(timed, gap_s, np.nan),
        limit=0.0,
        unit="s",
        say=partial(_say, facts, passage, limits, np.asarray(gap_s), first),
        applies=timed,
        starved_by=LATE_ARRIVAL,
        starved=~timed,
    )
    yield from forecast_missing(
        RULE_ID, facts, passage, ~timed | (sure != if_sheltered), passage.weather.wind_mps, "wind at the refuges"
    )
    unsaid = timed & (if_sheltered != best)
    if unsaid.any():
        yield unknown(RULE_ID, ("refuge", "not known"), passage, NOT_SAID, unsaid)


def _graded(flags: Flags) -> Outcomes:
    return graded(
        longest_spell(flags)[0],
        (np.greater, 0.0, Outcome.ADVICE),
        (np.greater, CONDITION_FROM_S, Outcome.CONDITION),
        (np.greater, NO_GO_FROM_S, Outcome.NO_GO),
    )


def _say(facts: Facts, passage: Passage, limits: Limits, gap_s: Array, first: Counts, index: int) -> Words:
    within = duration(limits.refuge_reach_s)
    evidence = tuple(("place", place.key) for place in candidates(facts))
    if not gap_s[index]:
        longest, name = _farthest(facts, passage, index)
        return Words(
            title=TITLE,
            sentence=f"All the way some refuge is in reach within {within}; at the farthest {name}, {duration(longest)}.",
            sums=(("Farthest by her late speed", duration(longest)), ("Reach", within)),
            evidence=evidence,
        )
    look, zone, along = int(first[index]), departure_zone(facts), mile_m(passage, index)
    at = passage.refuges.looks.at[index]
    last = min(look + round(float(gap_s[index]) / EVERY_S), int(np.isfinite(at).sum()) - 1)
    since = f"from {clock(at[look], zone)} to {clock(at[last], zone)}"
    return Words(
        title=f"No refuge for {duration(gap_s[index])}",
        sentence=f"No refuge is in reach within {within} {since}, mile {_mile(along[look])} to {_mile(along[last])}: "
        f"{_reasons(facts, passage, index, look)}.",
        do="Take another tide, add a refuge, or settle on an earlier point to turn back.",
        sums=(("Longest without", duration(gap_s[index])), ("Condition over", duration(CONDITION_FROM_S)),
              ("No-go over", duration(NO_GO_FROM_S))),
        evidence=evidence,
    )  # fmt: skip


def _mile(along_m: float) -> str:
    return miles(along_m).removesuffix(" nmi")


def _farthest(facts: Facts, passage: Passage, index: int) -> tuple[float, str]:
    """The longest she would need for the nearest refuge, and which that is; counting what may be usable."""
    to_go = passage.refuges.to_go_s[:, index]
    usable = in_reach(facts, passage, Standing.AT_BEST)[:, index]
    nearest = np.asarray(to_nearest(to_go, usable))
    under_way = np.isfinite(passage.refuges.looks.at[index])
    look = int(np.where(under_way, nearest, -1.0).argmax())
    place = int(np.where(usable[:, look], to_go[:, look], np.inf).argmin())
    return float(nearest[look]), candidates(facts)[place].name


def _reasons(facts: Facts, passage: Passage, index: int, look: int) -> str:
    """Why the nearest places do not serve when the spell begins."""
    places = candidates(facts)
    order = np.argsort(passage.refuges.to_go_s[:, index, look], kind="stable")[:NAMED]
    told = [f"{places[number].name} {why_not(facts, passage, int(number), index, look)}" for number in order]
    return listed(told) if told else "none is named"


RULE = Rule(
    id=RULE_ID,
    title=TITLE,
    subject=Subject.WATER,
    formula="Looked at every 5 min of plan: the longest spell with no refuge, home or destination within 4 h by her late "
    "speed in the worst sea of the way, straight, that is open and deep enough when she comes and sheltered from the wind then "
    "(forecast at the nearest point of the track, 15 nmi off at most). None passed; to 2 h advice; to 4 h a condition; "
    "longer no-go.",
    source="[hsc2000] [solas-v34] [own]",
    worst=Outcome.NO_GO,
    judge=refuge_gap,
    limits=("refuge_reach_s", "under_keel_m"),
    waive={Outcome.NO_GO: Waive.NEVER, Outcome.CONDITION: Waive.ONE_LEG},
)
