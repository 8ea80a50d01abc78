"""What a forecast cannot be leaned on for: quantities it does not hold, and days that have gone by."""

from collections.abc import Collection, Iterator, Mapping

from vessel.calc.wording import is_known, with_utc
from vessel.units import Epoch

# A variable of a forecast -> what it costs that nothing of it is known. Of a vector one part tells for both.
COSTS: Mapping[str, str] = {
    "wind_east_mps": "No wind: no leg outside can be said yet.",
    "gust_mps": "No gusts: legs outside cannot be said yet.",
    "wave_height_m": "No wave height: legs outside cannot be said yet.",
    "wave_period_s": "No wave period: seas on the stream, and how steep they are, are not known.",
    "wave_from_east": "No wave direction: seas on the stream are not known.",
    "visibility_m": "No visibility: legs cannot be said yet.",
    "pressure_hpa": "No pressure: the water under her keel is not known.",
    "sea_c": "No sea temperature: what cold water asks for is not known.",
    "air_c": "No air temperature: how warm the engine space gets is not known.",
}


def doubts_of(known: Collection[str], ends_at: Epoch, now: Epoch, zone: str) -> Iterator[str]:
    """In sentences, the days first: a forecast that has ended, then each quantity of which nothing is known."""
    if is_over(ends_at, now):
        yield over_words(ends_at, now, zone)
    yield from (cost for variable, cost in COSTS.items() if variable not in known)


def is_over(ends_at: Epoch, now: Epoch) -> bool:
    """Whether the last time of a forecast has gone by; false where it has none."""
    return is_known(ends_at) and float(ends_at) < float(now)


def over_words(ends_at: Epoch, now: Epoch, zone: str) -> str:
    """That a forecast has ended."""
    return f"It ended {with_utc(ends_at, zone, now=now)}: it says nothing of any day to come."
