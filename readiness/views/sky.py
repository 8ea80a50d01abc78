"""Light, refuges and speed in waves on the way of one departure, as the leg's page tells them."""

from dataclasses import dataclass

from readiness.rules.engine import Judged
from readiness.rules.night_light import light_sentence, night_light
from readiness.rules.refuge_reach import Reached, RefugeRow, refuges_in_reach
from readiness.rules.slowed_by_sea import sea_speed_sentence, unseen_sea_sentence
from readiness.rules.telling import departure_zone, listed
from vessel.calc.wording import clock, duration


@dataclass(frozen=True)
class RefugeLine:
    """One refuge: when it is in reach, how near she passes it, and what keeps her from it otherwise."""

    name: str
    in_reach: str
    nearest_m: float
    why_not: str


def sky_of(judged: Judged, chosen: int) -> dict[str, object]:
    """What the parts on light, refuges and speed in waves tell of one departure."""
    facts, passage = judged.facts, judged.passage
    return {
        "light_sentence": light_sentence(facts, night_light(facts, passage, chosen)),
        "refuges": [_line(judged, chosen, row) for row in refuges_in_reach(facts, passage, chosen)],
        "refuge_reach": duration(facts.limits.refuge_reach_s),
        "sea_speed": sea_speed_sentence(facts, passage, chosen),
        "unseen_sea": unseen_sea_sentence(facts, passage, chosen),
    }


def _line(judged: Judged, chosen: int, row: RefugeRow) -> RefugeLine:
    zone = departure_zone(judged.facts)
    leaves_at = float(judged.passage.refuges.looks.at[chosen, 0])
    if not row.spells:
        return RefugeLine(row.name, "never", row.nearest_m, row.why_not)
    whole = len(row.spells) == 1 and not row.why_not
    told = "all the way" if whole else listed(_told(spell, leaves_at, zone) for spell in row.spells)
    return RefugeLine(row.name, told, row.nearest_m, f"otherwise {row.why_not}" if row.why_not else "")


def _told(spell: Reached, leaves_at: float, zone: str) -> str:
    if spell.start <= leaves_at:
        return f"until {clock(spell.end, zone)}"
    return f"{clock(spell.start, zone)} to {clock(spell.end, zone)}"
