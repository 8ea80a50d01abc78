"""The month that a moment falls in, by the clocks of a zone."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from readiness.rules.calendar_months import month_in
from readiness.rules.record import Array
from readiness.rules.telling import day_in


def moments(*texts: str) -> Array:
    return np.array([datetime.fromisoformat(text).replace(tzinfo=UTC).timestamp() for text in texts])


def _month(at: float, zone: str) -> int:
    day = day_in(at, zone)
    assert day is not None
    return day.month


@pytest.mark.parametrize("zone", ["UTC", "Europe/Lisbon", "Asia/Kathmandu", "America/St_Johns", "Pacific/Kiritimati"])
def test_the_month_is_that_of_the_day_in_the_zone(zone: str) -> None:
    start = datetime(2027, 1, 30, 22, tzinfo=UTC)
    at = np.array([(start + timedelta(minutes=47 * n)).timestamp() for n in range(12_000)])

    found = month_in(at, zone)

    assert found.tolist() == [_month(float(one), zone) for one in at]


def test_a_month_begins_at_midnight_by_the_clocks_of_the_zone() -> None:
    at = moments("2027-06-30T22:59:59", "2027-06-30T23:00:00")

    assert month_in(at, "Europe/Lisbon").tolist() == [6.0, 7.0]


def test_december_is_followed_by_january() -> None:
    at = moments("2026-12-31T23:59:59", "2027-01-01T00:00:00", "2028-02-29T12:00:00")

    assert month_in(at, "UTC").tolist() == [12.0, 1.0, 2.0]


def test_a_time_that_is_not_known_has_no_month() -> None:
    at = np.array([np.nan, *moments("2027-05-04T12:00:00")])

    assert np.array_equal(month_in(at, "UTC"), [np.nan, 5.0], equal_nan=True)


@pytest.mark.parametrize(
    ("at", "zone"), [(moments("2027-05-04T12:00:00"), "Nowhere/Known"), ([np.nan], "UTC"), ([], "UTC")]
)
def test_no_month_is_known_without_a_zone_or_any_time(at: list[float], zone: str) -> None:
    assert np.isnan(month_in(np.asarray(at, float), zone)).all()
