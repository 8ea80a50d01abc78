"""A changed column as people say it: "Shore contact: not known → Ann", never its name in the database."""

import re
from collections.abc import Callable, Mapping, Sequence
from datetime import datetime

from vessel.calc import wording

STAMP = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(?:\.\d+)?Z")
DAY = re.compile(r"(\d{4})-(\d\d)-(\d\d)")
LONG_HASH = re.compile(r"[0-9a-f]{40,}")
PRIVATE = re.compile(r"(?:^|; )([a-z][a-z0-9_]*): (.*?) → (.*?)(?=; [a-z][a-z0-9_]*: .*? → |$)", re.DOTALL)
BEARS_UNIT = re.compile(r"\s*\([^()]{1,8}\)$")
# The unit a column's name ends in: how a number in it is said, and how many decimals it is given.
UNITS: dict[str, Callable[[float, int], str]] = {
    "_mps": wording.knots,
    "_deg": lambda value, decimals: f"{wording.number(value, decimals)}°",
    "_m": wording.metres,
    "_s": lambda value, _: wording.duration(value),
    "_l_per_h": lambda value, decimals: wording.with_unit(value, "L/h", decimals),
    "_l": lambda value, decimals: wording.with_unit(value, "L", decimals),
    "_h": lambda value, decimals: wording.with_unit(value, "h", decimals),
    "_hours": lambda value, decimals: wording.with_unit(value, "h", decimals),
    "_v": lambda value, decimals: wording.with_unit(value, "V", decimals),
    "_a": lambda value, decimals: wording.with_unit(value, "A", decimals),
    "_days": lambda value, decimals: wording.with_unit(value, "days", decimals),
    "_minutes": lambda value, decimals: wording.with_unit(value, "min", decimals),
}


def change_lines(changes: Mapping[str, object], zone: str, labels: Mapping[str, str]) -> list[str]:
    """Each change as a line. `labels` are the words of columns whose name does not say enough; times in `zone`.

    Source: [own]
    """
    return [_line(name, *_pair(values), zone, labels) for name, values in changes.items()]


def private_words(text: str, zone: str, labels: Mapping[str, str]) -> str:
    """Private text as people read it: changed columns in it are put into words, a sentence is left as it is.

    Source: [own]
    """
    if not PRIVATE.match(text):
        return text
    return "; ".join(_line(name, _read(old), _read(new), zone, labels) for name, old, new in PRIVATE.findall(text))


def column_words(name: str, labels: Mapping[str, str]) -> str:
    """What a column is called: its own words, else its name without its unit.

    Source: [own]
    """
    ending = next((unit for unit in UNITS if name.endswith(unit)), "")
    plain = name.removesuffix(ending).replace("_", " ")
    words = BEARS_UNIT.sub("", labels.get(name, plain))
    return words[:1].upper() + words[1:]


def value_words(name: str, value: object, zone: str) -> str:
    """A value of a column as people say it; the end of the column's name is its unit, times are told in `zone`.

    Source: [own]
    """
    if value is None or value == "":
        return wording.NOT_KNOWN
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return _number(name, float(value))
    if isinstance(value, Sequence) and not isinstance(value, str):
        return ", ".join(value_words(name, part, zone) for part in value) or "none"
    return _text(str(value), zone)


def _line(name: str, old: object, new: object, zone: str, labels: Mapping[str, str]) -> str:
    told = column_words(name, labels)
    return f"{told}: {value_words(name, old, zone)} → {value_words(name, new, zone)}"


def _pair(values: object) -> tuple[object, object]:
    if isinstance(values, Sequence) and not isinstance(values, str) and len(values) == 2:
        return values[0], values[1]
    return None, values


def _read(text: str) -> object:
    """A value as the text of private changes holds it."""
    return {"None": None, "": None, "True": True, "False": False}.get(text, text)


def _number(name: str, value: float) -> str:
    decimals = 0 if value == int(value) else 2
    for ending, say in UNITS.items():
        if name.endswith(ending):
            return say(value, decimals)
    return wording.number(value, decimals)


def _text(text: str, zone: str) -> str:
    if STAMP.fullmatch(text):
        return wording.with_utc(datetime.fromisoformat(text).timestamp(), zone)
    if day := DAY.fullmatch(text):
        return f"{int(day[3])} {wording.MONTHS[int(day[2]) - 1]} {day[1]}"
    if LONG_HASH.fullmatch(text):
        return f"{text[:8]}…"
    return text.replace("_", " ") if re.fullmatch(r"[a-z]+(_[a-z]+)+", text) else text
