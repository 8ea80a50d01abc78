"""Made-up departures for the picture tests."""

import math
from collections.abc import Callable
from datetime import UTC, datetime

from readiness.views.picture.departure_words import Deciding
from readiness.views.picture.departures import DepartureStrip

QUARTER = 900.0
Judged = tuple[int, int]


def utc(*when: int) -> float:
    return datetime(*when, tzinfo=UTC).timestamp()  # type: ignore[misc, arg-type]


def strip(
    judged: Callable[[float], Judged],
    *,
    start: float,
    count: int = 960,
    zone: str = "UTC",
    best: tuple[int, ...] = (),
    chosen: int = 0,
    why: Callable[[float], str] = lambda _: "a reason",
) -> DepartureStrip:
    """Quarters from `start`, judged by their moment; the sun is up from 06 to 18 UTC, the tide is a sine."""
    at = [start + QUARTER * index for index in range(count)]
    answers = [judged(moment) for moment in at]
    reasons = [why(moment) for moment in at]
    numbers = {reason: number for number, reason in enumerate(dict.fromkeys(reasons))}
    return DepartureStrip(
        zone=zone,
        at=at,
        verdict=[verdict for verdict, _ in answers],
        outlook=[outlook for _, outlook in answers],
        gate_open=[hour_of(moment) < 6 for moment in at],
        deciding=Deciding([numbers[reason] for reason in reasons], reasons.__getitem__),
        sun_altitude_deg=[-40 * math.cos(2 * math.pi * moment / 86400) for moment in at],
        tide_m=[2 + math.sin(2 * math.pi * moment / 44714) for moment in at],
        best=best,
        chosen=chosen,
    )


def hour_of(moment: float) -> float:
    """The hour of the day in UTC."""
    return moment % 86400 / 3600
