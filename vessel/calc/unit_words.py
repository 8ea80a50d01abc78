"""A unit as people write it."""

import re

UNIT_WORDS = {"l": "L", "l/h": "L/h", "l/min": "L/min", "1/min": "a minute", "degC": "°C", "1": ""}
POWERS = {"-1": "", "2": "²", "3": "³", "-2": "²", "-3": "³"}
POWER = re.compile(r"(\S+?)\*\*(-?\d)")


def unit_word(unit: str) -> str:
    """A unit as it is kept, as people write it: "L", "°C", "a minute"; powers by signs, "m s**-1" is "m/s".

    Source: [own]
    """
    if "**" not in unit:
        return UNIT_WORDS.get(unit, unit)
    over: list[str] = []
    under: list[str] = []
    for part in unit.split():
        power = POWER.fullmatch(part)
        if power is None:
            over.append(part)
        else:
            (under if power[2].startswith("-") else over).append(power[1] + POWERS.get(power[2], f"^{power[2]}"))
    return "/".join([" ".join(over) or "1", *under])
