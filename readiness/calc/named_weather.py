"""Winds, seas and directions by the words people use for them, both ways."""

from typing import Annotated

import numpy as np

from readiness.calc.sea_state import SEA_UP_TO_M
from vessel.units import Degrees, Floats, Metres

Code = Annotated[Floats, "code of the state of the sea"]

FORCE_WORDS = (
    "calm", "light air", "light breeze", "gentle breeze", "moderate breeze", "fresh breeze", "strong breeze",
    "near gale", "gale", "strong gale", "storm", "violent storm", "hurricane",
)  # fmt: skip
ALSO_CALLED = {"severe gale": 9, "hurricane force": 12, "moderate gale": 7, "whole gale": 10}  # in older bulletins
# Words of the codes 0 to 9 of the state of the sea.
SEA_WORDS = (
    "calm, glassy", "calm, rippled", "smooth", "slight", "moderate", "rough", "very rough", "high", "very high",
    "phenomenal",
)  # fmt: skip
SEA_ENDS_M = (*SEA_UP_TO_M.tolist(), np.inf)  # the height each code ends at; the last has no end
# Where a thing comes from, by its angle off the bow to either side, each up to and including its limit [practice].
OFF_BOW = ((22.5, "ahead"), (67.5, "on the bow"), (112.5, "abeam"), (157.5, "on the quarter"), (180.0, "astern"))


def force_words(force: Floats) -> str:
    """What a wind of a Beaufort force is called; "" for what is no force.

    Source: [wmo-sea]
    """
    whole = _whole(force, len(FORCE_WORDS))
    return "" if whole is None else FORCE_WORDS[whole]


def force_of_words(words: str) -> Floats:
    """The Beaufort force of a wind by its name, in any case; NaN for a name that is none.

    Source: [wmo-sea]
    """
    named = {name: force for force, name in enumerate(FORCE_WORDS)} | ALSO_CALLED
    return float(named.get(_plain(words), np.nan))


def sea_words(code: Code) -> str:
    """What a sea of a state code is called; "" for what is no code.

    Source: [wmo-sea]
    """
    whole = _whole(code, len(SEA_WORDS))
    return "" if whole is None else SEA_WORDS[whole]


def sea_of_words(words: str) -> tuple[Metres, Metres]:
    """Significant heights a named sea lies between, the upper one included; "calm" alone is both calm ones.

    NaN for a name that is none.

    Source: [wmo-sea]
    """
    plain = _plain(words)
    codes = [code for code, name in enumerate(SEA_WORDS) if plain in {_plain(name), name.split(",")[0]}]
    if not codes:
        return np.nan, np.nan
    return SEA_ENDS_M[max(codes[0] - 1, 0)], SEA_ENDS_M[codes[-1]]


def from_where(off_bow_deg: Degrees) -> str:
    """Where a thing comes from as one aboard would say it: "ahead", "on the bow", "abeam", ...; "" where not known.

    Source: [practice]
    """
    angle = float(np.abs((np.asarray(off_bow_deg, float) + 180.0) % 360.0 - 180.0))
    return next((word for most, word in OFF_BOW if angle <= most), "")


def _whole(number: Floats, count: int) -> int | None:
    held = float(np.asarray(number, float))
    return int(held) if 0 <= held < count and held == np.floor(held) else None


def _plain(words: str) -> str:
    return " ".join(words.replace(",", " ").lower().split())
