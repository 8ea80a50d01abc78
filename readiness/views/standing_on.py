"""What a verdict stands on: the inputs with their age, stale ones marked, those not known said."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from readiness.rules.engine import Judged
from readiness.rules.facts_boat import Reading
from readiness.rules.facts_water import Forecast, Warnings
from readiness.rules.forecast_cover import hole_in
from readiness.rules.record import NOT_KNOWN, epoch, epochs
from readiness.rules.warnings_in_force import KEEPS_S
from vessel.calc.wording import age, clock, local_time, number


@dataclass(frozen=True)
class Age:
    """One input: its name, how old in words, whether it is past the time it keeps, whether it is not known."""

    name: str
    old: str
    keeps: str = ""
    is_stale: bool = False
    is_known: bool = True


def ages_of(judged: Judged) -> list[Age]:
    """The inputs that age, the forecast first."""
    return list(_ages(judged))


def _ages(judged: Judged) -> Iterator[Age]:
    facts, now = judged.facts, judged.facts.judged_at.timestamp()
    forecast, zone = facts.water.forecast, facts.boat.vessel.home_zone
    issued = epoch(forecast.issued_at) if forecast is not None else float("nan")
    if forecast is not None and np.isfinite(issued):
        fresh, members = facts.limits.forecast_fresh_s, forecast.members
        counted = f", {len(members.gust_mps)} members" if members is not None else ""
        name = f"Forecast, issued {clock(issued, zone)}{counted}"
        yield Age(name, age(now - issued), age(fresh), now - issued > fresh)
        yield from _hole(forecast, zone)
    else:
        yield Age("Forecast", "", is_known=False)
    yield _warnings(facts.water.warnings, now, zone)
    for tank in facts.boat.fuel:
        yield _reading(f"Fuel {number(tank.reading_l.value)} L", tank.reading_l, now)
    for oil in facts.boat.consumables:
        name = f"{oil.name.capitalize()} {number(oil.above_minimum_l.value, 1)} L above the minimum"
        yield _reading(name, oil.above_minimum_l, now)
    crank = facts.boat.crank
    if crank is not None and crank.rested.at is not None:
        yield Age(f"Crank battery {number(crank.rested.value, 1)} V at rest", age(now - epoch(crank.rested.at)))
    lights = facts.boat.log.lights_checked_at
    yield Age("Lights checked", age(now - epoch(lights))) if lights else Age("Lights checked", "", is_known=False)


def _hole(forecast: Forecast, zone: str) -> Iterator[Age]:
    """A line of its own where the forecast jumps: hours may have been lost."""
    said = hole_in(epochs(forecast.at), zone)
    if said:
        yield Age(f"{said.removesuffix('.')}", "uneven")


def _warnings(look: Warnings | None, now: float, zone: str) -> Age:
    """The newest look at the warnings; stale once its bulletin has ended, or after a day."""
    looked, ends = (epoch(look.looked_at), epoch(look.good_to)) if look is not None else (NOT_KNOWN, NOT_KNOWN)
    if look is None or not np.isfinite(looked + ends):
        return Age("Weather warnings", "", is_known=False)
    count = f"{len(look.items)} in force or to come" if look.items else "none"
    name = f"Weather warnings, {count}, good to {local_time(ends, zone)}"
    keeps = min(KEEPS_S, ends - looked)
    return Age(name, age(now - looked), age(keeps), bool(now - looked > keeps))


def _reading(name: str, reading: Reading, now: float) -> Age:
    taken = epoch(reading.at)
    if not np.isfinite(taken + reading.value):
        return Age(name.split(" ", maxsplit=1)[0], "", is_known=False)
    stale = bool(now - taken > reading.keeps_s)
    return Age(name, age(now - taken), age(reading.keeps_s) if np.isfinite(reading.keeps_s) else "", stale)
