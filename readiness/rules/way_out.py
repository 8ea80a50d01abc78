"""The way out must pass too: a refuge or a wait place is judged as a leg of its own, at its own times.

Gates, water and shelter, light, mean wind, gusts, sea, fuel and hands are asked of the place itself; it may not lean
on another place. She runs straight for it at her late speed in the worst sea of the way, with no stream. The weather on
the way there is that of the point of the track nearest to the place, for no other is forecast; what is not known
counts against the place.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from readiness.calc.daylight import CIVIL, sun_altitude
from readiness.calc.track import distance_m
from readiness.calc.weather import Sampled, worst_between
from readiness.rules.facts import Facts
from readiness.rules.facts_water import Place
from readiness.rules.fuel_aboard import HARBOUR_MOVE_L, burn_l_per_h, sure_l
from readiness.rules.hands import able_at
from readiness.rules.judgement import Outcome, Outcomes
from readiness.rules.passage import Passage
from readiness.rules.record import Array
from readiness.rules.refuge_reach import barred
from readiness.rules.refuges import Coast, candidates, coast_of, entered, nearest_along, sheltered
from readiness.rules.weather_met import confidence_factor, stacked
from vessel.calc.wording import NOT_KNOWN, duration, knots, metres
from vessel.units import HOUR, Flags

MET = ("wind_mps", "gust_mps", "wave_height_m")  # what is asked of the weather on the way to a place


@dataclass(frozen=True)
class Divert:
    """One place she may turn to: when she turns and when she is there, [departure]."""

    facts: Facts
    coast: Coast
    passage: Passage
    place: Place
    leaves: Array
    at: Array

    @cached_property
    def along(self) -> Array:
        """Where along the track her weather is taken from, [1]."""
        return nearest_along(self.passage.track, self.place)

    @cached_property
    def worst(self) -> dict[str, Array]:
        """The worst of wind, gusts and sea from turning to being there, [departure]; NaN where any of it is missing."""
        forecast: Sampled | None = self.coast.forecast
        if forecast is None:
            return dict.fromkeys(MET, np.full(self.at.shape, np.nan))
        turns, there = self.leaves[:, None], self.at[:, None]
        worst = worst_between(forecast, stacked(forecast, MET), self.along, turns, there)[..., 0]
        return dict(zip(MET, worst, strict=True))


def refuge_in_reach(facts: Facts, passage: Passage, node: int | NDArray[np.int64]) -> Flags:
    """Whether some place other than the destination passes when she turns for it late from a node, [departure].

    Worked out once for the same three.
    """
    return _in_reach(facts, passage, np.asarray(node, np.int64).tobytes())


@lru_cache(maxsize=8)
def _in_reach(facts: Facts, passage: Passage, node: bytes) -> Flags:
    found = np.zeros(passage.departures, bool)
    for divert in _diverts(facts, passage, np.frombuffer(node, np.int64)):
        found |= _passes(divert)
        if found.all():
            break
    found.flags.writeable = False
    return found


def eased_at_late_only(
    facts: Facts, passage: Passage, by_plan: Callable[[], tuple[Outcomes, Flags]], at_late: Outcomes, values: Array
) -> tuple[Outcomes, Flags, NDArray[np.int64]]:
    """The worse of plan and late, a no-go at late only eased where a way out is good from the node at which she would
    enter the step with the highest of `values[departure, step]`; where it leans on that, and that step, [departure].

    `by_plan` gives the outcome by plan and where what is not known would decide it: that eases nothing.
    """
    nowhere = np.zeros(passage.departures, np.int64)
    if not (at_late == Outcome.NO_GO).any():
        return at_late, nowhere > 0, nowhere
    planned, unseen = by_plan()
    leans = np.asarray((at_late == Outcome.NO_GO) & (planned < Outcome.NO_GO) & ~unseen)
    if not leans.any():
        return at_late, leans, nowhere
    step = np.where(np.isnan(values), -np.inf, values).argmax(axis=-1)
    eased = leans & refuge_in_reach(facts, passage, step)
    return np.where(eased, np.int8(Outcome.CONDITION), at_late), leans, step


def leaning_words(facts: Facts, passage: Passage, no_go: bool, step: NDArray[np.int64], index: int) -> str:
    """What follows where only the late figure meets a no-go: why no refuge eases it, or that she must turn off in time."""
    if no_go:
        return why_no_refuge(facts, passage, step, index)
    where = facts.leg.segments[int(passage.track.segment[step[index]])].name
    return f"Only late: decide before {where} whether to turn off for a refuge."


def why_no_refuge(facts: Facts, passage: Passage, node: int | NDArray[np.int64], index: int) -> str:
    """Why no place passes at one departure: "No way out passes (Thole Bight: open to the wind)."."""
    told = [
        f"{divert.place.name}: {reason}" for divert in _diverts(facts, passage, node) if (reason := _why(divert, index))
    ]
    return f"No way out passes ({'; '.join(told)})." if told else "No way out is named."


def place_of(facts: Facts, key: str | None) -> Place | None:
    """A place of the coast by its key."""
    return next((place for place in facts.water.places if place.key == key), None)


def passes(facts: Facts, passage: Passage, place: Place, at: Array) -> Flags:
    """Whether a place she is at already is known to take her safely at each time, [departure]."""
    return _passes(Divert(facts, coast_of(facts, passage), passage, place, at, at))


def why_not_there(facts: Facts, passage: Passage, place: Place, at: Array, index: int) -> str:
    """Why a place is no way out at one departure: "Vessary Roads is no way out: strange and unlit in the dark."."""
    reason = _why(Divert(facts, coast_of(facts, passage), passage, place, at, at), index)
    return f"{place.name} is no way out: {reason}." if reason else ""


def _diverts(facts: Facts, passage: Passage, node: int | NDArray[np.int64]) -> list[Divert]:
    """Every place but the destination, when she turns for it late from a node."""
    nodes = np.broadcast_to(node, passage.departures)
    leaves = passage.late.node_at[np.arange(passage.departures), nodes]
    track, coast = passage.track, coast_of(facts, passage)
    speed = facts.leg.speed_mps * facts.boat.vessel.late_speed_factor * passage.least_sea_share
    diverts = []
    for place in candidates(facts):
        if place.key != facts.leg.arrival_place:
            away = distance_m(track.node_lat_deg[nodes], track.node_lon_deg[nodes], place.lat_deg, place.lon_deg)
            there = leaves + np.asarray(away) / np.where(speed > 0, speed, np.nan)
            diverts.append(Divert(facts, coast, passage, place, leaves, there))
    return diverts


def _passes(divert: Divert) -> Flags:
    good = np.ones(divert.at.shape, bool)
    for holds, _ in ASKED:
        if good.any():
            good &= holds(divert)
    return good


def _why(divert: Divert, index: int) -> str:
    """The first thing that keeps her from a place at one departure, in words; empty where nothing does."""
    return next((say(divert, index) for holds, say in ASKED if not holds(divert)[index]), "")


def _open_and_sheltered(divert: Divert) -> Flags:
    coast, place, at = divert.coast, divert.place, divert.at
    return np.asarray((entered(coast, place, at) == 1.0) & (sheltered(coast, place, at) == 1.0))


def _barred(divert: Divert, index: int) -> str:
    if np.isnan(divert.at[index]):
        return f"when she is there is {NOT_KNOWN}"
    return barred(divert.coast, divert.place, divert.at[[index]])


def _light_enough(divert: Divert) -> Flags:
    """Familiar, or not dark: a strange place in the dark is no way out, lit or not."""
    if divert.place.familiar:
        return np.isfinite(divert.at)
    return np.asarray(sun_altitude(divert.at, divert.place.lat_deg, divert.place.lon_deg)) >= CIVIL


def _dark(divert: Divert, _index: int) -> str:
    return "strange in the dark" if divert.place.lit else "strange and unlit in the dark"


def _wind_bearable(divert: Divert) -> Flags:
    facts = divert.facts
    return np.asarray(divert.worst["wind_mps"] < facts.limits.mean_wind_no_go_mps * confidence_factor(facts))


def _gusts_bearable(divert: Divert) -> Flags:
    facts = divert.facts
    return np.asarray(divert.worst["gust_mps"] < facts.limits.gust_no_go_mps * confidence_factor(facts))


def _sea_bearable(divert: Divert) -> Flags:
    facts = divert.facts
    most = facts.limits.sea_no_go_loa * facts.boat.vessel.loa_m * confidence_factor(facts)
    return np.asarray(divert.worst["wave_height_m"] < most)


def _fuel_enough(divert: Divert) -> Flags:
    facts, sure = divert.facts, sure_l(divert.facts, divert.passage)
    if facts.leg.harbour_move:
        return np.asarray(sure >= HARBOUR_MOVE_L)
    return np.asarray(sure >= facts.limits.fuel_no_go * _fuel_needed_l(divert))


def _fuel_needed_l(divert: Divert) -> Array:
    """From the departure to the place."""
    under_way = divert.at - divert.passage.departure_at
    return np.asarray(burn_l_per_h(divert.facts) * under_way / HOUR)


def _fuel(divert: Divert, index: int) -> str:
    sure, needed = float(sure_l(divert.facts, divert.passage)[index]), float(_fuel_needed_l(divert)[index])
    if np.isnan(sure + needed):
        return f"fuel {NOT_KNOWN}"
    far = duration(float(divert.at[index] - divert.passage.departure_at[index]))
    return f"{needed:.0f} L to be there after {far}, {sure:.0f} L surely aboard"


def _hands_enough(divert: Divert) -> Flags:
    gates = {gate.key: gate for gate in divert.facts.water.gates}
    flags = np.ones(divert.at.shape, bool)
    for key in divert.place.gates:
        hands = gates[key].hands if key in gates else None
        flags &= (able_at(divert.facts, divert.at) >= hands + 1) if hands is not None else False
    return flags


Say = Callable[[Divert, int], str]


def _forecast(what: str, name: str, tell: Callable[[float], str]) -> Say:
    """Words for a thing of the forecast that is too much, or not there."""

    def say(divert: Divert, index: int) -> str:
        value = float(divert.worst[name][index])
        return f"{what} {tell(value)} on the way there" if np.isfinite(value) else f"{what} not forecast there"

    return say


ASKED: tuple[tuple[Callable[[Divert], Flags], Say], ...] = (
    (_open_and_sheltered, _barred),
    (_light_enough, _dark),
    (_wind_bearable, _forecast("wind", "wind_mps", knots)),
    (_gusts_bearable, _forecast("gusts", "gust_mps", knots)),
    (_sea_bearable, _forecast("sea", "wave_height_m", metres)),
    (_fuel_enough, _fuel),
    (_hands_enough, lambda _divert, _index: "hands short at its gate"),
)
