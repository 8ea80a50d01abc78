"""Which refuges are in reach when: at every look along the way, and as a table for one departure."""

from dataclasses import dataclass

import numpy as np

from readiness.calc.refuge import EVERY_S, at_looks
from readiness.rules.facts import Facts
from readiness.rules.facts_water import Place
from readiness.rules.passage import Passage, Standing
from readiness.rules.record import NOT_KNOWN, Array
from readiness.rules.refuges import Coast, candidates, coast_of, gate_open, sheltered, water_then
from vessel.calc.wording import NOT_KNOWN as NOT_KNOWN_WORD
from vessel.calc.wording import duration
from vessel.units import Flags


@dataclass(frozen=True)
class Reached:
    """From the first look at which a refuge is in reach to the look at which it no longer is, or the last one."""

    start: float
    end: float


@dataclass(frozen=True)
class RefugeRow:
    """One refuge at one departure, by plan."""

    key: str
    name: str
    spells: tuple[Reached, ...]
    nearest_m: float  # least distance at any look
    why_not: str  # what keeps her from it when it is not in reach; the distance only where there is nothing else


def in_reach(facts: Facts, passage: Passage, least: Standing = Standing.USABLE) -> Flags:
    """Whether each refuge is in reach at each look, [place, departure, look]: it stands so and is near enough in time.

    A place nobody knows the distance of is near enough only where all that is not known is to come out well.
    """
    refuges = passage.refuges
    near = ~(refuges.to_go_s > facts.limits.refuge_reach_s)
    return np.asarray((refuges.standing >= least) & near)


def without_refuge(facts: Facts, passage: Passage, least: Standing = Standing.USABLE) -> Flags:
    """Looks at which no refuge is in reach, [departure, look]; none once she has arrived."""
    under_way = ~np.isnan(passage.refuges.looks.at)
    return np.asarray(under_way & ~in_reach(facts, passage, least).any(axis=0))


def refuges_in_reach(facts: Facts, passage: Passage, index: int) -> list[RefugeRow]:
    """A row for each refuge of one departure, in the order along the way; empty where her times are not known."""
    at = passage.refuges.looks.at[index]
    count = int(np.isfinite(at).sum())
    if not count:
        return []
    places, flags = candidates(facts), in_reach(facts, passage)[:, index, :count]
    rows = [_row(facts, passage, place, number, index, flags[number]) for number, place in enumerate(places)]
    nearest = passage.refuges.away_m[:, index, :count].argmin(axis=-1)
    return [rows[number] for number in np.argsort(nearest, kind="stable")]


def why_not(facts: Facts, passage: Passage, number: int, index: int, look: int) -> str:
    """What keeps her from a refuge, by its number, when she turns for it at a look; empty where nothing does."""
    refuges, place = passage.refuges, candidates(facts)[number]
    to_go = float(refuges.to_go_s[number, index, look])
    if to_go > facts.limits.refuge_reach_s:
        return f"{duration(to_go)} off"
    arrival = np.array([float(refuges.looks.at[index, look]) + to_go])
    return barred(coast_of(facts, passage), place, arrival)


def barred(coast: Coast, place: Place, arrival: Array) -> str:
    """What keeps her out of a place at a moment, [1]; empty where nothing does."""
    names = {gate.key: gate.name for gate in coast.facts.water.gates}
    asked = [(gate_open(coast, key, arrival), names.get(key, key), "shut") for key in place.gates]
    asked.append((water_then(coast.facts, place, coast.tides, arrival), "water", "too little"))
    asked.append((sheltered(coast, place, arrival), "shelter", "open to the wind"))
    for answer, name, word in asked:
        if answer[0] == 0.0:
            return word if name == "shelter" else f"{name} {word}" if word == "shut" else f"{word} {name}"
    return next((f"{name} {NOT_KNOWN_WORD}" for answer, name, _ in asked if np.isnan(answer[0])), "")


def mile_m(passage: Passage, index: int) -> Array:
    """How far along the track she is at each look of one departure."""
    along: Array = np.asarray(at_looks(passage.track.node_along_m, passage.refuges.looks))[index]
    return along


def _row(facts: Facts, passage: Passage, place: Place, number: int, index: int, flags: Flags) -> RefugeRow:
    refuges, count = passage.refuges, flags.size
    at, away = refuges.looks.at[index, :count], refuges.away_m[number, index, :count]
    near = refuges.to_go_s[number, index, :count] <= facts.limits.refuge_reach_s
    out = [*np.flatnonzero(~flags & near), *np.flatnonzero(~flags)]
    return RefugeRow(
        key=place.key,
        name=place.name,
        spells=_spells(at, flags),
        nearest_m=float(away.min()) if np.isfinite(away).all() else NOT_KNOWN,
        why_not=why_not(facts, passage, number, index, int(out[0])) if out else "",
    )


def _spells(at: Array, flags: Flags) -> tuple[Reached, ...]:
    """Unbroken runs of flags as stretches of time."""
    edges = np.diff(np.concatenate([[0], flags.astype(np.int8), [0]]))
    ends = np.append(at, at[-1] + EVERY_S)
    return tuple(
        Reached(float(at[first]), float(min(ends[after], at[-1])))
        for first, after in zip(np.flatnonzero(edges == 1), np.flatnonzero(edges == -1), strict=True)
    )
