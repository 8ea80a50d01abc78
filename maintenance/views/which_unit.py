"""A unit with two meanings: what is offered, and what was typed with the meaning picked."""

import re

from vessel.calc.quantity import WhichUnit, parse_quantity
from vessel.calc.unit_words import unit_word
from vessel.calc.wording import with_unit

UNIT_TYPED = re.compile(r"[^\d\s/.,½¼¾-].*$")


def settled(typed: str, means: str) -> str:
    """What was typed, with the unit (or the number) picked from those offered in its place."""
    if not means:
        return typed
    if means[0].isdigit():
        tail = UNIT_TYPED.search(typed)
        return f"{means} {tail[0] if tail else ''}".strip()
    return f"{UNIT_TYPED.sub('', typed).strip()} {means}"


def offered(typed: str, unit: str, question: WhichUnit) -> list[tuple[str, str]]:
    """Each meaning with what it comes to: ("UK pt", "UK pt = 0.284 l")."""
    return [(choice, f"{choice} = {with_unit(parse_quantity(settled(typed, choice), unit), unit_word(unit), 3)}")
            for choice in question.choices]  # fmt: skip
