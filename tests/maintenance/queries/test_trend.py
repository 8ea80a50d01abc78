import math
from datetime import datetime, timedelta

import pytest
from pytest_django import DjangoAssertNumQueries

from maintenance.models import Defect
from maintenance.queries.trend import trend_of
from tests.factories.maintenance import a_defect
from tests.factories.vessel import a_series, a_vessel

pytestmark = pytest.mark.django_db


def watched(at: datetime, *, kind: str = "consumable_added", unit: str = "l", hours: bool = True) -> Defect:
    """Six readings ten days and ten running hours apart, the newest at `at`, growing evenly."""
    vessel = a_vessel()
    series = a_series(vessel, name="Watched", kind=kind, unit=unit, limit=0.06, limit_outcome="condition")
    meter = a_series(vessel, name="Hour meter", kind="engine_hours", unit="h")
    for step in range(6):
        taken, read = at - timedelta(days=10 * (5 - step)), 4000.0 + 10 * step
        meter.readings.create(at=taken, value=read, engine_hours=read, by="x")
        value = 10 * (0.030 + 0.003 * step) if kind == "consumable_added" else 0.030 + 0.003 * step
        series.readings.create(at=taken, value=value, engine_hours=read if hours else None, by="x")
    return a_defect(vessel, series=series)


def test_what_was_added_becomes_a_rate_per_running_hour(at: datetime) -> None:
    trend = trend_of(watched(at), at=at)

    assert trend is not None
    assert [x for x, _ in trend.points] == [4010.0, 4020.0, 4030.0, 4040.0, 4050.0]
    assert [rate for _, rate in trend.points] == pytest.approx([0.033, 0.036, 0.039, 0.042, 0.045])
    assert (trend.unit, trend.by_hours, trend.now) == ("l/h", True, 4050.0)
    assert trend.slope.slope == pytest.approx(0.0003)
    assert trend.reached.likely == pytest.approx(4100.0)
    assert trend.hours_a_day == pytest.approx(1.0)
    assert trend.day_at(4100.5) == (at + timedelta(days=50)).date()


def test_a_series_without_running_hours_goes_by_days(at: datetime) -> None:
    trend = trend_of(watched(at, kind="free_play", unit="mm", hours=False), at=at)

    assert trend is not None
    assert (trend.by_hours, trend.unit) == (False, "mm")
    assert trend.reached.likely - trend.now == pytest.approx(50.0)
    assert trend.x_at((at + timedelta(days=7)).date()) == pytest.approx(trend.now + 7)


def test_a_reading_struck_out_or_yet_to_come_counts_no_more(at: datetime) -> None:
    defect = watched(at, kind="free_play", unit="mm")
    assert defect.series is not None
    defect.series.readings.create(
        at=at - timedelta(days=1), value=99, engine_hours=4049, by="x", struck_at=at, struck_by="x"
    )
    defect.series.readings.create(at=at + timedelta(days=1), value=99, engine_hours=4051, by="x")

    trend = trend_of(defect, at=at)

    assert trend is not None
    assert len(trend.points) == 6
    assert trend.slope.slope == pytest.approx(0.0003)


def test_one_addition_alone_gives_no_rate(at: datetime) -> None:
    vessel = a_vessel()
    series = a_series(vessel, name="Oil added")
    series.readings.create(at=at, value=0.3, engine_hours=4000, by="x")

    trend = trend_of(a_defect(vessel, series=series), at=at)

    assert trend is not None
    assert trend.points == ()
    assert math.isnan(trend.slope.slope)
    assert math.isnan(trend.hours_a_day)
    assert trend.day_at(4100) is None


def test_a_defect_that_is_not_watched_has_no_trend(at: datetime) -> None:
    assert trend_of(a_defect(), at=at) is None


def test_a_trend_costs_two_queries(at: datetime, django_assert_num_queries: DjangoAssertNumQueries) -> None:
    defect = Defect.objects.select_related("series").get(pk=watched(at).pk)

    with django_assert_num_queries(2):
        trend_of(defect, at=at)
