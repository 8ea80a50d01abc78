"""Every sum says where it comes from, and in which units it takes and gives its numbers."""

import inspect
import pkgutil
import re
from collections.abc import Callable, Iterator
from importlib import import_module
from typing import Any, get_type_hints

import pytest

import maintenance.calc
import readiness.calc
import vessel.calc
from tests.habits.source import ROOT
from vessel.units import Array, Floats

Sum = Callable[..., Any]
BARE = (float, float | None, Array, Floats)
UNIT_IN_NAME = re.compile(r"(^|_)(m|s|h|l|deg|rad|mps|mps2|kn|lph|v|a|ah|w|hpa|c|epoch|seconds|ratio|force)$")
# Names that mean one thing wherever they stand; `any unit` comes out as it went in.
WORDS = {
    "start": "Epoch",
    "end": "Epoch",
    "times": "Epoch or running hours",
    "value": "any unit",
    "values": "any unit",
    "limit": "the unit of the value",
    "form": "ratio of tidal amplitudes",
    "has_hours": "any unit",
    "has_months": "any unit",
}
UNIT_IN_WORDS = re.compile(
    r"\b(m|s|h|V|A|Ah|deg|metres?|seconds?|hours?|days?|litres?|degrees?|rad|radians?|knots?|Beaufort|force|code|minutes"
    r"|epoch|UTC|ratio|share|number|factor|units?|SI)\b",
    re.I,
)


def public_sums() -> Iterator[Sum]:
    for layer in (vessel.calc, maintenance.calc, readiness.calc):
        for module in pkgutil.iter_modules(layer.__path__, f"{layer.__name__}."):
            for name, thing in vars(import_module(module.name)).items():
                if inspect.isfunction(thing) and thing.__module__ == module.name and not name.startswith("_"):
                    yield thing


def numbers(sum_: Sum) -> dict[str, Any]:
    """What goes in and comes out as a number or an array, by name."""
    hints = get_type_hints(sum_, include_extras=True)
    return {name: hint for name, hint in hints.items() if hint in BARE or hasattr(hint, "__metadata__")}


SUMS = [pytest.param(sum_, id=f"{sum_.__module__}.{sum_.__name__}") for sum_ in public_sums() if numbers(sum_)]
KEYS = set(re.findall(r"^\| \[([^\]]+)\]", (ROOT / "docs/sources.md").read_text(encoding="utf-8"), re.M))


def test_there_are_sums_and_sources() -> None:
    assert len(SUMS) > 50
    assert {"practice", "own"} < KEYS


@pytest.mark.parametrize("sum_", SUMS)
def test_every_sum_states_its_source(sum_: Sum) -> None:
    line = re.search(r"^Source: (.+)$", inspect.getdoc(sum_) or "", re.M)

    assert line, "no line `Source: [key]`"
    cited = set(re.findall(r"\[([a-z0-9-]+)\]", line[1]))
    assert cited
    assert cited - KEYS == set(), "not in docs/sources.md"


@pytest.mark.parametrize("sum_", SUMS)
def test_every_sum_states_its_units(sum_: Sum) -> None:
    bare = {name for name, hint in numbers(sum_).items() if hint in BARE}
    unclear = {name for name in bare - {"return"} if not UNIT_IN_NAME.search(name) and name not in WORDS}

    assert unclear == set()
    if "return" in bare and "values" not in bare:
        said = f"{sum_.__name__} {inspect.getdoc(sum_)}".replace("_", " ")
        assert UNIT_IN_WORDS.search(said), "neither its type nor its words give the unit of what comes out"
