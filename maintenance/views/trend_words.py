"""A trend in one sentence a skipper reads aloud, and as plain data for its picture."""

import math
from datetime import date

from maintenance.models import Defect
from maintenance.queries.trend import DefectTrend
from maintenance.views.picture.trend import Trend
from vessel.calc.wording import MONTHS, NOT_KNOWN, is_known, number, toward_limit

AHEAD_SHARE = 0.5  # the paper goes on by half the time watched, or to just past the haul-out or the crossing
MOST_AHEAD = 3.0  # and at most three times the time watched
UNITS = {"l/h": ("mL per running hour", 1000.0), "l": ("L", 1.0), "1/min": ("a minute", 1.0), "degC": ("°C", 1.0),
         "l/min": ("L a minute", 1.0), "K": ("degrees", 1.0), "1": ("", 1.0)}  # fmt: skip


def unit_of(trend: DefectTrend) -> tuple[str, float]:
    """The unit people say, and what a value is multiplied by for it."""
    return UNITS.get(trend.unit, (trend.unit, 1.0))


def places(value: float) -> int:
    """Decimals that leave about three figures."""
    return max(0, 2 - math.floor(math.log10(abs(value)))) if value and math.isfinite(value) else 0


def short(value: float) -> str:
    """About three figures and no trailing noughts: "47.8", "60"."""
    return _tidy(number(value, places(value)))


def _tidy(text: str) -> str:
    return text.rstrip("0").rstrip(".") if "." in text else text


def short_date(day: date | None, beside: date) -> str:
    """ "5 Jul", with the year where it is another than that of `beside`."""
    if day is None:
        return NOT_KNOWN
    text = f"{day.day} {MONTHS[day.month - 1]}"
    return text if day.year == beside.year else f"{text} {day.year}"


def state_sentence(trend: DefectTrend) -> str:
    """The newest value against its limit: "45 mL per running hour, up from 30 over 60 h. Limit 60."."""
    if not trend.points:
        return "No readings yet, so its course is not known."
    unit, factor = unit_of(trend)
    (first_x, first), (last_x, last) = trend.points[0], trend.points[-1]
    newest = _tidy(toward_limit(last * factor, trend.limit * factor, places(last * factor)))
    said = [f"{newest} {unit}".rstrip()]
    if len(trend.points) > 1:
        way = "up from" if last > first else "down from" if last < first else "as at first,"
        span = f"{number(last_x - first_x)} {'h' if trend.by_hours else 'd'}"
        said.append(f"{way} {short(first * factor)} over {span}")
    limit = f" Limit {short(trend.limit * factor)}." if is_known(trend.limit) else ""
    return f"{', '.join(said)}.{limit}"


def crossing_sentence(trend: DefectTrend, haul_out: date | None) -> str:
    """When the limit is reached at this trend, against the haul-out; empty where there is no limit."""
    if not is_known(trend.limit):
        return ""
    early, late = trend.reached.earliest, trend.reached.latest
    if not is_known(trend.reached.likely) and not math.isinf(trend.reached.likely):
        return "When it gets there is not known: too few readings."
    if trend.reached.likely <= trend.now:
        return "It is at its limit now."
    if math.isinf(trend.reached.likely):
        return "At this trend it never gets there."
    if not is_known(early):
        return f"At this trend it gets there at about {_when(trend, trend.reached.likely)}; how surely is not known."
    first, last = _when(trend, early), _when(trend, late) if is_known(late) else "never"
    between = f"at about {first}" if first == last else f"between {first} and {last}"
    return f"At this trend it gets there {between}{_against(trend, early, late, haul_out)}."


def _when(trend: DefectTrend, x: float) -> str:
    day = short_date(trend.day_at(x), trend.today)
    return f"{number(math.floor(x))} h ({day})" if trend.by_hours else day


def _against(trend: DefectTrend, early: float, late: float, haul_out: date | None) -> str:
    if haul_out is None:
        return ""
    first, last = trend.day_at(early), trend.day_at(late)
    at = short_date(haul_out, trend.today)
    if last is not None and last < haul_out:
        return f", before the haul-out on {at}"
    if first is not None and first < haul_out:
        return f"; the haul-out is on {at}"
    return f", after the haul-out on {at}" if first is not None else ""


def as_picture(trend: DefectTrend, defect: Defect) -> Trend:
    """The plain data the picture is drawn from."""
    factor = unit_of(trend)[1]
    haul_out = defect.vessel.next_haul_out_on
    haul_x = trend.x_at(haul_out) if haul_out and haul_out > trend.today else math.nan
    end = _end(trend, haul_x)
    return Trend(
        points=[(x, value * factor) for x, value in trend.points],
        slope=trend.slope.slope * factor,
        interval=(trend.slope.low * factor, trend.slope.high * factor),
        limit=trend.limit * factor,
        limit_words=f"limit {short(trend.limit * factor)}",
        today=trend.now,
        haul_out=haul_x,
        haul_out_words=f"haul-out {short_date(haul_out, trend.today)}",
        labels=_labels(trend, end),
        x_words="running hours, with their dates" if trend.by_hours else "days",
        end=end,
        limit_is_high=trend.rising,
    )


def _end(trend: DefectTrend, haul_x: float) -> float:
    start = trend.points[0][0] if trend.points else trend.now
    now = trend.now if is_known(trend.now) else start
    watched = max(now - start, 1.0)
    wanted = [now + AHEAD_SHARE * watched, *(x + 0.05 * watched for x in (haul_x, trend.reached.latest) if is_known(x))]
    return min(max(wanted), now + MOST_AHEAD * watched)


def _labels(trend: DefectTrend, end: float) -> list[tuple[float, str, str]]:
    if not trend.points:
        return []
    marks = [(trend.points[0][0], trend.dates[0]), (trend.now, trend.today), (end, trend.day_at(end))]
    kept = [(x, day) for x, day in marks if is_known(x)]
    apart = 0.16 * (end - trend.points[0][0])
    spread = [mark for place, mark in enumerate(kept) if not place or mark[0] - kept[place - 1][0] > apart]
    dated = [(x, short_date(day, trend.today) if day else "") for x, day in spread]
    return [(x, number(x), day) if trend.by_hours else (x, day, "") for x, day in dated]
