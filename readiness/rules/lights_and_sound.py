"""Lights, sound and being seen: what she must show when it is dark or thick, and sound at any time outside."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

import numpy as np

from readiness.calc.daylight import sun_events
from readiness.calc.success_tree import Level, Levels, Tree, codes, links
from readiness.rules.circumstances import any_of, circumstances, weighed
from readiness.rules.facts import Facts
from readiness.rules.function_state import IS, cause_of, evidence_of, level_once_tested, requirement_missing, why
from readiness.rules.judgement import Judgement, Outcome, Outcomes, Rule, Subject, Words
from readiness.rules.lights_checked import lights_checked
from readiness.rules.limits import Limits
from readiness.rules.missing import harbour_move, late_arrival_missing, late_at, unknown
from readiness.rules.passage import Passage
from readiness.rules.put_right import remedies_for
from readiness.rules.record import NOT_KNOWN, Array
from readiness.rules.state import States, states
from readiness.rules.telling import by_departure, first_worst, hand_for
from readiness.rules.words_of_trade import Kind, Skill
from vessel.units import DAY, HOUR

ID, TITLE = "lights_and_sound", "Lights, sound and being seen"
SUNSET_SOON_S = 2 * HOUR  # after late arrival [own]
PARTS = {
    "Lights": frozenset({Kind.LIGHT}),
    "Sound signal": frozenset({Kind.SOUND_SIGNAL}),
    "Being seen by radar": frozenset({Kind.REFLECTOR, Kind.AIS}),
}
LIGHTS, SOUND, SEEN = PARTS
P, A, C, U, N = (np.int8(outcome) for outcome in Outcome)


@dataclass(frozen=True)
class Part:
    """One part of the function See and be seen and its outcome by level where it is asked for and where not."""

    name: str
    asked: Array  # three-valued, [departure]
    if_asked: Outcomes  # by level
    if_not: Outcomes  # by level, [level] or [level, departure]


def lights_and_sound(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:
    """Lights where they are due, a sound signal always, a reflector or AIS by night or in poor visibility.

    Source: [colregs]
    """
    if facts.leg.harbour_move:
        yield harbour_move(ID, passage, TITLE)
        return
    yield from late_arrival_missing(ID, passage)
    held = states(facts, passage)
    for part in _parts(passage, facts):
        trees = part_links(held, part.name)
        for tree in trees:
            yield from _judged(facts, passage, held, part, tree)
        if not trees:
            yield unknown(ID, ("function", part.name), passage, _not_in_tree(part.name))
    yield from lights_checked(ID, facts, passage, limits)


def part_links(held: States, name: str) -> tuple[Tree, ...]:
    """Links of See and be seen that belong to a part: each to the first part whose kinds it holds."""
    found: dict[str, list[Tree]] = {part: [] for part in PARTS}
    for link in links(held.trees["be_seen"]):
        kinds = {held.items[code].kind for code in codes(link) if code in held.items}
        owner = next((part for part, wanted in PARTS.items() if kinds & wanted), None)
        if owner is not None:
            found[owner].append(link)
    return tuple(found[name])


def parts_asked(facts: Facts, passage: Passage) -> dict[str, Array]:
    """Where each part is asked for, three-valued, [departure]; the sound signal always."""
    around = circumstances(facts, passage)
    by_dark = any_of(around.night, around.poor_visibility)
    return {LIGHTS: around.lights_due, SOUND: np.ones(passage.departures), SEEN: by_dark}


def _parts(passage: Passage, facts: Facts) -> tuple[Part, ...]:
    around = circumstances(facts, passage)
    soon = np.where(sunset_soon(passage), C, A)
    none = np.full_like(soon, P)
    return (
        Part(LIGHTS, around.lights_due, np.array([P, C, P, U, N]), np.stack([none, none, none, soon, soon])),
        Part(SOUND, around.poor_visibility, np.array([P, C, P, U, N]), np.array([P, C, P, U, C])),
        Part(SEEN, any_of(around.night, around.poor_visibility), np.array([P, P, P, U, C]), np.zeros(5, np.int8)),
    )


def sunset_soon(passage: Passage) -> Outcomes:
    """Where the sun sets at the place of arrival within two hours of late arrival, [departure]."""
    late = late_at(passage)
    known = late[np.isfinite(late)]
    if not known.size:
        return np.zeros(late.shape, bool)
    lat, lon = float(passage.track.node_lat_deg[-1]), float(passage.track.node_lon_deg[-1])
    events = sun_events(lat, lon, float(known.min()), float(known.max()) + DAY)
    sunsets = np.append(events.closes_at[events.closes_known], np.inf)
    following = sunsets[np.searchsorted(sunsets[:-1], late, side="left")]
    return np.asarray(following - late < SUNSET_SOON_S)


def _judged(facts: Facts, passage: Passage, held: States, part: Part, tree: Tree) -> Iterator[Judgement]:
    level = level_once_tested(held, tree)
    otherwise = part.if_not[level] if part.if_not.ndim == 1 else part.if_not[level, np.arange(passage.departures)]
    outcome, undecided = weighed(part.asked, part.if_asked[level], otherwise)
    names = held.guilty(tree, first_worst(outcome)) if outcome.any() else ()
    yield Judgement(
        rule=ID,
        cause=cause_of(held, names[0]) if names else ("function", part.name),
        outcome=outcome,
        demand=NOT_KNOWN,
        limit=NOT_KNOWN,
        unit="",
        say=partial(_say, facts, passage, held, part, tree, level, outcome),
    )
    yield from requirement_missing(ID, facts, passage, undecided, ("visibility_m",))


def _say(
    facts: Facts,
    passage: Passage,
    held: States,
    part: Part,
    tree: Tree,
    level: Levels,
    outcome: Outcomes,
    index: int,
) -> Words:
    if outcome[index] == Outcome.PASSED:
        due = part.asked[index] != 0.0 or part.name == SOUND
        return Words(title=TITLE, sentence=f"{part.name}: {'in service' if due else 'not needed on this leg'}.")
    names = held.guilty(tree, index)
    remedies = remedies_for(facts, held, names)
    state = IS[Level(int(level[index]))]
    when = (
        " Needed within two hours of arrival."
        if outcome[index] == C and part.name == LIGHTS and state != "degraded"
        else ""
    )
    return Words(
        title=f"{part.name}: {state}",
        sentence=f"{part.name}: {state}: {'; '.join(why(held, code) for code in names[:2])}.{when}",
        do=f"{remedies[0].text}." if remedies else "Walk round her with everything on; rig a portable set.",
        by=by_departure(passage, index),
        who=hand_for(facts, Skill.ENGINE),
        minutes=min((remedy.minutes for remedy in remedies), default=NOT_KNOWN),
        evidence=evidence_of(held, names),
        remedies=remedies,
    )


def _not_in_tree(name: str) -> Words:
    return Words(
        title=f"{name} not known",
        sentence=f"The function See and be seen names nothing for: {name.lower()}.",
        do="Mend the tree of this function.",
    )


RULE = Rule(
    id=ID,
    title=TITLE,
    subject=Subject.BOAT,
    formula="lights due (sun below −0.833 degrees at any time, or visibility under 2 nmi): lost is no-go, unknown is unknown, "
    "degraded or not checked in the last 24 h a condition; not due: lost or unknown is advice, a condition where the sun "
    "sets within 2 h of late arrival; no sound signal is a condition, no-go in poor visibility; reflector and AIS both "
    "lost by night or in poor visibility is a condition",
    source="[colregs] [practice]",
    worst=Outcome.NO_GO,
    judge=lights_and_sound,
    limits=("lights_checked_s",),
)
