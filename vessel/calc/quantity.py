"""Quantities as people type them ("20 in", "2,5 l", "1 1/2 pt"), to a number in the unit that is kept.

A word that means more than one unit is a question, never a guess.
"""

import re
from collections.abc import Sequence
from fractions import Fraction
from functools import cache

import pint

from vessel.calc.wording import one_line
from vessel.errors import BadInput

# What is measured, by the kind of its series, and the unit it is kept in.
SERIES_UNITS = {
    "engine_hours": "h",
    "tank_level": "l",
    "sump_level": "l",
    "consumable_added": "l",
    "gland_leak": "l/h",
    "gland_rise": "K",
    "bilge_inflow": "l/h",
    "bearing_clearance": "mm",
    "shaft_diameter": "mm",
    "free_play": "mm",
    "plate_thickness": "mm",
    "rested_voltage": "V",
    "cranking_voltage": "V",
    "charging_voltage": "V",
    "state_of_charge": "1",
    "coolant_temperature": "degC",
    "oil_pressure": "bar",
    "engine_space_rise": "K",
    "pump_rate": "l/min",
    "drips": "1/min",
    "sea_temperature": "degC",
}

# As typed (lower case, no spaces or full stops) to the unit as the registry knows it.
MEANING = {
    "m": "meter", "metre": "meter", "metres": "meter", "cm": "centimeter", "mm": "millimeter", "km": "kilometer",
    "in": "inch", "inch": "inch", "inches": "inch", '"': "inch", "ft": "foot", "foot": "foot", "feet": "foot",
    "'": "foot", "fathom": "sea_fathom", "fathoms": "sea_fathom", "nmi": "nautical_mile", "nm": "nautical_mile",
    "nauticalmile": "nautical_mile", "nauticalmiles": "nautical_mile", "statutemile": "mile",
    "kn": "knot", "kt": "knot", "kts": "knot", "knot": "knot", "knots": "knot", "m/s": "meter/second",
    "l": "liter", "litre": "liter", "litres": "liter", "liter": "liter", "liters": "liter", "ml": "milliliter",
    "cl": "centiliter", "dl": "deciliter",
    "ukgal": "imperial_gallon", "impgal": "imperial_gallon", "galuk": "imperial_gallon", "gallonuk": "imperial_gallon",
    "usgal": "gallon", "galus": "gallon", "gallonus": "gallon",
    "ukpt": "imperial_pint", "ptuk": "imperial_pint", "pintuk": "imperial_pint", "ukpint": "imperial_pint",
    "uspt": "pint", "ptus": "pint", "pintus": "pint", "uspint": "pint",
    "l/h": "liter/hour", "lph": "liter/hour", "ml/h": "milliliter/hour", "l/min": "liter/minute", "lpm": "liter/minute",
    "v": "volt", "volt": "volt", "volts": "volt", "mv": "millivolt", "a": "ampere", "amp": "ampere", "amps": "ampere",
    "ah": "ampere*hour", "h": "hour", "hr": "hour", "hrs": "hour", "hour": "hour", "hours": "hour",
    "min": "minute", "mins": "minute", "minutes": "minute", "s": "second", "sec": "second", "seconds": "second",
    "day": "day", "days": "day", "%": "percent", "1": "", "1/min": "1/minute", "/min": "1/minute",
    "drips/min": "1/minute", "degc": "degC", "c": "degC", "°c": "degC", "degf": "degF", "f": "degF", "°f": "degF",
    "k": "kelvin", "bar": "bar", "psi": "psi", "hpa": "hectopascal", "mbar": "millibar", "kpa": "kilopascal",
    "kg": "kilogram", "t": "metric_ton", "tonne": "metric_ton", "tonnes": "metric_ton", "lb": "pound",
    "kw": "kilowatt", "w": "watt",
}  # fmt: skip

# A word that is a question, with the answers that settle it.
WHICH = {
    **dict.fromkeys(("gal", "gals", "gallon", "gallons"), ("UK gal", "US gal")),
    **dict.fromkeys(("pt", "pts", "pint", "pints"), ("UK pt", "US pt")),
    **dict.fromkeys(("mile", "miles", "mi"), ("nautical mile", "statute mile")),
    **dict.fromkeys(("ton", "tons"), ("tonne",)),
    **dict.fromkeys(("hp", "bhp"), ("kW",)),
    **dict.fromkeys(("floz", "oz"), ("ml",)),
}

NUMBER = re.compile(
    r"""^\s*(?P<sign>[-+−]?)\s*
    (?: (?: (?P<whole>\d+) [\s-]+ )? (?P<over>\d+) \s* / \s* (?P<under>\d+)
      | (?P<decimal> \d+ (?:[.,]\d+)? | [.,]\d+ ) )
    \s* (?P<unit>[^\d\s].*)? $""",
    re.VERBOSE,
)
LONGEST = 60


class WhichUnit(BadInput):
    """The unit typed means more than one thing; `choices` are the units to offer."""

    def __init__(self, message: str, choices: Sequence[str]) -> None:
        super().__init__(message)
        self.choices = tuple(choices)


def parse_quantity(typed: str, unit: str) -> float:
    """The number in `unit` that was typed; a bare number is in `unit` already.

    `unit` is as it is kept: mm, m, l, l/h, V, degC, K, ... Raises WhichUnit for a word with two meanings, BadInput
    for what is no quantity of that kind. With K kept, degrees are a difference, not a reading.

    Source: [bipm]
    """
    typed = one_line(typed)
    match = NUMBER.match(typed) if len(typed) <= LONGEST else None
    if match is None:
        raise BadInput(f"“{typed[:LONGEST]}” is not a quantity: write a number and a unit, such as “12.5 {unit}”.")
    number = _number(match, typed)
    written = match["unit"]
    return float(number) if written is None else _converted(number, written, unit, typed)


def _number(match: re.Match[str], typed: str) -> Fraction:
    sign = -1 if match["sign"] in {"-", "−"} else 1
    if match["over"]:
        if int(match["under"]) == 0:
            raise BadInput(f"“{typed}” divides by nothing.")
        return sign * (int(match["whole"] or 0) + Fraction(int(match["over"]), int(match["under"])))
    decimal = match["decimal"]
    if re.fullmatch(r"[1-9]\d{0,2},\d{3}", decimal):
        either = (decimal.replace(",", "."), decimal.replace(",", ""))
        raise WhichUnit(f"“{typed}” can be {either[0]} or {either[1]}: write it without the comma.", either)
    return sign * Fraction(decimal.replace(",", "."))


def _converted(number: Fraction, written: str, unit: str, typed: str) -> float:
    word = re.sub(r"[\s.]", "", written).lower()
    if word in WHICH:
        choices = WHICH[word]
        raise WhichUnit(f"“{typed}”: which {written.strip()}? Write {' or '.join(choices)}.", choices)
    if word not in MEANING:
        raise BadInput(f"“{typed}”: “{written.strip()}” is not a unit known here. Nothing was changed.")
    source, target = MEANING[word], MEANING.get(unit.lower(), unit)
    if target == "kelvin":
        source = {"degC": "delta_degC", "degF": "delta_degF"}.get(source, source)
    try:
        return float(_units().Quantity(float(number), source).to(target).magnitude)
    except pint.PintError as error:
        raise BadInput(f"“{typed}” is not a quantity in {unit}. Nothing was changed.") from error


@cache
def _units() -> pint.UnitRegistry[float]:
    units: pint.UnitRegistry[float] = pint.UnitRegistry()
    units.define("sea_fathom = 6 * foot")  # the registry's own is of survey feet
    return units
