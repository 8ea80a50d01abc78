"""Which functions a leg requires, and which links of them no rule of its own answers for."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from readiness.calc.success_tree import Tree, codes, links
from readiness.rules.circumstances import Circumstances, any_of, circumstances, negated
from readiness.rules.facts import Facts
from readiness.rules.lights_and_sound import PARTS, part_links
from readiness.rules.means import counted_group, is_part_of
from readiness.rules.passage import Passage
from readiness.rules.record import Array
from readiness.rules.state import States
from readiness.rules.words_of_trade import Kind

When = Callable[[Circumstances], Array]


def _always(around: Circumstances) -> Array:
    return np.ones_like(around.night)


def _far_cold_or_dark(around: Circumstances) -> Array:
    return any_of(negated(around.near), around.cold, around.night)


@dataclass(frozen=True)
class Function:
    """A function the program knows when to require."""

    name: str
    when: When = _always  # outside harbour
    in_harbour: bool = False


REQUIRED = {
    "keep_water_out": Function("Keep the water out", in_harbour=True),
    "get_water_out": Function("Get water out", in_harbour=True),
    "drive": Function("Drive", in_harbour=True),
    "start": Function("Start and start again", in_harbour=True),
    "steer": Function("Steer", in_harbour=True),
    "electricity": Function("Electricity"),
    "position": Function("Position and depth"),
    "be_seen": Function("See and be seen"),
    "raise_alarm": Function("Talk and raise the alarm"),
    "hold_ground": Function("Hold ground"),
    "fire_and_gas": Function("Fire and gas", in_harbour=True),
    "air_and_heat": Function("Air and heat", in_harbour=True),
    "leave_ship": Function("Leave the ship", _far_cold_or_dark),
    "keep_aboard": Function("Keep aboard and recover", in_harbour=True),
    "moor": Function("Moor and pass locks", in_harbour=True),
}  # being seen in distress is judged by its own rules alone
ANSWERED_ELSEWHERE = frozenset({"drive", "steer"})


def required(facts: Facts, passage: Passage, key: str) -> Array:
    """Where the leg requires a function, three-valued, [departure]."""
    function = REQUIRED[key]
    if facts.leg.harbour_move and not function.in_harbour:
        return np.zeros(passage.departures)
    around = circumstances(facts, passage)
    return _always(around) if facts.leg.harbour_move else function.when(around)


def links_left(held: States, key: str) -> tuple[Tree, ...]:
    """Links of a function for which no rule of its own answers."""
    tree = held.trees[key]
    if key in ANSWERED_ELSEWHERE:
        return ()
    if key == "be_seen":
        answered = [link for part in PARTS for link in part_links(held, part)]
        return tuple(link for link in links(tree) if link not in answered)
    if key in {"get_water_out", "position"}:
        return tuple(link for link in links(tree) if not is_part_of(link, counted_group(tree)))
    if key == "keep_water_out":
        return tuple(link for link in links(tree) if not _only_openings(held, link))
    return links(tree)


def _only_openings(held: States, link: Tree) -> bool:
    return all(code in held.items and held.items[code].kind == Kind.OPENING for code in codes(link))
