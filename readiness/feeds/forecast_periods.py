"""What a bulletin says, laid on time: at every moment the worst of all that may be true then.

A change that comes "soon" may come at any time from 6 to 12 hours after the issue: until 6 h the old holds, from 6 to
12 h the worse of the two, from 12 h the new. Without such a word the worse holds all through the period.
"""

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from readiness.calc.forecast_terms import Band, combined_height
from readiness.feeds.forecast import Variables
from readiness.feeds.forecast_words import Piece, Subject
from vessel.units import HOUR

NEAR_ISSUE_S = 6 * HOUR  # a period that begins later after the issue than this: "soon" leaves open from when it counts
SHORTEST_S = 60.0
ALIKE_DEG = 45.0
STEP_S = 1.0  # between two values that follow each other without a slope
NAN = math.nan
Said = Mapping[Subject, tuple[Piece, ...]]


@dataclass(frozen=True, slots=True)
class Period:
    """One period of a bulletin and what it says; times in UTC seconds since 1970, `line` where it begins."""

    start: float
    end: float
    line: int
    said: dict[Subject, tuple[Piece, ...]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class _Held:
    """One piece and when it may be true; nothing in it is left open any more."""

    start: float
    end: float
    band: Band
    from_deg: float
    period_s: float


def rows_of(periods: Iterable[Period], issued_at: float) -> tuple[list[float], Variables]:
    """Times and for each variable its value [time]. Steps, not slopes: two rows a second apart where a value changes,
    the worse of both on the moment itself; nothing is known between periods that do not meet.
    """
    times: list[float] = []
    rows: list[dict[str, float]] = []
    for start, end, values in _stretches(periods, issued_at):
        if times and times[-1] == start:
            times[-1] -= STEP_S
            add = [(start, _worse(rows[-1], values)), (start + STEP_S, values), (end, values)]
        elif times:
            add = [
                (times[-1] + STEP_S, _nothing(values)),
                (start - STEP_S, _nothing(values)),
                (start, values),
                (end, values),
            ]
        else:
            add = [(start, values), (end, values)]
        times += [at for at, _ in add]
        rows += [row for _, row in add]
    return times, {name: np.array([row[name] for row in rows]) for name in (rows[0] if rows else ())}


def _stretches(periods: Iterable[Period], issued_at: float) -> Iterator[tuple[float, float, dict[str, float]]]:
    """Times between which nothing changes, and the values of that time."""
    for period in periods:
        held = {subject: _laid(pieces, period, issued_at) for subject, pieces in period.said.items()}
        ends = sorted({at for each in held.values() for piece in each for at in (piece.start, piece.end)})
        inside = [at for at in ends if period.start + SHORTEST_S < at < period.end - SHORTEST_S]
        cuts = [period.start, *inside, period.end]
        for start, end in pairwise(cuts):
            now = {
                subject: [piece for piece in each if piece.start < end and piece.end > start]
                for subject, each in held.items()
            }
            yield start, end, _values(now)


def _laid(pieces: tuple[Piece, ...], period: Period, issued_at: float) -> list[_Held]:
    """Each piece from when it may come to when it must have given way."""
    held: list[_Held] = []
    lasting: list[int] = []
    for piece in pieces:
        before = held[lasting[-1]] if lasting else _Held(NAN, NAN, Band(NAN, NAN), NAN, NAN)
        comes, there = _window(piece, period, issued_at) if held else (period.start, period.start)
        if not piece.passing:
            for number in lasting:
                old = held[number]
                held[number] = _Held(old.start, min(old.end, there), old.band, old.from_deg, old.period_s)
        held.append(
            _Held(
                comes,
                period.end,
                piece.band or before.band,
                before.from_deg if piece.from_deg is None else piece.from_deg,
                piece.period_s.low if piece.period_s else before.period_s,
            )
        )
        if not piece.passing:
            lasting.append(len(held) - 1)
    return held


def _window(piece: Piece, period: Period, issued_at: float) -> tuple[float, float]:
    """When a change may come first, and by when it must have come."""
    counted = period.start - issued_at < NEAR_ISSUE_S  # False too where the time of issue is not known
    if not counted:
        return period.start, period.end
    first, last = issued_at + piece.window.low, issued_at + piece.window.high
    return min(max(first, period.start), period.end), min(max(last, period.start), period.end)


def _values(now: Mapping[Subject, list[_Held]]) -> dict[str, float]:
    """Every variable at a time when these may be true; NaN for what is not said."""
    wind = max(now.get("wind", []), key=lambda piece: _top(piece.band), default=None)
    gusts = [_top(piece.band) for piece in now.get("gusts", [])]
    seen = [piece.band.low for piece in (*now.get("visibility", []), *now.get("weather", []))]
    return {
        **_wind(wind),
        "gust_mps": max(gusts, default=NAN),
        **_waves(now.get("sea", []), now.get("swell", [])),
        "visibility_m": min(seen, default=NAN),
    }


def _top(band: Band) -> float:
    """The upper end; where that is open the lower one, which is beyond every limit already."""
    return band.low if math.isinf(band.high) else band.high


def _wind(wind: _Held | None) -> dict[str, float]:
    speed, from_deg = (NAN, NAN) if wind is None else (_top(wind.band), wind.from_deg)
    toward = math.radians(0.0 if speed == 0 else from_deg) + math.pi
    return {"wind_east_mps": speed * math.sin(toward), "wind_north_mps": speed * math.cos(toward)}


def _waves(sea: list[_Held], swell: list[_Held]) -> dict[str, float]:
    """Sea and swell together: the swell alone does not tell how high the sea is."""
    sea_m = max((_top(piece.band) for piece in sea), default=NAN)
    swell_m = max((_top(piece.band) for piece in swell), default=0.0)
    both = [*sea, *swell]
    directions = np.radians([piece.from_deg for piece in both])
    spread = np.degrees(np.ptp(np.unwrap(directions))) if both else NAN
    highest = max(both, key=lambda piece: _top(piece.band), default=None)
    from_deg = highest.from_deg if highest is not None and spread <= ALIKE_DEG else NAN
    return {
        "wave_height_m": float(combined_height(sea_m, swell_m)),
        # the shortest is the steepest; one that is not told leaves the whole open
        "wave_period_s": float(np.min([piece.period_s for piece in both])) if both else NAN,
        "wave_from_east": math.sin(math.radians(from_deg)),
        "wave_from_north": math.cos(math.radians(from_deg)),
    }


def _worse(one: Mapping[str, float], other: Mapping[str, float]) -> dict[str, float]:
    """On the moment of a change either may be true; the vectors are those of the stronger wind and the higher sea."""
    stronger = max(one, other, key=lambda row: _known_or_more(math.hypot(row["wind_east_mps"], row["wind_north_mps"])))
    higher = max(one, other, key=lambda row: _known_or_more(row["wave_height_m"]))
    least = {name: float(np.minimum(one[name], other[name])) for name in ("visibility_m", "wave_period_s")}
    vectors = {name: stronger[name] for name in ("wind_east_mps", "wind_north_mps")}
    waves = {name: higher[name] for name in ("wave_height_m", "wave_from_east", "wave_from_north")}
    return {**vectors, **waves, **least, "gust_mps": float(np.maximum(one["gust_mps"], other["gust_mps"]))}


def _known_or_more(value: float) -> float:
    """What is not known counts as the worst: it must not be hidden by what is."""
    return math.inf if math.isnan(value) else value


def _nothing(values: Mapping[str, float]) -> dict[str, float]:
    return dict.fromkeys(values, NAN)
