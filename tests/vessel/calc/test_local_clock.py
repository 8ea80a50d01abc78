from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from vessel.calc.local_clock import meant_by

LISBON = "Europe/Lisbon"


def test_a_plain_day_has_one_moment() -> None:
    assert meant_by(datetime.fromisoformat("2027-05-15T07:30"), LISBON) == (datetime(2027, 5, 15, 6, 30, tzinfo=UTC),)


@pytest.mark.parametrize(
    ("minute", "moments"), [("00:59", 1), ("01:00", 0), ("01:59", 0), ("02:00", 1)]
)  # 28 March 2027: 01:00 becomes 02:00
def test_the_clocks_jump_over_an_hour(minute: str, moments: int) -> None:
    assert len(meant_by(datetime.fromisoformat(f"2027-03-28T{minute}"), LISBON)) == moments


@pytest.mark.parametrize(
    ("minute", "moments"), [("00:59", 1), ("01:00", 2), ("01:59", 2), ("02:00", 1)]
)  # 31 October 2027: 02:00 becomes 01:00
def test_the_clocks_show_an_hour_twice(minute: str, moments: int) -> None:
    found = meant_by(datetime.fromisoformat(f"2027-10-31T{minute}"), LISBON)

    assert len(found) == moments
    assert [later - found[0] for later in found] == [timedelta(hours=hour) for hour in range(moments)]


def test_every_moment_of_the_year_is_among_those_its_clock_can_mean() -> None:
    start = datetime(2027, 1, 1, tzinfo=UTC)
    moments = [start + timedelta(minutes=30 * step) for step in range(2 * 24 * 365)]

    assert all(
        moment in meant_by(moment.astimezone(ZoneInfo(LISBON)).replace(tzinfo=None, fold=0), LISBON)
        for moment in moments
    )
