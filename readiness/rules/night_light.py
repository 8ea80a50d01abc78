"""Light on the way of one departure by plan: sun and moon where she is, and how long she has neither."""

from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from readiness.calc.daylight import (
    ASTRONOMICAL,
    CIVIL,
    NAUTICAL,
    RISE_AND_SET,
    sun_above_under_way,
    sun_altitude,
    under_way,
)
from readiness.calc.moon import lit_share, moon_above_under_way
from readiness.calc.window import Windows, both, windows
from readiness.rules.facts import Facts
from readiness.rules.passage import Passage
from readiness.rules.record import NOT_KNOWN, Array
from readiness.rules.telling import departure_zone, listed
from vessel.calc.wording import clock, duration
from vessel.units import MINUTE, Flags

RESOLUTION_S = 4 * MINUTE  # shorter spells than this may be missed
LEVELS = np.array([RISE_AND_SET, CIVIL, NAUTICAL, ASTRONOMICAL])  # deg, where each light ends


class Light(IntEnum):
    """By how far the sun is below the horizon."""

    DAY = 0
    CIVIL = 1
    NAUTICAL = 2
    ASTRONOMICAL = 3
    NIGHT = 4


LIGHT_WORDS = {
    Light.DAY: "day",
    Light.CIVIL: "civil twilight",
    Light.NAUTICAL: "nautical twilight, dark",
    Light.ASTRONOMICAL: "astronomical twilight, dark",
    Light.NIGHT: "night, dark",
}


@dataclass(frozen=True)
class Spell:
    """A stretch of time on the way; its ends may be departure or arrival."""

    start: float
    end: float


@dataclass(frozen=True)
class NightLight:
    """Light by plan. Arrays are [node], at the time she is there; dark is the sun below -6 degrees."""

    at: Array  # Epoch
    light: NDArray[np.int8]  # Light; -1 where it is not known
    moon_up: Flags
    lit: Array  # share of the moon's disc
    dark: tuple[Spell, ...]
    moon: tuple[Spell, ...]  # dark with the moon up
    dark_s: float
    moonless_s: float  # dark without a moon


def night_light(facts: Facts, passage: Passage, index: int) -> NightLight:  # noqa: ARG001 - as its neighbours
    """Sun and moon along the way of one departure; every time NaN where nobody can tell when she arrives."""
    at, track = passage.plan.node_at[index], passage.track
    if np.isnan(at).any():
        return _not_known(at)
    where = under_way(*_rising(at, track.node_lat_deg, track.node_lon_deg))
    sun = np.asarray(sun_altitude(at, track.node_lat_deg, track.node_lon_deg))
    moon_up, light = moon_above_under_way(where), sun_above_under_way(where, CIVIL)

    def dark(when: Array) -> Array:
        return 1.0 - np.asarray(light(when), float)

    spells, moonlit = (_spells(windows(one, at[0], at[-1], RESOLUTION_S)) for one in (dark, both(dark, moon_up)))
    dark_s = _length(spells)
    return NightLight(
        at=at,
        light=(sun[:, None] < LEVELS).sum(axis=-1).astype(np.int8),
        moon_up=np.asarray(moon_up(at)) == 1.0,
        lit=np.asarray(lit_share(at)),
        dark=spells,
        moon=moonlit,
        dark_s=dark_s,
        moonless_s=max(dark_s - _length(moonlit), 0.0),
    )


def light_sentence(facts: Facts, light: NightLight) -> str:
    """The light on the way in one sentence: "Dark from 21:02; moon up from 22:14, 63 % lit; 1 h 12 min without moon."

    Times of day in the zone of departure.
    """
    if np.isnan(light.dark_s):
        return "Light on the way is not known: nobody can tell when she arrives."
    if not light.dark:
        return "No dark on the way by plan."
    zone = departure_zone(facts)
    dark = listed(_told(spell, float(light.at[0]), float(light.at[-1]), zone, "all the way") for spell in light.dark)
    if not light.moon:
        return f"Dark {dark}; no moon, {duration(light.dark_s)} of it."
    first, last = light.dark[0].start, light.dark[-1].end
    up = listed(_told(spell, first, last, zone, "all the while") for spell in light.moon)
    left = f"{duration(light.moonless_s)} without moon" if light.moonless_s >= MINUTE else "never without moon"
    return f"Dark {dark}; moon up {up}, {round(100 * _lit_in(light))} % lit; {left}."


def _told(spell: Spell, first: float, last: float, zone: str, whole: str) -> str:
    """A spell between two ends in words; an end that is the end of the whole is not told."""
    if spell.start <= first and spell.end >= last:
        return whole
    if spell.start <= first:
        return f"until {clock(spell.end, zone)}"
    until = "" if spell.end >= last else f" to {clock(spell.end, zone)}"
    return f"from {clock(spell.start, zone)}{until}"


def _lit_in(light: NightLight) -> float:
    """Share of the disc lit in the middle of the first dark spell with a moon."""
    return float(np.asarray(lit_share((light.moon[0].start + light.moon[0].end) / 2)))


def _rising(at: Array, lat: Array, lon: Array) -> tuple[Array, Array, Array]:
    """Nodes without those reached at the moment of the one before: a step of no length takes no time."""
    kept = np.concatenate([[True], np.diff(at) > 0])
    return at[kept], lat[kept], lon[kept]


def _spells(held: Windows) -> tuple[Spell, ...]:
    return tuple(Spell(float(a), float(b)) for a, b in zip(held.opens_at, held.closes_at, strict=True))


def _length(spells: tuple[Spell, ...]) -> float:
    return sum(spell.end - spell.start for spell in spells)


def _not_known(at: Array) -> NightLight:
    nothing = np.full(at.shape, np.nan)
    return NightLight(
        at=at, light=np.full(at.shape, -1, np.int8), moon_up=np.zeros(at.shape, bool), lit=nothing, dark=(), moon=(),
        dark_s=NOT_KNOWN, moonless_s=NOT_KNOWN,
    )  # fmt: skip
