"""What `manage.py tide` says, in words and as JSON: every figure with its datum, zone, unit, source and validity."""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np

from readiness.calc.tide import STANDARD_PRESSURE
from readiness.calc.tide_constituent import Factors
from readiness.feeds.tide_answer import TideFile, datum_words, span_words
from readiness.feeds.tide_clock import zone_called
from readiness.feeds.tide_fit_notes import FitNotes
from readiness.feeds.tide_secondary import SecondaryFile
from readiness.feeds.tide_station import ALWAYS
from readiness.feeds.tide_table import HighLowFile
from vessel.units import DAY


@dataclass(frozen=True, slots=True)
class Line:
    """One answer: when (UTC), how high (None: not known), high or low where it is one of these, and if it is double."""

    at: datetime
    height_m: float | None
    kind: str | None = None
    double: bool = False

    def as_json(self) -> dict[str, object]:
        answer: dict[str, object] = {"at": self.at.strftime("%Y-%m-%dT%H:%M:%SZ"), "height_m": self.height_m}
        return answer | ({"kind": self.kind} if self.kind else {}) | ({"double": True} if self.double else {})

    def words(self, zone: str | None) -> str:
        """Harbour time, UTC where that is another, height, and what it is; to the minute."""
        minute = (self.at + timedelta(seconds=30)).replace(second=0)
        utc = f"{minute:%H:%M}Z"
        local = minute.astimezone(zone_called(zone) if zone else UTC)
        time = f"{local:%a %d %b %Y %H:%M}  {utc}" if zone else f"{minute:%a %d %b %Y} {utc}"
        height = "not known" if self.height_m is None else f"{self.height_m:.2f} m"
        kind = f"  {'double ' if self.double else ''}{self.kind} water" if self.kind else ""
        return f"{time}  {height}{kind}"


def line(at: float, height_m: float, kind: str | None = None, *, double: bool = False) -> Line:
    """An answer from plain numbers, NaN: not known."""
    when = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(seconds=round(at))
    return Line(when, None if np.isnan(height_m) else round(height_m, 4), kind, double)


def json_text(lines: list[Line]) -> str:
    return json.dumps([each.as_json() for each in lines])


def text(tide: TideFile, lines: list[Line], factors: Factors, pressure: tuple[float, float] | None) -> Iterator[str]:
    """Heading with datum, unit, source, validity and zone, then a line for each answer."""
    zone = None if (tide.harbour_zone or "UTC") in ("UTC", "Etc/UTC") else tide.harbour_zone
    yield f"{tide.name or 'Tide'}: heights in metres above {datum_words(tide)}. {_weather(pressure)}"
    yield from _how(tide, factors)
    yield f"Source: {(tide.source or 'not stated').rstrip('.')}. {_valid(tide)}"
    yield f"Times in {zone}, then UTC." if zone else "Times in UTC."
    for each in lines:
        yield each.words(zone)
    if not lines:
        yield "No high or low water in this time."


def _valid(tide: TideFile) -> str:
    if tide.valid == ALWAYS:
        return "How long the figures hold is not stated."
    return f"The figures hold {span_words(*tide.valid)}."


def _weather(pressure: tuple[float, float] | None) -> str:
    if pressure is None:
        return "Weather is left out."
    hectopascals, metres = pressure
    if metres == 0:
        return (
            f"Air pressure of {hectopascals:g} hPa takes nothing off and is not credited below {STANDARD_PRESSURE:.0f};"
            " other weather is left out."
        )
    return f"Air pressure of {hectopascals:g} hPa takes {-metres:.2f} m off; other weather is left out."


def _how(tide: TideFile, factors: Factors) -> Iterator[str]:
    if isinstance(tide, HighLowFile):
        yield f"From a table of {tide.rows} high and low waters, by a cosine between them."
    elif isinstance(tide, SecondaryFile):
        reference = tide.reference.name or "its reference"
        yield f"Secondary port of {reference} {tide.how}; a cosine between high and low water."
        yield f"Source of the reference: {(tide.reference.source or 'not stated').rstrip('.')}. {_valid(tide.reference)}"
    else:
        when = "the middle of the calendar year" if factors == "year" else "the day"
        form = f"type of tide F {tide.form:.2f}" if np.isfinite(tide.form) else "type of tide not known"
        what = "observed heights" if tide.fit else "rows of constants"
        less = "" if tide.harmonics.node_share is None else ", their swing weakened as the source has it"
        yield f"From {tide.rows} {what}, {form}, node factors of {when}{less}."
        if tide.fit:
            yield from _fit(tide.fit)


def _fit(fit: FitNotes) -> Iterator[str]:
    """What the fit left over, and so how far the heights may be out."""
    yield (
        f"Fitted to {fit.observed_s / DAY:.0f} days of observations, {fit.first_at:%Y-%m-%d} to {fit.last_at:%Y-%m-%d}."
        f" Left over: standard deviation {fit.standard_deviation_m:.2f} m, 95 % within {fit.within_95_m:.2f} m,"
        f" at most {fit.largest_m:+.2f} m at {fit.largest_at:%Y-%m-%d %H:%M UTC}."
    )
    yield f"Heights may be {fit.doubt_m:.2f} m out (twice the standard deviation), in another season more."
    fitted = len(fit.constants) - len(fit.inferred)
    inferred = f", {', '.join(fit.inferred)} taken from a neighbour" if fit.inferred else ""
    missing = f"; not fitted: {', '.join(fit.not_fitted)}" if fit.not_fitted else ""
    yield f"{fitted} constituents fitted{inferred}{missing}."
