"""Slack before bad weather: how long after the late arrival it would still have been fit to be out.

Looked for on the water still ahead of her while she is out, and at the place of arrival from departure on.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from readiness.calc.onset import Onset, first_blank, first_from, onset
from readiness.calc.sea_state import wave_on_stream
from readiness.calc.weather import Sampled, at_place, speed_and_from
from readiness.rules.exposed import NO_LENGTH
from readiness.rules.facts import Facts
from readiness.rules.gusts import gust_limits
from readiness.rules.judgement import Judgement, Outcome, Outcomes, Rule, Subject, Waive, Words, graded
from readiness.rules.limits import Limits
from readiness.rules.missing import forecast_missing, harbour_move, late_arrival_missing, late_at, unknown, untimed
from readiness.rules.passage import Passage
from readiness.rules.record import Array
from readiness.rules.telling import arrival_zone
from readiness.rules.weather_met import SEA, confidence_factor, sampled, stacked
from vessel.calc.wording import duration, margin, with_utc
from vessel.units import HOUR, MINUTE

RULE_ID = "slack_before_weather"
TITLE = "Slack before bad weather"
EVERY_S = 30 * MINUTE  # the sea on the stream is looked at so often besides each time of the forecast [own]
WHAT = ("wind", "gusts", "sea")  # each passes its own no-go limit


@dataclass(frozen=True)
class Bad:
    """The first bad moment of each departure, [departure]; infinite where none is forecast."""

    at: Array
    what: Array  # [departure] index into WHAT
    place: Array  # [departure] step, one more than the last for the place of arrival
    blank_at: Array  # the first moment that matters at which something is not known


def slack_before_weather(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:
    """One judgement: the first time wind, gusts or sea would be a no-go, against the late arrival.

    Source: [practice]
    """
    if facts.leg.harbour_move:
        yield harbour_move(RULE_ID, passage, TITLE)
        return
    yield from late_arrival_missing(RULE_ID, passage)
    forecast = sampled(facts.water.forecast)
    if np.isnan(facts.boat.vessel.loa_m):
        yield unknown(RULE_ID, ("reading", "length overall"), passage, NO_LENGTH)
        return
    if forecast is None or len(forecast.at) < 2:  # one time makes no stretch
        everywhere = np.full(passage.weather.wind_mps.shape, np.nan)
        yield from forecast_missing(RULE_ID, facts, passage, ~untimed(passage), everywhere, "weather after arrival")
        return
    bad = first_bad(facts, passage, limits, forecast)
    outcome = _graded(passage, limits, forecast, bad)
    missing = (bad.blank_at < bad.at) & (outcome < Outcome.NO_GO) & ~untimed(passage)
    gap = np.where(missing[:, None], np.full(passage.weather.wind_mps.shape, np.nan), 0.0)  # inside what is forecast
    yield from forecast_missing(RULE_ID, facts, passage, missing, gap, "weather ahead and after arrival")
    yield _judgement(facts, passage, limits, forecast, bad, outcome)


def first_bad(facts: Facts, passage: Passage, limits: Limits, forecast: Sampled) -> Bad:
    """When it is first too much for her on exposed water still ahead, or at the place of arrival."""
    since, until = passage.departure_at, _ahead_until(passage)
    onsets = _onsets(facts, passage, limits, forecast)
    found = np.stack([np.asarray(first_from(one, since)) for one in onsets])
    found = np.where(found <= until, found, np.inf)  # [what, departure, place]
    blank = np.min([np.asarray(first_blank(one, since)) for one in onsets], axis=0)
    matters = np.minimum(until, (late_at(passage) + limits.slack_passed_s)[:, None])
    blank = np.where(blank <= matters, blank, np.inf).min(axis=-1)
    flat = np.moveaxis(found, 0, 1).reshape(passage.departures, -1)
    first = flat.argmin(axis=-1)
    what, place = np.divmod(first, until.shape[-1])
    return Bad(flat.min(axis=-1), what, place, blank)


def _ahead_until(passage: Passage) -> Array:
    """Until when each step is still ahead by the late figure, [departure, step]; no end for the place of arrival."""
    leaves = np.where(passage.exposed, passage.late.node_at[:, 1:], -np.inf)
    return np.concatenate([leaves, np.full((passage.departures, 1), np.inf)], axis=-1)


def _onsets(facts: Facts, passage: Passage, limits: Limits, forecast: Sampled) -> tuple[Onset, ...]:
    """Wind, gusts and sea against their no-go limits, every step and the place of arrival."""
    rows = _rows(forecast, passage)
    along = np.append(passage.track.step_along_m, passage.track.node_along_m[-1])
    grids = stacked(forecast, ("wind_mps", "gust_mps", *SEA))
    wind, gust, height, period, east, north = at_place(forecast, grids, along, rows[:, None])
    wave_from = speed_and_from(-east, -north)[1]
    sea = wave_on_stream(height, period, wave_from, *_streams(passage, rows)).hs_eff_m
    sea = np.where(np.append(passage.exposed, passage.exposed[-1]), sea, 0.0)
    factor = confidence_factor(facts)
    most = (
        limits.mean_wind_no_go_mps * factor,
        gust_limits(facts, limits)[1],
        limits.sea_no_go_loa * facts.boat.vessel.loa_m * factor,
    )
    return tuple(onset(rows, values, limit) for values, limit in zip((wind, gust, sea), most, strict=True))


def _rows(forecast: Sampled, passage: Passage) -> Array:
    """The times looked at: those of the forecast, every half hour, and each turn of a stream."""
    first, last = forecast.at[0], forecast.at[-1]
    turns = [stream.changes_at for stream in passage.streams if stream is not None]
    rows = np.unique(np.concatenate([forecast.at, np.arange(first, last, EVERY_S), *turns]))
    return np.asarray(rows[(rows >= first) & (rows <= last)])


def _streams(passage: Passage, at: Array) -> tuple[Array, Array]:
    """East and north of the stream of each step at each time, the last step's at the arrival, [time, step]."""
    of_step = np.append(passage.stream_of_step, passage.stream_of_step[-1])
    east, north = np.zeros((2, at.size, of_step.size))
    for number, stream in enumerate(passage.streams):
        parts = (np.full(at.shape, np.nan),) * 2 if stream is None else stream.at(at)
        steps = of_step == number
        east[:, steps], north[:, steps] = (part[:, None] for part in parts)
    return east, north


def _graded(passage: Passage, limits: Limits, forecast: Sampled, bad: Bad) -> Outcomes:
    late = late_at(passage)
    left = np.where(np.isnan(late), np.inf, bad.at - late)
    outcome = graded(
        left,
        (np.less, limits.slack_passed_s, Outcome.ADVICE),
        (np.less, limits.slack_advice_s, Outcome.CONDITION),
        (np.less, 0.0, Outcome.NO_GO),
    )
    short = np.isinf(bad.at) & ~np.isnan(late) & (forecast.at[-1] < late + limits.slack_passed_s)
    return np.where(short, np.maximum(outcome, np.int8(Outcome.ADVICE)), outcome).astype(np.int8)


def _judgement(
    facts: Facts, passage: Passage, limits: Limits, forecast: Sampled, bad: Bad, outcome: Outcomes
) -> Judgement:
    left, zone = bad.at - late_at(passage), arrival_zone(facts)
    wanted = duration(limits.slack_passed_s)

    def say(index: int) -> Words:
        if np.isinf(bad.at[index]):
            ends = with_utc(float(forecast.at[-1]), zone)
            short = outcome[index] > Outcome.PASSED
            return Words(
                title="The forecast ends soon after arrival" if short else "No bad weather in sight",
                sentence=f"No bad weather until the forecast ends, {ends}; {wanted} after the late arrival are wanted.",
                do="Take in a longer forecast before leaving." if short else "",
                evidence=(("forecast", ""),),
            )
        after, before = float(left[index]), "after" if left[index] >= 0 else "before"
        return Words(
            title=f"Bad weather {duration(abs(after))} {before} the late arrival",
            sentence=f"From {with_utc(float(bad.at[index]), zone)} the {WHAT[int(bad.what[index])]} would be a no-go "
            f"{_where(facts, passage, int(bad.place[index]))}, {duration(abs(after))} {before} the late arrival; {wanted} "
            "are wanted.",
            do="Leave earlier or make a shorter leg." if outcome[index] else "",
            sums=(("Late arrival", with_utc(float(late_at(passage)[index]), zone)), ("Slack", duration(after))),
            evidence=(("forecast", ""),),
            margin=margin((after - limits.slack_passed_s) / HOUR, "h", 1) if not outcome[index] else "",
        )

    return Judgement(
        rule=RULE_ID,
        cause=("weather after arrival", ""),
        outcome=outcome,
        demand=np.where(np.isinf(left), np.nan, left),
        limit=limits.slack_passed_s,
        unit="s",
        say=say,
        applies=~untimed(passage),
    )


def _where(facts: Facts, passage: Passage, place: int) -> str:
    if place >= passage.exposed.size:
        return "at the place of arrival"
    return f"on the way from {facts.leg.segments[int(passage.track.segment[place])].name}"


RULE = Rule(
    id=RULE_ID,
    title=TITLE,
    subject=Subject.WEATHER,
    formula="First time after departure at which mean wind, gusts or sea would be a no-go on exposed water still ahead or "
    "at the place of arrival, less the late arrival: 6 h and more passed; 3 h advice; 0 h condition; before it no-go. "
    "None forecast: passed where the forecast reaches so far, else advice.",
    source="[practice] [own]",
    worst=Outcome.NO_GO,
    judge=slack_before_weather,
    limits=("slack_passed_s", "slack_advice_s", "mean_wind_no_go_mps", "gust_no_go_mps", "sea_no_go_loa"),
    waive={Outcome.NO_GO: Waive.ONE_LEG, Outcome.CONDITION: Waive.ONE_LEG},
)
