"""The words a bulletin has for the weather: what of it matters aboard, and nothing that is not known let pass."""

import re

from readiness.calc.forecast_terms import VISIBILITIES, Band
from readiness.feeds.forecast_words import LONGEST_LINE, refuse
from readiness.feeds.tide_sheet import shown

THUNDER = frozenset({"thunder", "thundery", "thunderstorm", "thunderstorms", "lightning"})
HIDING = frozenset({"fog", "foggy"})
PLAIN = frozenset(
    re.findall(
        r"\w+",
        """rain rainy drizzle shower showers showery squall squalls squally mist misty haze hazy snow sleet hail fair fine
        dry cloud cloudy overcast sunny clear bright cold warm mild wintry icing spray""",
    )
)
BESIDE = frozenset(
    re.findall(
        r"\w+",
        """a and at becoming chance clearing continuous first frequent heavy imminent in intermittent isolated later light
        locally mainly moderate occasional occasionally of or outbreaks patches patchy perhaps periods places possibly
        risk scattered severe slight some soon spells the then times with""",
    )
)


def weather_words(text: str, line: int) -> frozenset[str]:
    """The words of a line of weather. Raises BadInput naming line and word."""
    if len(text) > LONGEST_LINE:
        raise refuse(f"it is longer than {LONGEST_LINE} characters.", line)
    words = re.findall(r"[^\s,.;]+", text.lower())
    for word in words:
        if word not in THUNDER | HIDING | PLAIN | BESIDE:
            raise refuse(f"{shown(word)} is not a word known here for the weather.", line)
    return frozenset(words)


def thunder(words: frozenset[str]) -> bool:
    """Whether there may be lightning."""
    return bool(words & THUNDER)


def hides(words: frozenset[str]) -> Band | None:
    """The visibility in the worst of the weather, where its words tell one."""
    return VISIBILITIES["fog"] if words & HIDING else None
