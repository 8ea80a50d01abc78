"""The trend of a nursed defect: its readings over running hours or days, and when its limit is reached."""

import math
from dataclasses import dataclass
from datetime import date, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from maintenance.calc.due import due_from_use
from maintenance.calc.trend import Crossing, Slope, crossing, rates, theil_sen
from maintenance.models import Defect
from vessel.models import LimitSide, Reading, Series, SeriesKind

USE_OVER = timedelta(days=365)
DAY_S = 86400.0


@dataclass(frozen=True, slots=True)
class DefectTrend:
    """Readings in order, x in running hours or in days since 1970; what is not known is NaN.

    The readings of what was added are shown as litres lost per running hour, and the series' limit is such a rate.
    """

    readings: tuple[Reading, ...]
    unit: str
    by_hours: bool
    points: tuple[tuple[float, float], ...]
    dates: tuple[date, ...]
    slope: Slope
    reached: Crossing
    limit: float
    rising: bool
    now: float
    today: date
    hours_a_day: float

    def day_at(self, x: float) -> date | None:
        """The day on which x is reached; from the use made of her where x is in running hours."""
        if not math.isfinite(x):
            return None
        return due_from_use(self.today, x - self.now, self.hours_a_day if self.by_hours else 1.0)

    def x_at(self, day: date) -> float:
        """Where a day to come lies; NaN when the use made of her is not known."""
        ahead = (day - self.today).days
        return self.now + ahead * (self.hours_a_day if self.by_hours else 1.0)


def trend_of(defect: Defect, *, at: datetime) -> DefectTrend | None:
    """The trend of the series a defect is watched by; None when there is no such series. Three queries at most."""
    if defect.series is None:
        return None
    series = defect.series
    readings = tuple(series.readings.filter(struck_at=None, at__lte=at).order_by("at", "pk"))
    meter = _meter(defect.vessel_id, at)
    by_hours = series.kind == SeriesKind.CONSUMABLE_ADDED or (
        bool(readings) and all(reading.engine_hours is not None for reading in readings)
    )
    xs, values, kept = _points(series, readings, by_hours=by_hours)
    slope = theil_sen(xs, values)
    now = meter[-1].value if by_hours and meter else (at.timestamp() / DAY_S if not by_hours else _last(xs))
    limit = math.nan if series.limit is None else series.limit
    rising = series.limit_side == LimitSide.ABOVE
    return DefectTrend(
        readings=readings,
        unit="l/h" if series.kind == SeriesKind.CONSUMABLE_ADDED else series.unit,
        by_hours=by_hours,
        points=tuple(zip(xs.tolist(), values.tolist(), strict=True)),
        dates=tuple(reading.at.date() for reading in kept),
        slope=slope,
        reached=crossing(slope, limit, now, rising),
        limit=limit,
        rising=rising,
        now=now,
        today=at.date(),
        hours_a_day=_hours_a_day(meter),
    )


def _points(
    series: Series, readings: tuple[Reading, ...], *, by_hours: bool
) -> tuple[NDArray[np.float64], NDArray[np.float64], list[Reading]]:
    values = np.array([reading.value for reading in readings], float)
    if not by_hours:
        return np.array([reading.at.timestamp() / DAY_S for reading in readings], float), values, list(readings)
    hours = np.array([_number(reading.engine_hours) for reading in readings], float)
    kept = list(readings)
    if series.kind == SeriesKind.CONSUMABLE_ADDED:
        values, hours, kept = np.asarray(rates(hours, values), float), hours[1:], kept[1:]
    known = np.isfinite(hours) & np.isfinite(values)
    return hours[known], values[known], [reading for reading, ok in zip(kept, known, strict=True) if ok]


def _meter(vessel_id: int, at: datetime) -> list[Reading]:
    rows = Reading.objects.filter(
        series__vessel_id=vessel_id,
        series__kind=SeriesKind.ENGINE_HOURS,
        struck_at=None,
        at__gt=at - USE_OVER,
        at__lte=at,
    )
    return list(rows.order_by("at", "pk"))


def _hours_a_day(meter: list[Reading]) -> float:
    if len(meter) < 2 or meter[-1].at <= meter[0].at:
        return math.nan
    days = (meter[-1].at - meter[0].at).total_seconds() / DAY_S
    return (meter[-1].value - meter[0].value) / days


def _number(value: float | None) -> float:
    return math.nan if value is None else value


def _last(xs: NDArray[np.float64]) -> float:
    return float(xs[-1]) if xs.size else math.nan
