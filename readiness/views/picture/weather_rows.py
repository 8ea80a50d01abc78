"""The weather at one place over the days of a forecast: wind, gust, sea, pressure and visibility on one time axis."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from readiness.calc.hole import holes
from readiness.calc.sea_state import beaufort
from readiness.views.picture.axis import Day, days_of
from readiness.views.picture.backdrop import Band, extent, light_bands
from vessel.calc.wording import NOT_KNOWN, clock, compass_point, is_known, knots, local_time, metres, miles, number
from vessel.units import DAY, HOUR, KNOT, NAUTICAL_MILE, Array
from vessel.views.paper import percent

HIGH = 44  # px of a row's plot
LEAST_DAYS, MOST_DAYS = 3, 10
NAMES_UP_TO = 5  # days that a phone has room to name with their date
FAR_M = 10 * NAUTICAL_MILE  # visibility beyond this is drawn at the top
PRESSURE_STEP = 5.0  # hPa
Values = Sequence[float]


@dataclass(frozen=True, slots=True)
class WeatherAt:
    """A forecast at one place, all [time], SI, NaN where not known; a row that the forecast does not hold is empty."""

    zone: str
    now: float
    at: Values
    wind_mps: Values
    wind_from_deg: Values
    gust_mps: Values
    sea_m: Values
    pressure_hpa: Values
    visibility_m: Values
    sun_at: Values
    sun_altitude_deg: Values


@dataclass(frozen=True, slots=True)
class DayTick:
    """Where a local day begins, and its name in the middle of it."""

    x: str
    middle: str
    name: str


@dataclass(frozen=True, slots=True)
class Mark:
    """A word on the paper; those that are minor are left out where there is little room."""

    x: str
    text: str
    minor: bool = False


@dataclass(frozen=True, slots=True)
class RowPicture:
    """One quantity drawn; `path` in a box of 1000 by HIGH, empty where nothing of it is known."""

    name: str
    words: str
    path: str
    top: str
    foot: str
    marks: tuple[Mark, ...] = ()


@dataclass(frozen=True, slots=True)
class Line:
    """One time of the twin table."""

    local: str
    utc: str
    wind: str
    gust: str
    sea: str
    pressure: str
    visibility: str


@dataclass(frozen=True, slots=True)
class WeatherPicture:
    """All that the template draws."""

    sentence: str
    days: tuple[DayTick, ...]
    light: tuple[Band, ...]
    beyond: tuple[Band, ...]
    now_x: str
    rows: tuple[RowPicture, ...]
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class Kind:
    """How one quantity is scaled and said: lowest and highest of the scale for the values that are known."""

    name: str
    values: Callable[[WeatherAt], Values]
    scale: Callable[[float, float], tuple[float, float]]
    say: Callable[[float], str]
    worst: Callable[[Values], float]
    led: str


def _from_nought(step: float, least: float) -> Callable[[float, float], tuple[float, float]]:
    return lambda _low, high: (0.0, max(least, math.ceil(high / step) * step))


def _about(low: float, high: float) -> tuple[float, float]:
    foot, top = math.floor(low / PRESSURE_STEP) * PRESSURE_STEP, math.ceil(high / PRESSURE_STEP) * PRESSURE_STEP
    return foot, max(top, foot + 2 * PRESSURE_STEP)


def sight(visibility_m: float) -> str:
    """A visibility in miles, beyond ten only that it is."""
    return "over 10 nmi" if visibility_m > FAR_M else miles(visibility_m)


def pressure(hpa: float) -> str:
    """A pressure."""
    return f"{number(hpa)} hPa" if is_known(hpa) else NOT_KNOWN


KINDS = (
    Kind("Wind", lambda held: held.wind_mps, _from_nought(10 * KNOT, 20 * KNOT), knots, max, "up to"),
    Kind("Gusts", lambda held: held.gust_mps, _from_nought(10 * KNOT, 20 * KNOT), knots, max, "up to"),
    Kind("Sea", lambda held: held.sea_m, _from_nought(1.0, 2.0), metres, max, "up to"),
    Kind("Pressure", lambda held: held.pressure_hpa, _about, pressure, min, "down to"),
    Kind("Visibility", lambda held: held.visibility_m, lambda _low, _high: (0.0, FAR_M), sight, min, "down to"),
)


def draw_weather(held: WeatherAt) -> WeatherPicture:
    """The picture at one place; where the forecast does not reach is hatched, what it does not hold is said."""
    days = _days(held)
    paper = Day(days[0].on, held.zone, days[0].start, days[-1].end)
    return WeatherPicture(
        sentence=_sentence(held),
        days=tuple(_tick(paper, day, short=len(days) > NAMES_UP_TO) for day in days),
        light=light_bands(paper, held.sun_at, held.sun_altitude_deg) if len(held.sun_at) else (),
        beyond=_beyond(paper, held),
        now_x=paper.x(held.now) if paper.holds(held.now) else "",
        rows=tuple(_row(paper, held, kind, days) for kind in KINDS),
        lines=tuple(_line(held, index) for index in range(len(held.at))),
    )


def axis_of(at: Values, now: float, zone: str) -> tuple[Day, ...]:
    """The local days drawn: from today, as many as the forecast reaches, three at least and ten at most."""
    last = max(at[-1] if len(at) else now, now + (LEAST_DAYS - 1) * DAY)
    return tuple(days_of([now, min(last, now + (MOST_DAYS - 1) * DAY)], zone))


def _days(held: WeatherAt) -> tuple[Day, ...]:
    return axis_of(held.at, held.now, held.zone)


def _tick(paper: Day, day: Day, *, short: bool) -> DayTick:
    middle = (paper.share(day.start) + paper.share(day.end)) / 2
    return DayTick(paper.x(day.start), percent(middle), day.name if short else f"{day.name} {day.on.day}")


def _beyond(paper: Day, held: WeatherAt) -> tuple[Band, ...]:
    """Before the first and after the last time of the forecast, and where hours of it are missing."""
    if not len(held.at):
        return (Band("0", "100", "beyond"),)
    at = np.asarray(held.at, float)
    stretches = [(paper.start, float(at[0]))]
    if len(at) > 1:
        stretches += [(float(at[place]), float(at[place + 1])) for place in np.flatnonzero(holes(at))]
    stretches.append((float(at[-1]), paper.end))
    shown = [(max(start, paper.start), min(end, paper.end)) for start, end in stretches]
    return tuple(Band(paper.x(start), paper.width(start, end), "beyond") for start, end in shown if end > start)


def _row(paper: Day, held: WeatherAt, kind: Kind, days: Sequence[Day]) -> RowPicture:
    values = np.array([*kind.values(held)], float)
    if not np.isfinite(values).any():
        return RowPicture(kind.name, "not in this forecast", "", "", "")
    foot, top = kind.scale(*extent(values.tolist()))
    marks = _directions(paper, held, days) if kind.name == "Wind" else ()
    return RowPicture(
        name=kind.name,
        words=_worst_words(held, kind, values),
        path=_path(paper, np.asarray(held.at, float), (np.minimum(values, top) - foot) / (top - foot)),
        top=_short(kind.say(top)),
        foot=_short(kind.say(foot)).split(" ", maxsplit=1)[0],
        marks=marks,
    )


def _short(words: str) -> str:
    """A figure of the scale as there is room for beside it on a phone."""
    return words.removesuffix(" hPa").replace(".0 ", " ")


def _worst_words(held: WeatherAt, kind: Kind, values: Array) -> str:
    """The worst that lies ahead; and where some of what lies ahead is not known, that too."""
    ahead = np.asarray(held.at, float) >= held.now
    known = ahead & np.isfinite(values)
    if not known.any():
        return f"{NOT_KNOWN} ahead"
    worst = float(kind.worst(values[known].tolist()))
    place = int(np.flatnonzero(known & (values == worst))[0])
    whence = _whence(held.wind_from_deg[place]) if kind.name == "Wind" else ""
    unknown = f", some of it {NOT_KNOWN}" if (ahead & ~known).any() else ""
    return f"{kind.led} {kind.say(worst)}{whence}, {local_time(held.at[place], held.zone, now=held.now)}{unknown}"


def _whence(from_deg: float) -> str:
    return f" from {compass_point(from_deg)}" if is_known(from_deg) else ""


def _path(paper: Day, at: Array, shares: Array) -> str:
    """A line through the known values that lie on the paper, broken at holes and where a value is not known."""
    broken = holes(at) if len(at) > 1 else np.zeros(0, bool)
    parts, pen_down = [], False
    for place, (moment, share) in enumerate(zip(at.tolist(), shares.tolist(), strict=True)):
        on_paper = math.isfinite(share) and paper.start - DAY <= moment <= paper.end + DAY
        if place and broken[place - 1]:
            pen_down = False
        if on_paper:
            parts.append(f"{'L' if pen_down else 'M'}{10 * paper.share(moment):.0f} {HIGH * (1 - share):.1f}")
        pen_down = on_paper
    return "".join(parts)


def _directions(paper: Day, held: WeatherAt, days: Sequence[Day]) -> tuple[Mark, ...]:
    """From where the wind blows: at noon of each day and, where there is room, at midnight and in between."""
    hours = (12.0,) if len(days) > NAMES_UP_TO else (0.0, 6.0, 12.0, 18.0)
    marks = []
    for day in days:
        for hour in hours:
            moment = day.start + hour * HOUR
            word = _direction_at(held, moment)
            if word and 2 <= paper.share(moment) <= 98:
                marks.append(Mark(paper.x(moment), word, minor=hour != 12))
    return tuple(marks)


def _direction_at(held: WeatherAt, moment: float) -> str:
    at = np.asarray(held.at, float)
    if not len(at) or not at[0] <= moment <= at[-1]:
        return ""
    place = int(np.argmin(np.abs(at - moment)))
    known = is_known(held.wind_from_deg[place]) and abs(float(at[place]) - moment) <= 3 * HOUR
    return compass_point(held.wind_from_deg[place]) if known else ""


def _sentence(held: WeatherAt) -> str:
    wind = np.array([*held.wind_mps], float)
    if not len(wind) or not np.isfinite(wind).any():
        return "This forecast does not reach this place."
    if held.at[-1] < held.now:
        return f"This forecast ended {local_time(held.at[-1], held.zone, now=held.now)}: nothing of it lies ahead."
    ahead = np.where(np.asarray(held.at, float) >= held.now, wind, np.nan)
    if not np.isfinite(ahead).any():
        return "The wind ahead is not known."
    place = int(np.nanargmax(ahead))
    force = int(np.asarray(beaufort(wind[place])))
    when, until = (local_time(at, held.zone, now=held.now) for at in (held.at[place], held.at[-1]))
    return (
        f"Ahead the most wind is {knots(wind[place])}{_whence(held.wind_from_deg[place])}, force {force},"
        f" {when}; it reaches to {until}."
    )


def _line(held: WeatherAt, place: int) -> Line:
    moment, wind = held.at[place], held.wind_mps[place]
    direction = f"{compass_point(held.wind_from_deg[place])} " if is_known(held.wind_from_deg[place]) else ""
    force = f", force {int(np.asarray(beaufort(wind)))}" if is_known(wind) else ""

    def told(values: Values, say: Callable[[float], str]) -> str:
        return say(values[place]) if len(values) and is_known(values[place]) else NOT_KNOWN

    return Line(
        local=local_time(moment, held.zone, now=held.now),
        utc=clock(moment, "UTC"),
        wind=f"{direction}{knots(wind)}{force}",
        gust=told(held.gust_mps, knots),
        sea=told(held.sea_m, metres),
        pressure=told(held.pressure_hpa, pressure),
        visibility=told(held.visibility_m, sight),
    )
