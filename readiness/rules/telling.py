"""Words several rules share: when a thing must be done, who can do it, and times as a skipper reads them."""

from collections.abc import Iterable
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from readiness.rules.facts import Facts
from readiness.rules.facts_people import Person
from readiness.rules.judgement import Outcomes
from readiness.rules.passage import Passage
from readiness.rules.record import NOT_KNOWN
from readiness.rules.words_of_trade import Skill
from vessel.calc.wording import with_utc
from vessel.units import MINUTE, Flags, Floats

BEFORE_DEPARTURE_S = 15 * MINUTE  # conditions are met so long before the lines are let go [own]
UTC_ZONE = "UTC"


def zone_or_none(name: str) -> ZoneInfo | None:
    """The time zone of a name; None for a name that is no zone."""
    try:
        return ZoneInfo(name)
    except (OSError, ValueError, KeyError):
        return None


def departure_zone(facts: Facts) -> str:
    """The zone at the place of departure; the vessel's home zone where that is not known, UTC where neither is."""
    here = [place.zone for place in facts.water.places if place.key == facts.leg.departure_place]
    wanted = (*here, facts.boat.vessel.home_zone)
    return next((name for name in wanted if zone_or_none(name)), UTC_ZONE)


def arrival_zone(facts: Facts) -> str:
    """The zone at the place of arrival, or as at departure."""
    there = [place.zone for place in facts.water.places if place.key == facts.leg.arrival_place]
    return next((name for name in there if zone_or_none(name)), departure_zone(facts))


def end_of_day(day: date | None, zone: str) -> float:
    """The moment at which a day in a zone is over, UTC seconds; NaN where the day or the zone is not known."""
    local = zone_or_none(zone)
    if day is None or local is None:
        return NOT_KNOWN
    try:
        return datetime.combine(day + timedelta(days=1), time(), local).timestamp()
    except (OverflowError, ValueError):
        return NOT_KNOWN


def day_in(at: float, zone: str) -> date | None:
    """The day in a zone at a moment; None where either is not known."""
    local = zone_or_none(zone)
    if local is None or not np.isfinite(at):
        return None
    return datetime.fromtimestamp(at, UTC).astimezone(local).date()


def by_departure(passage: Passage, index: int) -> float:
    """When whatever must be done before a departure must be done."""
    return float(passage.departure_at[index]) - BEFORE_DEPARTURE_S


def before(facts: Facts, passage: Passage, index: int) -> str:
    """That moment in words."""
    return with_utc(by_departure(passage, index), departure_zone(facts))


def hand_for(facts: Facts, skill: Skill) -> str:
    """Somebody of the crew with a skill, fit and coming; the skipper only where nobody else has it; "" for nobody."""
    able = [person for person in facts.people if _can(person, skill)]
    return next((person.name for person in sorted(able, key=lambda person: person.skipper)), "")


def listed(names: Iterable[str]) -> str:
    """Names in one phrase: "A, B and C"."""
    *first, last = [*names] or [""]
    return f"{', '.join(first)} and {last}" if first else last


def first_worst(outcome: Outcomes) -> int:
    """The first departure at which an outcome is at its worst."""
    return int(np.argmax(outcome))


def where_known(value: Floats, plausible: Flags | bool) -> Floats:
    """The value where it is plausible, NaN where it cannot be right."""
    return np.where(plausible, value, np.nan)


def _can(person: Person, skill: Skill) -> bool:
    return skill in person.skills and person.fit is True and person.confirmed is not False
