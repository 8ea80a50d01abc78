"""Weather warnings in force from departure until some hours after the late arrival."""

from collections.abc import Iterator

import numpy as np

from readiness.rules.facts import Facts
from readiness.rules.facts_water import Warnings, WeatherWarning
from readiness.rules.judgement import Cause, Judgement, Outcome, Rule, Subject, Waive, Words
from readiness.rules.limits import Limits
from readiness.rules.missing import harbour_move, late_arrival_missing, late_at, unknown_where, untimed
from readiness.rules.passage import Passage
from readiness.rules.record import NOT_KNOWN, epoch
from readiness.rules.telling import by_departure, departure_zone
from readiness.rules.words_of_trade import WarningKind
from vessel.calc.wording import age, with_utc
from vessel.units import DAY, HOUR, Flags

RULE_ID = "warnings_in_force"
TITLE = "Weather warnings"
AFTER_S = 6 * HOUR  # a warning counts so long after the late arrival [practice]
KEEPS_S = 1 * DAY  # a look is not believed longer than a forecast is [own]
CAUSE: Cause = ("warnings", "")
OUTCOME = {
    WarningKind.GALE: Outcome.NO_GO,
    WarningKind.STRONG_WIND: Outcome.CONDITION,
    WarningKind.THUNDER: Outcome.CONDITION,
    WarningKind.OTHER: Outcome.ADVICE,  # nobody here can weigh it: it is shown [own]
}
DO = {
    WarningKind.GALE: "Wait until it is lifted.",
    WarningKind.STRONG_WIND: "Wait, or keep to what she and her crew are good for in it, with shelter near.",
    WarningKind.THUNDER: "Wait, or make sure of shelter on the way and of a way to steer without electronics.",
    WarningKind.OTHER: "Read it, and decide what it means for this leg.",
}


def warnings_in_force(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:  # noqa: ARG001
    """One judgement on the look at the warnings, and one for each warning that was in force or to come.

    Source: [practice]
    """
    if facts.leg.harbour_move:
        yield harbour_move(RULE_ID, passage, TITLE)
        return
    yield from late_arrival_missing(RULE_ID, passage)
    yield _look(facts, passage)
    look = facts.water.warnings
    for warning in look.items if look is not None else ():
        yield _warning(facts, passage, warning, epoch(look.looked_at) if look is not None else NOT_KNOWN)


def reaches(facts: Facts, passage: Passage) -> Flags:
    """Where the newest look is fresh at departure and speaks until six hours after the late arrival, [departure]."""
    look = facts.water.warnings
    if look is None:
        return np.zeros(passage.departures, bool)
    looked, good_to = epoch(look.looked_at), epoch(look.good_to)
    fresh = (looked <= facts.judged_at.timestamp()) & (passage.departure_at - looked <= KEEPS_S)
    return np.asarray(fresh & (late_at(passage) + AFTER_S <= good_to))


def in_force(passage: Passage, warning: WeatherWarning, looked_at: float) -> Flags:
    """Where a warning overlaps the time from departure to six hours after the late arrival, [departure].

    An end before somebody read it as a warning, or before it began, is not believed: it lasts until it is lifted.
    """
    start, end = epoch(warning.start), epoch(warning.end)
    start = -np.inf if np.isnan(start) else start
    believed = end > start and end > looked_at
    end = end if believed else np.inf
    until = np.where(untimed(passage), np.inf, late_at(passage) + AFTER_S)
    return np.asarray((start <= until) & (passage.departure_at < end))


def _look(facts: Facts, passage: Passage) -> Judgement:
    look, zone = facts.water.warnings, departure_zone(facts)
    there = reaches(facts, passage)
    missing = ~there & ~untimed(passage)

    def say(index: int) -> Words:
        wanted = with_utc(float(late_at(passage)[index] + AFTER_S), zone)
        return Words(
            title="Warnings looked at" if there[index] else "Warnings not known",
            sentence=_looked(look, there[index], wanted, zone, float(passage.departure_at[index])),
            do="" if there[index] else "Read the newest warnings for these waters and write down what they say.",
            by=by_departure(passage, index),
            minutes=5.0,
            sums=(("Late arrival and 6 h", wanted),),
            evidence=(("warnings", ""),),
        )

    return Judgement(
        rule=RULE_ID,
        cause=CAUSE,
        outcome=unknown_where(missing),
        demand=late_at(passage) + AFTER_S,
        limit=epoch(look.good_to) if look is not None else NOT_KNOWN,
        unit="s since 1970",
        say=say,
        ripens=missing,  # a bulletin is read again before leaving [own]
    )


def _looked(look: Warnings | None, there: bool, wanted: str, zone: str, departure_at: float) -> str:
    if look is None:
        return "Nobody has looked at the weather warnings."
    looked = with_utc(epoch(look.looked_at), zone)
    if there:
        count = "none" if not look.items else f"{len(look.items)}"
        return f"Warnings of {look.source} read {looked}: {count} for these waters, good to {_good_to(look, zone)}."
    old = departure_at - epoch(look.looked_at)
    if old > KEEPS_S:
        return f"The warnings read {looked} will be {age(old)} old; they are believed for {age(KEEPS_S)}."
    return f"The warnings read {looked} are good to {_good_to(look, zone)}; {wanted} is needed."


def _good_to(look: Warnings, zone: str) -> str:
    return with_utc(epoch(look.good_to), zone)


def _warning(facts: Facts, passage: Passage, warning: WeatherWarning, looked_at: float) -> Judgement:
    here, zone = in_force(passage, warning, looked_at), departure_zone(facts)

    def say(index: int) -> Words:
        times = " ".join(filter(None, (_from(warning, zone), _until(warning, zone))))
        meets = "is in force" if here[index] else "is not in force"
        text = f" It says: “{warning.text.strip()}”." if warning.text.strip() else ""
        return Words(
            title=f"Warning: {warning.kind}" if here[index] else f"Warning over or not yet: {warning.kind}",
            sentence=f"A warning of {warning.kind} for {warning.area} {meets} while she is out or within 6 h after; "
            f"{times}.{text}",
            do=DO[warning.kind] if here[index] else "",
            evidence=(("warnings", ""),),
        )

    outcome = np.where(here, np.int8(OUTCOME[warning.kind]), np.int8(Outcome.PASSED)).astype(np.int8)
    return Judgement(
        rule=RULE_ID,
        cause=("warning", f"{warning.kind}, {warning.area}"),
        outcome=outcome,
        demand=np.where(here, 1.0, 0.0),
        limit=1.0,
        unit="warnings",
        say=say,
    )


def _from(warning: WeatherWarning, zone: str) -> str:
    return "" if warning.start is None else f"from {with_utc(epoch(warning.start), zone)}"


def _until(warning: WeatherWarning, zone: str) -> str:
    return "until it is lifted" if warning.end is None else f"until {with_utc(epoch(warning.end), zone)}"


RULE = Rule(
    id=RULE_ID,
    title="Weather warnings in force",
    subject=Subject.WEATHER,
    formula="Any time from departure to late arrival + 6 h: gale or worse no-go; strong wind or thunder condition; "
    "another warning advice. Nobody looked, the look is older than 24 h at departure or its bulletin ends before: "
    "unknown.",
    source="[practice] [own]",
    worst=Outcome.NO_GO,
    judge=warnings_in_force,
    waive={Outcome.NO_GO: Waive.ONE_LEG, Outcome.CONDITION: Waive.ONE_LEG, Outcome.UNKNOWN: Waive.NEVER},
)
