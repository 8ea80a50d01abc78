"""What a forecast lacks on the way of a leg: told in one sentence, however many rules wait for it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from readiness.rules.facts_water import Forecast
from readiness.rules.judgement import Words
from readiness.rules.telling import listed

# A grid of the forecast -> what a forecaster calls it; of a vector one part tells for both.
NAMES: Mapping[str, str] = {
    "wind_east_mps": "wind",
    "gust_mps": "gusts",
    "wave_height_m": "wave height",
    "wave_period_s": "wave period",
    "wave_from_east": "wave direction",
    "visibility_m": "visibility",
    "pressure_hpa": "pressure",
    "sea_c": "sea temperature",
    "air_c": "air temperature",
}
SEA = ("wave height", "wave period", "wave direction")
WEATHER = ("wind", "gusts", *SEA)
# What a rule asks for -> the things to name, where they are several or another rule calls them otherwise.
THINGS: Mapping[str, tuple[str, ...]] = {
    "pressure and sea": ("sea", "pressure"),
    "sea and its direction": ("sea",),
    "sea on the stream": ("sea",),
    "visibility and wind at the arrival": ("wind", "visibility"),
    "wind, visibility, pressure and sea at the arrival": ("wind", "sea", "visibility", "pressure"),
}
# A thing -> the grids it is made of, where it is not one of its own name.
MADE_OF: Mapping[str, tuple[str, ...]] = {
    "sea": SEA,
    "wind at the refuges": ("wind",),
    "weather after arrival": WEATHER,
    "weather ahead and after arrival": WEATHER,
}
ORDER = ("wind", "gusts", "sea", *NAMES.values())
MOST_NAMED = 3  # things named in a title; more are counted [own]


@dataclass(frozen=True)
class Why:
    """Why something is not there: the sentence, with room for the things, and what to do."""

    sentence: str
    joined_by: str
    do: str


COVERS = "Take in a forecast that covers the passage."
WHY: Mapping[str, Why] = {
    "blank": Why("Along this way the forecast holds no {things}.", "or", "Take in a forecast with {all}."),
    "gap": Why("The forecast has a gap in the {things} of this passage.", "and", COVERS),
    "reach": Why("The forecast does not reach far enough for the {things} of this passage.", "and", COVERS),
    "none": Why("No forecast is held: the {things} {be} not known.", "and", COVERS),
}


def blank(forecast: Forecast) -> frozenset[str]:
    """What it says nothing of anywhere on the way; empty where it says nothing at all, being one of other waters."""
    nothing = frozenset(name for grid, name in NAMES.items() if np.isnan(getattr(forecast, grid)).all())
    return frozenset() if len(nothing) == len(NAMES) else nothing


def lack_of(forecast: Forecast | None, what: str, *, inside: bool) -> tuple[str, tuple[str, ...]]:
    """Why `what` is not there, a key of WHY, and the things to name; `inside`: at times which the forecast covers."""
    things = THINGS.get(what, (what,))
    if forecast is None:
        return "none", things
    if not inside:
        return "reach", things
    nothing = blank(forecast)
    missing = tuple(name for thing in things for name in MADE_OF.get(thing, (thing,)) if name in nothing)
    return ("blank", missing) if missing else ("gap", things)


def lacking(words: Words, why: str, things: Iterable[str]) -> Words:
    """The words of a finding that these things are lacking."""
    named = tuple(sorted(dict.fromkeys(things), key=lambda thing: ORDER.index(thing) if thing in ORDER else len(ORDER)))
    reason, every = WHY[why], listed(named)
    first, _, last = every.rpartition(" and ")
    return replace(
        words,
        sentence=reason.sentence.format(
            things=f"{first} {reason.joined_by} {last}" if first else every, be="is" if len(named) == 1 else "are"
        ),
        do=reason.do.format(all=every),
        lack=(why, named),
    )


def told_once(found: Sequence[Words]) -> tuple[str, ...]:
    """The sentences of findings on one cause, each once; what lacks for one reason stands in one of them."""
    return tuple(dict.fromkeys(_widened(words, found).sentence for words in found))


def together(found: Sequence[Words]) -> Words:
    """The first of several findings on one cause; where the forecast lacks something, with all that it lacks so."""
    words = _widened(found[0], found)
    things = words.lack[1]
    if things == found[0].lack[1]:
        return words
    count = len(things)
    named = listed(things).capitalize() if count <= MOST_NAMED else f"{count} things"
    return replace(words, title=f"{named} not forecast")


def _widened(words: Words, found: Sequence[Words]) -> Words:
    why = words.lack[0]
    return (
        lacking(words, why, (thing for one in found if one.lack[0] == why for thing in one.lack[1])) if why else words
    )
