"""How likely the weather passes each limit at one departure. It is shown beside the verdict and never changes it."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from readiness.calc.chance import chance_past, forecast_error, members_past
from readiness.rules.exposed import worst_on
from readiness.rules.facts import Facts
from readiness.rules.gusts import gust_limits
from readiness.rules.judgement import Outcome
from readiness.rules.limits import Limits
from readiness.rules.members_met import MembersWorst, members_worst
from readiness.rules.passage import Passage
from readiness.rules.record import NOT_KNOWN, Array, epoch
from readiness.rules.weather_met import confidence_factor
from readiness.rules.wind_against_stream import steepness_that_counts
from vessel.calc.wording import duration, is_known, knots, metres
from vessel.units import Flags

Say = Callable[[float], str]

OWN_ERRORS = "own table of errors, {lead} ahead"
NO_TABLE = "no table of errors"


@dataclass(frozen=True)
class Chance:
    """How likely one limit is passed; `how`: what the share was counted or worked out from."""

    what: str
    outcome: Outcome  # what passing the limit would be
    limit: str
    share: float  # NaN where it cannot be told
    how: str
    counted: tuple[str, ...] = ()  # the same in short lines where members were counted

    @property
    def percent(self) -> str:
        """The share as people say it; never a certainty."""
        if not is_known(self.share):
            return "not known"
        if self.counted:
            return f"{100 * self.share:.0f} %"
        return "under 1 %" if self.share < 0.01 else "over 99 %" if self.share > 0.99 else f"{100 * self.share:.0f} %"


@dataclass(frozen=True)
class _Asked:
    """One thing that is asked of the weather: its two limits, and the worst of it at the departure."""

    what: str
    limits: tuple[float, float]
    words: tuple[str, str]
    members: Array | None  # [member]
    worst: float
    error: float


def chances(facts: Facts, passage: Passage, limits: Limits, index: int) -> tuple[Chance, ...]:
    """Chances of mean wind, gusts, sea and steepness passing condition and no-go on exposed water, for one departure.

    By the members of the ensemble where the forecast has them, one with anything missing counted as passing; else by
    an own table of errors. A harbour move asks for gusts only. Empty where no forecast is held or nothing is asked.

    Source: [practice] [own]
    """
    forecast = facts.water.forecast
    steps = np.ones_like(passage.exposed) if facts.leg.harbour_move else passage.exposed
    if forecast is None or not steps.any():
        return ()
    members = members_worst(forecast, passage, steps, np.array([index]))
    lead_s = float(passage.late.arrives_at[index]) - epoch(forecast.issued_at)
    asked = _asked(facts, passage, limits, index, members, lead_s)
    wanted = ("Gusts",) if facts.leg.harbour_move else ("Mean wind", "Gusts", "Sea", "Steepness")
    return tuple(chance for one in asked if one.what in wanted for chance in _chances(one, lead_s))


def _asked(
    facts: Facts, passage: Passage, limits: Limits, index: int, members: MembersWorst | None, lead_s: float
) -> tuple[_Asked, ...]:
    weather, factor, length = passage.weather, confidence_factor(facts), facts.boat.vessel.loa_m
    wind = (limits.mean_wind_condition_mps * factor, limits.mean_wind_no_go_mps * factor)
    sea = (limits.sea_condition_loa * length * factor, limits.sea_no_go_loa * length * factor)
    steep, gust = (limits.steepness_condition, limits.steepness_no_go), gust_limits(facts, limits)
    steps = np.ones_like(passage.exposed) if facts.leg.harbour_move else passage.exposed

    def one(what: str, bounds: tuple[float, float], say: Say, name: str, values: Array, error: float) -> _Asked:
        of_members = None if members is None else np.asarray(getattr(members, name)[:, 0])
        return _Asked(what, bounds, (say(bounds[0]), say(bounds[1])), of_members, _worst(values, steps, index), error)

    wind_error, gust_error, sea_error = (float(forecast_error(what, lead_s)) for what in ("wind", "gust", "sea"))
    sea_error *= _on_stream(passage, steps, index)
    counted = steepness_that_counts(weather)
    return (
        one("Mean wind", wind, knots, "wind_mps", weather.wind_mps, wind_error),
        one("Gusts", gust, knots, "gust_mps", weather.gust_mps, gust_error),
        one("Sea", sea, lambda height: metres(height, 2), "sea_m", weather.sea_m, sea_error),
        one("Steepness", steep, lambda ratio: f"{ratio:.3f}", "steepness", counted, NOT_KNOWN),
    )


def _worst(values: Array, steps: Flags, index: int) -> float:
    """The worst on the steps that are asked; NaN where any of them is not known."""
    return float(values[index, steps].max())


def _on_stream(passage: Passage, steps: Flags, index: int) -> float:
    """How much the stream makes of the sea where it is highest, and so of its error."""
    step = int(worst_on(passage.weather.sea_m, steps).step[index])
    still = float(passage.weather.wave_height_m[index, step])
    return float(passage.weather.sea_m[index, step]) / still if still else 1.0


def _chances(asked: _Asked, lead_s: float) -> Iterator[Chance]:
    for outcome, limit, words in zip((Outcome.CONDITION, Outcome.NO_GO), asked.limits, asked.words, strict=True):
        if asked.members is None:
            share, how = _by_table(asked, limit, lead_s)
            yield Chance(asked.what, outcome, words, share, how)
        else:
            yield _by_members(asked.what, outcome, words, asked.members, limit)


def _by_members(what: str, outcome: Outcome, words: str, worst: Array, limit: float) -> Chance:
    past, blank = int(members_past(worst, limit)), int(np.isnan(worst).sum())
    gaps = f", {blank} of them with gaps" if blank else ""
    share = past / len(worst) if is_known(limit) else NOT_KNOWN
    counted = (f"{past} of {len(worst)}", *((f"{blank} with gaps",) if blank else ()))
    return Chance(what, outcome, words, share, f"{past} of {len(worst)} members{gaps}", counted)


def _by_table(asked: _Asked, limit: float, lead_s: float) -> tuple[float, str]:
    if not is_known(lead_s):
        return NOT_KNOWN, "time of issue or arrival not known"
    if asked.what == "Steepness":
        return NOT_KNOWN, NO_TABLE
    return float(chance_past(asked.worst, limit, asked.error)), OWN_ERRORS.format(lead=duration(lead_s))
